//! What things count for when plans are weighed against each other, all in hours of work.

/// Hours of work that a failed match, a step that cannot be undone, waiting, a trial and product count for.
///
/// Common practice, no source; each is the shop's own to set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// A match that fails once it is coated: strip, perhaps bleach, and start again. Three days at the bench.
    pub failed_match_hours: f64,
    /// Each step on each part that cannot be undone.
    pub irreversible_hours: f64,
    /// An hour of waiting for something to dry: other work is done meanwhile.
    pub waiting_hours: f64,
    /// A trial, with its readings and a topcoated strip, beyond the work of its steps.
    pub trial_hours: f64,
    /// A litre of product.
    pub litre_hours: f64,
}

impl Worth {
    /// The defaults: sample panels take one to two hours each; the rest as said at each field.
    pub const DEFAULT: Self = Self {
        failed_match_hours: 24.0,
        irreversible_hours: 2.0,
        waiting_hours: 0.02,
        trial_hours: 1.0,
        litre_hours: 0.5,
    };
}

impl Worth {
    /// What share of a failed match a worst pair counts for, by its ratio to what is tolerated: nothing up to 1, half at
    /// twice, nearly all far off. A match missed by a little is put right over the sealer, one missed by far is stripped
    /// (common practice, no source; the shape is our own).
    pub fn missed(ratio: f64) -> f64 {
        if ratio > 1.0 { 1.0 - 1.0 / ratio } else { 0.0 }
    }
}

impl Default for Worth {
    fn default() -> Self {
        Self::DEFAULT
    }
}
