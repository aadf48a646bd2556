//! Trials that cannot be as they are written down.

use serde::Serialize;

/// A trial that cannot be as it is written down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAsideRecord {
    /// The trial.
    pub trial: String,
    /// What is wrong with it, and what to do.
    pub why: String,
    /// Whether nothing is learned from it.
    pub left_out: bool,
}

/// Those of a piece.
pub(super) fn set_aside(piece: &piece::Piece) -> Vec<SetAsideRecord> {
    let record = |one: predict::SetAside| SetAsideRecord {
        trial: one.trial.to_string(),
        why: one.why,
        left_out: one.is_left_out,
    };
    predict::set_aside(piece).into_iter().map(record).collect()
}
