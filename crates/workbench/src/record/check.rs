//! `check --json`.

use serde::Serialize;

/// What is wrong with a piece folder.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckRecord {
    /// The folder as it was named.
    pub folder: String,
    /// The piece's name.
    pub piece: String,
    /// The problems; empty where nothing is wrong.
    pub problems: Vec<ProblemRecord>,
}

/// One problem.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProblemRecord {
    /// Where.
    pub at: String,
    /// What is wrong, and what to do about it.
    pub text: String,
}

impl From<&piece::Problem> for ProblemRecord {
    fn from(problem: &piece::Problem) -> Self {
        Self { at: problem.at.clone(), text: problem.text.clone() }
    }
}
