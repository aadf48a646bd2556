//! The user's own check tile: read now and then, it shows how far readings of one thing drift from photo to photo.
//!
//! What the readings differ by beyond their own stated errors is drift, of the light, the camera and how the card lies.
//! It is an error of every reading, and readings of one photo share it.

use colour::Lab;
use nalgebra::{Matrix3, Vector3};

use crate::read::{Factor, RegionReading, Shared};

/// Fewest readings that say anything of drift.
pub const FEWEST: usize = 3;
/// Weight, in readings, of drift being alike in all directions.
const ALIKE: f64 = 3.0;

/// One reading of the tile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TileReading {
    /// Its colour.
    pub lab: Lab,
    /// Covariance of what may differ from photo to photo: all but the card's own error, which is the same each time.
    pub covariance: [[f64; 3]; 3],
}

/// How far readings drift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Readings it is known from.
    pub readings: usize,
    /// Covariance of the drift itself, order L, a, b.
    pub covariance: [[f64; 3]; 3],
    /// Root of the covariance that a new reading may be off by: wider, since few readings know it badly.
    loading: [[f64; 3]; 3],
}

impl TileReading {
    /// From the region of a photo that shows the tile.
    pub fn from_region(region: &RegionReading) -> Self {
        let changes = region.shared.iter().filter(|shared| !matches!(shared.factor, Factor::Card(_)));
        let covariance = changes.fold(matrix(&region.own), |sum, shared| {
            let loading = matrix(&shared.loading);
            sum + loading * loading.transpose()
        });
        Self { lab: region.lab, covariance: rows(&covariance) }
    }
}

impl Drift {
    /// From the readings of one tile; `None` for fewer than [`FEWEST`].
    ///
    /// The spread about the mean less the mean of the stated covariances, kept positive; its shape is shrunk towards all
    /// directions alike, with the weight of three readings. A new reading differs from the mean of n by (1 + 1/n) of it,
    /// and as a multivariate t of ν = 3(n − 1) degrees of freedom has ν/(ν − 2) of its scale as variance.
    ///
    /// # Source
    /// The estimator of moments: Hedges, Olkin (1985), Statistical Methods for Meta-Analysis, 9.3, for several variables
    /// as in Jackson, White, Thompson (2010), DOI 10.1002/sim.3602.
    pub fn of(readings: &[TileReading]) -> Option<Self> {
        if readings.len() < FEWEST {
            return None;
        }
        let n = readings.len() as f64;
        let vectors: Vec<Vector3<f64>> = readings.iter().map(|r| Vector3::new(r.lab.l, r.lab.a, r.lab.b)).collect();
        let mean = vectors.iter().sum::<Vector3<f64>>() / n;
        let spread = vectors.iter().map(|v| (v - mean) * (v - mean).transpose()).sum::<Matrix3<f64>>() / (n - 1.0);
        let stated = readings.iter().map(|r| matrix(&r.covariance)).sum::<Matrix3<f64>>() / n;
        let found = positive(&(spread - stated), |value| value);
        let alike = Matrix3::identity() * (found.trace() / 3.0);
        let covariance = (found * (n - 1.0) + alike * ALIKE) / (n - 1.0 + ALIKE);
        let freedom = 3.0 * (n - 1.0);
        let of_new = covariance * (1.0 + 1.0 / n) * freedom / (freedom - 2.0);
        let loading = rows(&positive(&of_new, f64::sqrt));
        Some(Self { readings: readings.len(), covariance: rows(&covariance), loading })
    }

    /// One standard deviation of the drift itself in L, a, b.
    pub fn sd(&self) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.covariance[axis][axis].max(0.0).sqrt())
    }

    /// Adds it to the stated error of a region.
    pub fn add_to(&self, region: &mut RegionReading) {
        let loading = matrix(&self.loading);
        region.covariance = rows(&(matrix(&region.covariance) + loading * loading.transpose()));
        region.shared.push(Shared { factor: Factor::Drift, loading: self.loading });
    }
}

/// The symmetric matrix with a function of its eigenvalues in their place, negative ones counted as 0.
fn positive(m: &Matrix3<f64>, of: impl Fn(f64) -> f64) -> Matrix3<f64> {
    let eigen = m.symmetric_eigen();
    let values = Matrix3::from_diagonal(&eigen.eigenvalues.map(|value| of(value.max(0.0))));
    eigen.eigenvectors * values * eigen.eigenvectors.transpose()
}

fn matrix(rows: &[[f64; 3]; 3]) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| rows[row][column])
}

fn rows(m: &Matrix3<f64>) -> [[f64; 3]; 3] {
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| m[(row, column)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small generator with its own seed (Steele et al. 2014, SplitMix64).
    struct Random(u64);

    impl Random {
        fn uniform(&mut self) -> f64 {
            self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
        }

        fn normal3(&mut self) -> Vector3<f64> {
            Vector3::from_fn(|_, _| (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0)
        }
    }

    const DRIFT_SD: [f64; 3] = [1.4, 0.6, 0.9];
    const OWN_SD: f64 = 0.5;
    /// χ² with 3 degrees of freedom, 90 % point: NIST/SEMATECH e-Handbook, 1.3.6.7.4.
    const CHI2_90: f64 = 6.251;

    fn read_once(random: &mut Random) -> TileReading {
        let drift = random.normal3().component_mul(&Vector3::from(DRIFT_SD));
        let lab = Vector3::new(70.0, 3.0, 12.0) + drift + random.normal3() * OWN_SD;
        let covariance = rows(&(Matrix3::identity() * OWN_SD * OWN_SD));
        TileReading { lab: Lab::new(lab.x, lab.y, lab.z), covariance }
    }

    /// 400 records of 12 readings with drift of known covariance, seed 8: its trace within three standard errors of what
    /// they give on average, and the error of a reading to come held by the stated ellipsoid in nine cases of ten, which
    /// without drift it is far from.
    #[test]
    fn drift_is_recovered_and_the_stated_error_holds_again() {
        for count in [3, 5, 12, 40] {
            let mut random = Random(8);
            let (mut traces, mut with, mut without) = (Vec::new(), 0, 0);
            for _ in 0..400 {
                let readings: Vec<TileReading> = (0..count).map(|_| read_once(&mut random)).collect();
                let drift = Drift::of(&readings).unwrap();
                traces.push(matrix(&drift.covariance).trace());
                let next = read_once(&mut random);
                // The tile's true colour, so that the error is the drift and the own error of one reading.
                let off = Vector3::new(next.lab.l - 70.0, next.lab.a - 3.0, next.lab.b - 12.0);
                let own = matrix(&next.covariance);
                let loading = matrix(&drift.loading);
                let held = |c: Matrix3<f64>| off.dot(&(c.try_inverse().unwrap() * off)) <= CHI2_90;
                with += usize::from(held(own + loading * loading.transpose()));
                without += usize::from(held(own));
            }
            let mean = traces.iter().sum::<f64>() / 400.0;
            let sd = (traces.iter().map(|t| (t - mean).powi(2)).sum::<f64>() / 399.0).sqrt();
            let truth: f64 = DRIFT_SD.iter().map(|sd| sd * sd).sum();
            let told = format!(
                "{count} readings: trace {mean:.2} of {truth:.2}, held {with} with drift, {without} without, of 400"
            );
            if count >= 12 {
                // Keeping the covariance positive pushes it up a little where own errors are not small.
                assert!((mean - truth).abs() < 3.0 * sd / 20.0 + 0.05, "{told}");
            }
            assert!((330..=392).contains(&with), "{told}");
            assert!(without < 200, "{told}");
        }
    }

    /// Four readings without errors of their own, 1 L* to either side of their mean: variance 4/3 along L*. Half of it is taken
    /// for drift of that direction, half for drift alike in all three (three degrees of freedom against the weight of three
    /// readings): 8/9 and 2/9. A new reading has 1 + 1/4 of it, as any forecast from a mean of four, and 9/7 of that as the
    /// variance of a t of nine degrees of freedom: 10/7 and 5/14.
    ///
    /// # Source
    /// Reckoned by hand; the variance of a forecast and of t in any textbook.
    #[test]
    fn a_new_reading_may_be_off_by_as_much_as_a_forecast() {
        let at = |l: f64| TileReading { lab: Lab::new(l, 3.0, 12.0), covariance: [[0.0; 3]; 3] };
        let drift = Drift::of(&[at(69.0), at(71.0), at(71.0), at(69.0)]).unwrap();
        let of = |values: [f64; 3]| Matrix3::from_diagonal(&Vector3::from(values));
        assert!((matrix(&drift.covariance) - of([8.0 / 9.0, 2.0 / 9.0, 2.0 / 9.0])).amax() < 1e-12, "{drift:?}");
        let loading = matrix(&drift.loading);
        let new = loading * loading.transpose();
        assert!((new - of([10.0 / 7.0, 5.0 / 14.0, 5.0 / 14.0])).amax() < 1e-12, "{new}");
    }

    /// The card is off by the same in every photo of it, so that its error is no part of what readings differ by; drift is one
    /// more error that all readings of a photo have in common, and the error of each is still the sum of its parts.
    #[test]
    fn drift_is_an_error_in_common_and_the_cards_error_is_none_of_it() {
        let times = |by: f64| rows(&(Matrix3::identity() * by));
        let mut region = RegionReading {
            name: "tile".into(),
            lab: Lab::new(70.0, 3.0, 12.0),
            covariance: times(0.09 + 1.0 + 0.25),
            own: times(0.09),
            shared: vec![
                Shared { factor: Factor::Card("chart24".into()), loading: times(1.0) },
                Shared { factor: Factor::PhotoLight, loading: times(0.5) },
            ],
            degrees_of_freedom: 20.0,
            grain_sd: [0.2; 3],
            pixels: 5000,
            area_mm2: None,
            left_out_share: 0.0,
            evenness: None,
            grain_direction_deg: None,
        };
        let reading = TileReading::from_region(&region);
        assert!((matrix(&reading.covariance) - Matrix3::identity() * 0.34).amax() < 1e-12, "{reading:?}");

        let drift = Drift { readings: 4, covariance: times(1.0), loading: times(0.6) };
        drift.add_to(&mut region);
        let parts = region.shared.iter().fold(matrix(&region.own), |sum, shared| {
            let loading = matrix(&shared.loading);
            sum + loading * loading.transpose()
        });
        assert!((parts - matrix(&region.covariance)).amax() < 1e-12 && (parts.m11 - 1.7).abs() < 1e-12, "{parts}");
        assert_eq!(region.shared.iter().filter(|shared| shared.factor == Factor::Drift).count(), 1);
    }

    #[test]
    fn few_readings_say_nothing_and_alike_ones_add_nothing() {
        let reading = TileReading { lab: Lab::new(70.0, 3.0, 12.0), covariance: rows(&Matrix3::identity()) };
        assert_eq!(Drift::of(&[reading, reading]), None);
        let drift = Drift::of(&[reading; 6]).unwrap();
        assert!(matrix(&drift.loading).amax() < 1e-9);
    }
}
