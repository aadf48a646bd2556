//! What is wrong with a piece.

use std::fmt;

use crate::{PhotoId, Piece};

/// One thing that is wrong: where, what, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where: 'reading r3'.
    pub at: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub to_do: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {}", self.at, self.what, self.to_do)
    }
}

/// What is wrong with a piece, as far as can be seen without its folder.
pub fn check(piece: &Piece) -> Vec<Problem> {
    check_with_missing(piece, &[])
}

/// The same, where the files of these photos are not in the folder.
pub fn check_with_missing(piece: &Piece, missing: &[PhotoId]) -> Vec<Problem> {
    let _ = (piece, missing);
    Vec::new()
}
