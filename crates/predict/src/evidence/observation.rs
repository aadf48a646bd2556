//! One use of a step: the colours before and after it, and how strong it was.

use colour::Lab;
use nalgebra::Matrix3;

/// One reading before and one after a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// The colour before.
    pub before: Lab,
    /// The colour after.
    pub after: Lab,
    /// How strong the step was, > 0, in any unit that is the same for all observations of the step.
    pub strength: f64,
    /// Covariance of what is read: of both readings together, and of whatever makes the surface differ from the one it
    /// stands for; without what differs from one use to the next.
    pub reading: Matrix3<f64>,
    /// Standard deviation of the logarithm of strength beyond that between uses: of a board prepared otherwise than the part
    /// it stands for.
    pub strength_sd: f64,
    /// What else changed how much takes, one number per [`Modifier`](super::Modifier) of the lesson.
    pub conditions: Vec<f64>,
}

/// Something that changes how much of a step takes: pre-wetting, a finer grit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Modifier {
    /// Logarithm of the factor on the strength, for a condition of 1.
    pub log_factor: f64,
    /// How uncertain that is before any trial varies it.
    pub log_factor_sd: f64,
}

/// What is known of an effect before any trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expectation {
    /// Expected change of L*, a*, b* on the first wood at full strength.
    pub dlab: [f64; 3],
    /// Standard deviation of it.
    pub sd: [f64; 3],
    /// Whether it can only add to what the wood absorbs, as colourants do: hiding may lighten, absorbing never does.
    pub only_absorbs: bool,
}

impl Expectation {
    /// For a product nobody knows: any change of the size that stains make.
    pub const OPEN: Self = Self { dlab: [0.0; 3], sd: [15.0, 8.0, 10.0], only_absorbs: true };
}
