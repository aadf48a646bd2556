//! The difference of two readings with its interval.

use colour::{Lab, de2000};
use nalgebra::{Matrix3, Vector3};
use piece::Reading;
use predict::Interval;

/// ΔE2000 of two readings, with its 90 % interval from what both say of their errors; errors they share cancel.
///
/// # Source
/// [`colour::interval::from_moments`], scaled so that the middle is the exact ΔE2000 of the two colours.
pub fn de00(a: &Reading, b: &Reading) -> Interval {
    let mean = de2000(a.lab, b.lab);
    let step = Vector3::new(b.lab.l - a.lab.l, b.lab.a - a.lab.a, b.lab.b - a.lab.b);
    let between = Lab::new((a.lab.l + b.lab.l) / 2.0, (a.lab.a + b.lab.a) / 2.0, (a.lab.b + b.lab.b) / 2.0);
    let root = colour::metric_root(between);
    let rows = of_difference(a, b);
    let covariance = Matrix3::from_fn(|i, j| rows[i][j]);
    let local = colour::interval::from_moments(step, &covariance, &root);
    let length = (root * step).norm();
    let scale = if length > 1e-6 { mean / length } else { 1.0 };
    Interval { mean, low: (local.low * scale).min(mean), high: (local.high * scale).max(mean) }
}

/// Covariance of b − a.
fn of_difference(a: &Reading, b: &Reading) -> [[f64; 3]; 3] {
    let mut sum: [[f64; 3]; 3] =
        std::array::from_fn(|i| std::array::from_fn(|j| a.covariance[i][j] + b.covariance[i][j]));
    let mut add = |loading: [[f64; 3]; 3]| {
        for (i, row) in sum.iter_mut().enumerate() {
            for (j, value) in row.iter_mut().enumerate() {
                *value += (0..3).map(|k| loading[i][k] * loading[j][k]).sum::<f64>();
            }
        }
    };
    for mine in &a.shared {
        let theirs =
            b.shared.iter().find(|other| other.factor == mine.factor).map_or([[0.0; 3]; 3], |other| other.loading);
        add(std::array::from_fn(|i| std::array::from_fn(|k| theirs[i][k] - mine.loading[i][k])));
    }
    for theirs in b.shared.iter().filter(|other| a.shared.iter().all(|mine| mine.factor != other.factor)) {
        add(theirs.loading);
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::oak_chest;
    use piece::SharedError;

    /// Errors that two readings share in full cancel in their difference; the trade relies on it when both come from one
    /// photo (Taylor and Kuyatt, NIST Technical Note 1297, 1994, appendix A: correlated inputs).
    #[test]
    fn shared_errors_cancel() {
        let piece = oak_chest();
        let (mut a, mut b) = ((*piece.readings[0]).clone(), (*piece.readings[2]).clone());
        let alone = de00(&a, &b);
        let shared =
            SharedError { factor: "photo:f1:fit".into(), loading: [[2.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] };
        a.shared = vec![shared.clone()];
        b.shared = vec![shared.clone()];
        let together = de00(&a, &b);
        assert!((together.high - alone.high).abs() < 1e-9, "{together:?} {alone:?}");
        b.shared[0].factor = "photo:f2:fit".into();
        assert!(de00(&a, &b).high > alone.high + 0.5);
    }

    /// CIEDE2000 counts near a grey as about ΔL*/S_L with S_L = 1 at L* 50 (ISO/CIE 11664-6).
    #[test]
    fn the_interval_holds_the_difference_with_the_width_of_its_errors() {
        let piece = oak_chest();
        let (mut a, mut b) = ((*piece.readings[0]).clone(), (*piece.readings[0]).clone());
        a.lab = Lab::new(45.0, 0.0, 0.0);
        b.lab = Lab::new(55.0, 0.0, 0.0);
        a.covariance = [[0.5, 0.0, 0.0], [0.0, 0.1, 0.0], [0.0, 0.0, 0.1]];
        b.covariance = a.covariance;
        let found = de00(&a, &b);
        assert!((found.mean - 10.0).abs() < 0.1 && (found.high - found.mean - 1.645).abs() < 0.1, "{found:?}");
    }
}
