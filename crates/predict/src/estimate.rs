//! Estimated numbers and colours: none without its uncertainty.

use colour::Lab;

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
