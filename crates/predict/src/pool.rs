//! One colour from several readings of a surface: wood differs from place to place, so their mean is a random effect.

use nalgebra::{Matrix3, Vector3};

/// Rounds of the estimate of the variance between places; it gains a few percent a round.
const ROUNDS: usize = 200;
/// Least variance, so that typed colours, which state none, can be weighed too.
const LEAST: f64 = 1e-9;

/// How readings make one colour.
#[derive(Clone, Debug)]
pub(crate) struct Pool {
    /// What each reading is multiplied by; together they are the unit matrix.
    pub(crate) weights: Vec<Matrix3<f64>>,
    /// Covariance between places.
    pub(crate) between: Matrix3<f64>,
}

impl Pool {
    /// From colours with their own covariances, without what they share: that moves all of them alike.
    ///
    /// The covariance between places D is estimated by restricted maximum likelihood; a reading weighs by the inverse of
    /// its own covariance plus D, so that with much difference between places all count the same. The mean has the
    /// covariance of the weighted readings and Σ A D Aᵀ.
    ///
    /// # Source
    /// Laird, Ware (1982), DOI 10.2307/2529876: REML of a random effect by expectation and maximisation.
    pub(crate) fn of(readings: &[(Vector3<f64>, Matrix3<f64>)]) -> Self {
        let n = readings.len() as f64;
        if readings.len() < 2 {
            return Self { weights: vec![Matrix3::identity(); readings.len()], between: Matrix3::zeros() };
        }
        let mean = readings.iter().map(|(lab, _)| lab).sum::<Vector3<f64>>() / n;
        let spread = |sum: Matrix3<f64>, lab: &Vector3<f64>| sum + (lab - mean) * (lab - mean).transpose();
        let mut between = readings.iter().map(|(lab, _)| lab).fold(Matrix3::zeros(), spread) / (n - 1.0);
        for _ in 0..ROUNDS {
            let Some((inverse, mean, of_mean)) = weighed(readings, &between) else { break };
            let terms = readings.iter().zip(&inverse).map(|((lab, _), w)| {
                let effect = between * w * (lab - mean);
                effect * effect.transpose() + between - between * (w - w * of_mean * w) * between
            });
            between = terms.sum::<Matrix3<f64>>() / n;
            between = (between + between.transpose()) / 2.0;
        }
        let weights = match weighed(readings, &between) {
            Some((inverse, _, of_mean)) => inverse.iter().map(|w| of_mean * w).collect(),
            None => vec![Matrix3::identity() / n; readings.len()],
        };
        Self { weights, between }
    }

    /// The covariance that the difference between places gives the mean.
    pub(crate) fn covariance_from_between(&self) -> Matrix3<f64> {
        self.weights.iter().map(|a| a * self.between * a.transpose()).sum()
    }
}

/// The inverse covariance of each reading.
type Inverses = Vec<Matrix3<f64>>;

/// Inverse covariances with the difference between places, the weighted mean, and its covariance.
fn weighed(
    readings: &[(Vector3<f64>, Matrix3<f64>)],
    between: &Matrix3<f64>,
) -> Option<(Inverses, Vector3<f64>, Matrix3<f64>)> {
    let inverse = |(_, own): &(Vector3<f64>, Matrix3<f64>)| (own + between + Matrix3::identity() * LEAST).try_inverse();
    let inverse: Inverses = readings.iter().map(inverse).collect::<Option<_>>()?;
    let of_mean = inverse.iter().sum::<Matrix3<f64>>().try_inverse()?;
    let mean = of_mean * readings.iter().zip(&inverse).map(|((lab, _), w)| w * lab).sum::<Vector3<f64>>();
    Some((inverse, mean, of_mean))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thirteen trials: cases and others among the treated, cases and others among the rest.
    ///
    /// # Source
    /// Colditz et al. (1994), DOI 10.1001/jama.1994.03510330076038; as worked in Viechtbauer (2010), DOI
    /// 10.18637/jss.v036.i03, section 3.1: log risk ratios by REML, τ² = 0.3132, mean −0.7145 with standard error 0.1798.
    const TRIALS: [[f64; 4]; 13] = [
        [4.0, 119.0, 11.0, 128.0],
        [6.0, 300.0, 29.0, 274.0],
        [3.0, 228.0, 11.0, 209.0],
        [62.0, 13536.0, 248.0, 12619.0],
        [33.0, 5036.0, 47.0, 5761.0],
        [180.0, 1361.0, 372.0, 1079.0],
        [8.0, 2537.0, 10.0, 619.0],
        [505.0, 87886.0, 499.0, 87892.0],
        [29.0, 7470.0, 45.0, 7232.0],
        [17.0, 1699.0, 65.0, 1600.0],
        [186.0, 50448.0, 141.0, 27197.0],
        [5.0, 2493.0, 3.0, 2338.0],
        [27.0, 16886.0, 29.0, 17825.0],
    ];

    #[test]
    fn the_worked_example_of_trials_comes_out() {
        // The same numbers on each of three axes that know nothing of each other.
        let readings: Vec<_> = TRIALS
            .iter()
            .map(|[a, b, c, d]| {
                let ratio = (a / (a + b) / (c / (c + d))).ln();
                let variance = 1.0 / a - 1.0 / (a + b) + 1.0 / c - 1.0 / (c + d);
                (Vector3::repeat(ratio), Matrix3::identity() * variance)
            })
            .collect();
        // The axes agree to the last digit here, so the covariance between them is estimated as full: look at one alone.
        let one: Vec<_> = readings.iter().map(|(y, v)| (Vector3::new(y.x, 0.0, 0.0), *v)).collect();
        let pool = Pool::of(&one);
        let mean: f64 = one.iter().zip(&pool.weights).map(|((y, _), a)| (a * y).x).sum();
        let own: Matrix3<f64> = one.iter().zip(&pool.weights).map(|((_, v), a)| a * v * a.transpose()).sum();
        let error = (own + pool.covariance_from_between())[(0, 0)].sqrt();
        assert!((pool.between[(0, 0)] - 0.3132).abs() < 5e-4, "{}", pool.between);
        assert!((mean + 0.7145).abs() < 1e-4 && (error - 0.1798).abs() < 1e-4, "{mean} {error}");
    }

    #[test]
    fn weights_make_a_whole_and_like_readings_count_alike() {
        let own = |scale: f64| Matrix3::new(0.4, 0.1, 0.0, 0.1, 0.3, 0.05, 0.0, 0.05, 0.5) * scale;
        let readings = [(Vector3::new(50.0, 8.0, 20.0), own(1.0)), (Vector3::new(54.0, 7.0, 22.0), own(1.0))];
        let pool = Pool::of(&readings);
        assert!((pool.weights[0] - Matrix3::identity() / 2.0).amax() < 1e-6);
        assert!(pool.between[(0, 0)] > 1.0, "{}", pool.between);
        let pool = Pool::of(&[readings[0], (readings[0].0, own(3.0))]);
        assert!((pool.weights.iter().sum::<Matrix3<f64>>() - Matrix3::identity()).amax() < 1e-9);
        assert!(pool.between.amax() < 0.02, "alike, so nothing between them: {}", pool.between);
        assert!((pool.weights[0] - Matrix3::identity() * 0.75).amax() < 0.05, "{}", pool.weights[0]);
        let typed = Pool::of(&[(readings[0].0, Matrix3::zeros()), (readings[1].0, Matrix3::zeros())]);
        assert!(typed.weights.iter().all(|weight| weight.iter().all(|value| value.is_finite())));
    }
}
