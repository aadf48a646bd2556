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

/// How far a surface may be off one that it stands for, whatever is tried on it: no number of trials on it tells.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Unlike {
    /// Standard deviation of the colour after a step, per CIELAB axis.
    pub colour_sd: f64,
    /// Standard deviation of the logarithm of how much takes.
    pub strength_sd: f64,
}

impl Unlike {
    /// Like it in all.
    pub const NONE: Self = Self { colour_sd: 0.0, strength_sd: 0.0 };

    /// What both have.
    pub(crate) fn shared(self, other: Self) -> Self {
        self.each(other, f64::min)
    }

    /// What either has.
    pub(crate) fn either(self, other: Self) -> Self {
        self.each(other, f64::max)
    }

    /// What this one has beyond the other.
    pub(crate) fn beyond(self, other: Self) -> Self {
        self.each(other, |own, other| (own.powi(2) - other.powi(2)).max(0.0).sqrt())
    }

    fn each(self, other: Self, of: impl Fn(f64, f64) -> f64) -> Self {
        Self { colour_sd: of(self.colour_sd, other.colour_sd), strength_sd: of(self.strength_sd, other.strength_sd) }
    }
}
