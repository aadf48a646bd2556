//! The prior of the 39 parameters.

use nalgebra::SMatrix;

use super::CalibrationError;
use super::model::{PARAMETERS, Theta};

/// Names of the parameters, in the order of the prior's lines.
const NAMES: [&str; PARAMETERS] = [
    "g0", "g1", "g2", "a0", "a1", "a2", "a3", "a4", "a5", "s0", "s1", "d0", "d1", "d2", "d3", "d4", "d5", "b0", "bd0",
    "bd1", "bd2", "l0", "l1", "l2", "l3", "l4", "c0", "c1", "c2", "c3", "c4", "c5", "c6", "c7", "c8", "lc0", "lc1",
    "lc2", "lc3",
];

/// A square matrix over the parameters.
pub(super) type Square = SMatrix<f64, PARAMETERS, PARAMETERS>;

/// Mean and covariance of the 39 parameters over many photos.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    pub(super) mean: Theta,
    pub(super) covariance: Square,
    pub(super) precision: Square,
    /// Log of the determinant of `precision`.
    pub(super) log_precision: f64,
    /// Log of how likely what it was told was, over how likely that was with one lamp.
    pub(super) log_seen: f64,
}

impl Prior {
    /// Reads the prior from CSV: comment lines with `#`, a header, then a line for each parameter with its name, mean
    /// and a row of the covariance.
    ///
    /// # Errors
    /// A line that is missing, too short or not a number; a covariance that is not positive definite.
    pub fn parse(text: &str) -> Result<Self, CalibrationError> {
        let wrong = |line: usize, problem: String| CalibrationError::Prior { line, problem };
        let mut mean = Theta::zeros();
        let mut covariance = Square::zeros();
        let mut row = 0;
        let mut last = 0;
        let lines = text.lines().enumerate().map(|(k, l)| (k + 1, l.trim())).filter(|(_, l)| !l.is_empty());
        for (line, content) in lines.filter(|(_, l)| !l.starts_with('#')).skip(1) {
            last = line;
            let fields: Vec<&str> = content.split(',').map(str::trim).collect();
            let Some(name) = NAMES.get(row) else {
                return Err(wrong(line, format!("more than {PARAMETERS} parameters")));
            };
            if fields.len() != PARAMETERS + 2 || fields[0] != *name {
                return Err(wrong(line, format!("expected {name} with a mean and {PARAMETERS} covariances")));
            }
            for (k, field) in fields[1..].iter().enumerate() {
                let value = field.parse::<f64>().ok().filter(|v| v.is_finite());
                let value = value.ok_or_else(|| wrong(line, format!("'{field}' is not a number")))?;
                if k == 0 {
                    mean[row] = value;
                } else {
                    covariance[(row, k - 1)] = value;
                }
            }
            row += 1;
        }
        if row != PARAMETERS {
            return Err(wrong(last, format!("{row} parameters, expected {PARAMETERS}")));
        }
        Self::new(mean, covariance).ok_or_else(|| wrong(last, "the covariance is not positive definite".to_owned()))
    }

    /// What is expected once a parameter was seen with an error of this variance.
    ///
    /// # Source
    /// Conditional and marginal of a normal distribution: Bishop (2006), Pattern Recognition and Machine Learning, 2.3.
    pub(super) fn told(&self, k: usize, seen: f64, variance: f64) -> Option<Self> {
        let gain: Theta = self.covariance.column(k) / (self.covariance[(k, k)] + variance);
        let told =
            Self::new(self.mean + gain * (seen - self.mean[k]), self.covariance - gain * self.covariance.row(k))?;
        Some(Self { log_seen: self.log_seen, ..told })
    }

    /// Log of how likely a parameter was to be seen so.
    pub(super) fn log_likelihood(&self, k: usize, seen: f64, variance: f64) -> f64 {
        let spread = self.covariance[(k, k)] + variance;
        -0.5 * ((seen - self.mean[k]).powi(2) / spread + (std::f64::consts::TAU * spread).ln())
    }

    /// `None` when the covariance is not positive definite.
    pub(super) fn new(mean: Theta, covariance: Square) -> Option<Self> {
        let covariance = (covariance + covariance.transpose()) / 2.0;
        let factor = covariance.cholesky()?;
        let log_precision = -2.0 * factor.l_dirty().diagonal().iter().map(|v| v.ln()).sum::<f64>();
        Some(Self { mean, covariance, precision: factor.inverse(), log_precision, log_seen: 0.0 })
    }

    /// The same where each of some parameters hangs together with no other, and has a variance of its own.
    pub(super) fn with_alone<const N: usize>(&self, variances: [(usize, f64); N]) -> Option<Self> {
        let mut covariance = self.covariance;
        for (k, variance) in variances {
            covariance.row_mut(k).fill(0.0);
            covariance.column_mut(k).fill(0.0);
            covariance[(k, k)] = variance;
        }
        Self::new(self.mean, covariance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = include_str!("../../../../assets/calibration-prior.csv");

    /// Source of the values: the file itself, read by eye.
    #[test]
    fn reads_the_file_that_comes_with_the_program() {
        let prior = Prior::parse(TEXT).unwrap();
        assert_eq!(prior.mean[3], -0.180501);
        assert_eq!(prior.covariance[(0, 0)], 4.0);
        assert_eq!(prior.covariance[(38, 38)], 0.000280787);
        assert!((prior.covariance * prior.precision - Square::identity()).norm() < 1e-6);
    }

    #[test]
    fn says_which_line_is_wrong() {
        let check = |text: &str, line: usize, part: &str| match Prior::parse(text) {
            Err(CalibrationError::Prior { line: at, problem }) => {
                assert_eq!(at, line, "{problem}");
                assert!(problem.contains(part), "{problem}");
            }
            other => panic!("{other:?}"),
        };
        check("", 0, "0 parameters");
        check(&TEXT.replacen("g1,0,0,4", "g1,0,0,four", 1), 6, "'four' is not a number");
        check(&TEXT.replacen("g1,0,0,4", "g1,0,0,NaN", 1), 6, "'NaN' is not a number");
        check(&TEXT.replacen("\ng1,0", "\ng9,0", 1), 6, "expected g1");
        check(&TEXT.replacen("g1,0,0,4", "g1,0,0,-4", 1), 43, "not positive definite");
        check(&TEXT.lines().take(20).collect::<Vec<_>>().join("\n"), 20, "16 parameters");
    }
}
