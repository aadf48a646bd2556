//! Words for a difference. They follow the bounds of the interval, never the midpoint.

/// What can be said of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Surely below what an eye sees.
    NoVisibleDifference,
    /// Seen when looked for.
    Slight,
    /// Seen.
    Visible,
    /// Seen at once.
    Clear,
    /// The interval spans too much.
    CannotTellYet,
}

impl Verdict {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::NoVisibleDifference => "no visible difference",
            Self::Slight => "slight",
            Self::Visible => "visible",
            Self::Clear => "clear",
            Self::CannotTellYet => "cannot tell yet",
        }
    }
}
