//! What can go wrong in this crate.

/// A computation that cannot give a number worth having, with the reason and the way out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// A value handed in is NaN or infinite.
    #[error("{what} must be finite numbers, but one is not; measure it again or leave it out")]
    NotFinite {
        /// What was handed in.
        what: &'static str,
    },
    /// A matrix that must be invertible is not.
    #[error("{what} has no inverse; check that its colours are not on one line")]
    Singular {
        /// The matrix in question.
        what: &'static str,
    },
    /// An iteration ended without an answer.
    #[error("{what} did not settle; the colour lies too close to the edge of what a surface can have")]
    Unsettled {
        /// The iteration in question.
        what: &'static str,
    },
    /// Too little was handed in.
    #[error("{what} needs at least {least}, but there are {found}")]
    TooFew {
        /// What was wanted.
        what: &'static str,
        /// The least number that will do.
        least: usize,
        /// The number there was.
        found: usize,
    },
}

/// The result of a computation of this crate.
pub type Result<T> = std::result::Result<T, Error>;
