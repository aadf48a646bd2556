//! The prior of the 39 parameters.

use super::types::CalibrationError;

/// Mean and covariance of the 39 parameters over many photos.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    mean: Vec<f64>,
}

impl Prior {
    /// Reads the prior from CSV: comment lines with `#`, a header, then a line for each parameter with its name, mean
    /// and a row of the covariance.
    ///
    /// # Errors
    /// A line that is missing, too short or not a number.
    pub fn parse(text: &str) -> Result<Self, CalibrationError> {
        let _ = text;
        Ok(Self { mean: Vec::new() })
    }
}
