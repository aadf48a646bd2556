//! What a step did on another piece, as the shop book keeps it.

use colour::Lab;

use crate::Step;

/// One use of a step on an earlier piece: the colour before and after it.
#[derive(Clone, Debug, PartialEq)]
pub struct PastUse {
    /// What was done; its product is one of those kept beside it.
    pub step: Step,
    /// The wood it was done on.
    pub wood: String,
    /// Colour before it, D50, 2°, in the look in which the step acts: dry, or sealed for glaze and toner.
    pub before: Lab,
    /// Colour after it, in the same look.
    pub after: Lab,
    /// Covariance of the difference of the two, CIELAB units squared.
    pub covariance: [[f64; 3]; 3],
    /// Batch or lot of the product then.
    pub lot: String,
    /// Where it comes from: the piece, the trial and the step's place in it. Equal ones are one and the same use.
    pub source: PastSource,
    /// When, RFC 3339 text; empty where not noted.
    pub made: String,
}

/// Where a past use comes from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PastSource {
    /// Name of the piece.
    pub piece: String,
    /// Id of the trial there, as text.
    pub trial: String,
    /// The step's place in the trial, from 0.
    pub stage: u32,
}
