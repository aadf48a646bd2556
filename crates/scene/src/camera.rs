//! A camera: from spectra to the values a phone would store.

use crate::colorimetry::{adaptation, xyz_from_rgb};
use crate::{Error, Observer, Profile, Spectrum, Tables};
use nalgebra::{Matrix2, Matrix3, Vector2, Vector3};

/// Spectral sensitivity of one channel, as humps (nm, width in nm, height). Invented, but shaped as cameras' are.
#[derive(Clone, Debug)]
pub struct Sensitivity(pub Vec<[f64; 3]>);

impl Sensitivity {
    /// The sum of its humps.
    pub fn spectrum(&self) -> Spectrum {
        Spectrum::from_fn(|nm| {
            self.0.iter().map(|[at, width, height]| height * (-0.5 * ((nm - at) / width).powi(2)).exp()).sum()
        })
    }
}

/// A camera and its lens.
#[derive(Clone, Debug)]
pub struct Camera {
    /// Red, green, blue.
    pub sensitivities: [Sensitivity; 3],
    /// White balance gains relative to right ones.
    pub balance: [f64; 3],
    /// Linear value of a perfect white where the light is brightest; 1 is full.
    pub exposure: f64,
    /// Standard deviation of the shot noise of a full pixel.
    pub shot_noise: f64,
    /// Standard deviation of the noise of a dark pixel.
    pub read_noise: f64,
    /// Even light added by the lens, over that of a perfect white.
    pub veil: f64,
    /// Standard deviation of the lens blur.
    pub blur_px: f64,
    /// Strength of the contrast curve, per channel: 0 none, 1 the whole S-curve.
    pub tone: [f64; 3],
}

/// A camera set up for one light: what the renderer needs.
#[derive(Clone, Debug)]
pub(crate) struct Developed {
    weights: [Spectrum; 3],
    /// Balanced sensor values to linear RGB of the profile.
    pub(crate) matrix: Matrix3<f64>,
    tone: [Vec<f32>; 3],
}

impl Camera {
    /// White balance and colour matrix as a maker would set them for the light: the matrix is fitted over the chart's
    /// and the woods' published spectra, whites exact.
    pub(crate) fn developed(&self, tables: &Tables, light: &Spectrum, profile: Profile) -> Result<Developed, Error> {
        let weights: [Spectrum; 3] = std::array::from_fn(|i| {
            let lit = self.sensitivities[i].spectrum().zip(light, |s, l| s * l);
            let white: f64 = lit.0.iter().sum();
            lit.map(|w| w * self.balance[i] / white)
        });
        let observer = Observer::new(tables, light);
        let d65 = Observer::new(tables, &tables.light("D65")?).white;
        let to_rgb = xyz_from_rgb(profile.primaries(), [0.3127, 0.3290]);
        let to_rgb = to_rgb.try_inverse().unwrap_or_else(Matrix3::identity) * adaptation(observer.white, d65);
        let training: Vec<([f64; 3], Vector3<f64>)> = tables
            .chart
            .iter()
            .chain(&tables.woods)
            .map(|(_, r)| (sense(&weights, r), to_rgb * Vector3::from(observer.xyz(r))))
            .collect();
        let row = |i: usize| fitted_row(&training, i);
        let (r, g, b) = (row(0), row(1), row(2));
        let matrix = Matrix3::from_rows(&[r.transpose(), g.transpose(), b.transpose()]);
        Ok(Developed { weights, matrix, tone: self.tone.map(tone_table) })
    }
}

impl Developed {
    /// Balanced sensor values of a reflectance; a perfect white gives about 1 each.
    pub(crate) fn sense(&self, reflectance: &Spectrum) -> [f64; 3] {
        sense(&self.weights, reflectance)
    }

    /// The stored 8-bit value of a linear one.
    pub(crate) fn store(&self, channel: usize, linear: f32) -> u8 {
        let at = linear.clamp(0.0, 1.0) * TONE_STEPS as f32;
        let table = &self.tone[channel];
        let i = (at as usize).min(TONE_STEPS - 1);
        let share = at - i as f32;
        (table[i] + (table[i + 1] - table[i]) * share + 0.5) as u8
    }
}

fn sense(weights: &[Spectrum; 3], reflectance: &Spectrum) -> [f64; 3] {
    std::array::from_fn(|i| weights[i].dot(reflectance))
}

/// One row of the colour matrix, its sum 1, by least squares relative to the level.
fn fitted_row(training: &[([f64; 3], Vector3<f64>)], i: usize) -> Vector3<f64> {
    let (mut normal, mut right) = (Matrix2::zeros(), Vector2::zeros());
    for ([r, g, b], target) in training {
        let weight = 1.0 / (g + 0.1).powi(2);
        let x = Vector2::new(r - g, b - g);
        normal += weight * x * x.transpose();
        right += weight * x * (target[i] - g);
    }
    let m = normal.lu().solve(&right).unwrap_or_else(Vector2::zeros);
    Vector3::new(m[0], 1.0 - m[0] - m[1], m[1])
}

const TONE_STEPS: usize = 16384;

/// Linear to stored, times 255: the sRGB curve (IEC 61966-2-1:1999), then an S-curve mixed in by its strength.
fn tone_table(strength: f64) -> Vec<f32> {
    const STEEPNESS: f64 = 5.0;
    const MIDDLE: f64 = 0.46;
    let logistic = |e: f64| 1.0 / (1.0 + (-STEEPNESS * (e - MIDDLE)).exp());
    let (dark, light) = (logistic(0.0), logistic(1.0));
    (0..=TONE_STEPS)
        .map(|i| {
            let x = i as f64 / TONE_STEPS as f64;
            let encoded = if x <= 0.003_130_8 { 12.92 * x } else { 1.055 * x.powf(1.0 / 2.4) - 0.055 };
            let curved = (logistic(encoded) - dark) / (light - dark);
            (255.0 * (encoded + strength * (curved - encoded))) as f32
        })
        .collect()
}
