//! Trials that nothing is learned from.

use serde::Serialize;

/// A trial that is set aside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAsideRecord {
    /// The trial.
    pub trial: String,
    /// What is wrong with it, and what to do.
    pub why: String,
}

/// The trials of a piece that are set aside.
pub(super) fn set_aside(piece: &piece::Piece) -> Vec<SetAsideRecord> {
    let record = |one: predict::SetAside| SetAsideRecord { trial: one.trial.to_string(), why: one.why };
    predict::set_aside(piece).into_iter().map(record).collect()
}
