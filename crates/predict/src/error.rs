//! What can stop a prediction.

/// Why nothing could be predicted, and the way out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// The part is not in the piece.
    #[error("the piece has no part {0}: name one of its parts")]
    UnknownPart(String),
    /// The piece has no parts.
    #[error("the piece has no parts yet: add a part and read its colour first")]
    NoParts,
    /// A part has no reading to start from.
    #[error("no reading of {0} can be used: read the colour (bare dry is best) first")]
    NoReading(String),
    /// There is nothing to judge against.
    #[error("there is no colour to reach: {0}")]
    NoMatchSample(String),
    /// No stick to mix, or one that is no colour.
    #[error("there are no sticks to mix: {0}")]
    NoSticks(String),
    /// The caller asked to stop.
    #[error("stopped before it was finished")]
    Cancelled,
}

/// Result of a prediction.
pub type Result<T> = std::result::Result<T, Error>;
