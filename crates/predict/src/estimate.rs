//! Estimated numbers and colours: none without its uncertainty.

use colour::Lab;
use nalgebra::Matrix3;

use crate::draws::{geometric_median, vector};

/// A number and its 90 % interval.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Interval {
    /// Best single value.
    pub mean: f64,
    /// Lower end of the 90 % interval.
    pub low: f64,
    /// Upper end of the 90 % interval.
    pub high: f64,
}

impl Interval {
    /// Whether a size may be none: its lower end is below 0.05, and printed as 0.
    pub fn may_be_none(self) -> bool {
        self.low < 0.05
    }

    /// The interval of a size in words: '0.4–1.9', '0–1.9'.
    pub fn range(self) -> String {
        let low = if self.may_be_none() { "0".to_owned() } else { format!("{:.1}", self.low) };
        format!("{low}–{:.1}", self.high)
    }

    /// A size with its interval in words: '1.0 (0–1.9)'.
    pub fn words(self) -> String {
        format!("{:.1} ({})", self.mean, self.range())
    }
}

/// A colour with its joint draws. The nth draw of one estimate belongs with the nth draw of any other in the same
/// result: they share law, effect, strength and readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The geometric median of the draws, CIELAB D50.
    pub mean: Lab,
    /// Covariance of L*, a*, b*, widened for what the laws do not know.
    pub covariance: [[f64; 3]; 3],
    /// Joint draws.
    pub draws: Vec<Lab>,
}

impl Estimate {
    /// An estimate from joint draws: their geometric median and the covariance about it.
    pub fn from_draws(draws: Vec<Lab>) -> Self {
        let mean = geometric_median(&draws);
        let mut covariance = Matrix3::zeros();
        for draw in &draws {
            let off = vector(*draw) - vector(mean);
            covariance += off * off.transpose();
        }
        covariance /= draws.len().max(1) as f64;
        let rows = std::array::from_fn(|row| std::array::from_fn(|column| covariance[(row, column)]));
        Self { mean, covariance: rows, draws }
    }

    /// Whether a colour lies in the ellipsoid that holds this share of the draws.
    pub fn holds(&self, lab: Lab, share: f64) -> bool {
        let covariance = Matrix3::from_fn(|row, column| self.covariance[row][column]);
        let Some(factor) = (covariance + Matrix3::identity() * 1e-9).cholesky() else { return false };
        let distance2 = |lab: Lab| {
            let off = vector(lab) - vector(self.mean);
            off.dot(&factor.solve(&off))
        };
        let mut distances: Vec<f64> = self.draws.iter().map(|draw| distance2(*draw)).collect();
        distances.sort_by(f64::total_cmp);
        distance2(lab) <= quantile(&distances, share)
    }
}

/// Quantile of sorted numbers, between neighbours in proportion; 0 of none.
pub(crate) fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let at = share.clamp(0.0, 1.0) * last as f64;
    let below = sorted[at.floor() as usize];
    below + (sorted[at.ceil() as usize] - below) * at.fract()
}
