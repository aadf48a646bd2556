//! `check --json`.

use serde::Serialize;

use super::SetAsideRecord;

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

/// What is wrong with a piece beside the trials that are told as set aside, as far as can be seen without its folder.
pub(super) fn problems_beside(piece: &piece::Piece, set_aside: &[SetAsideRecord]) -> Vec<ProblemRecord> {
    let is_told = |problem: &piece::Problem| {
        set_aside.iter().any(|one| problem.at == format!("trial {}", one.trial) && problem.text == one.why)
    };
    piece::check::check(piece).iter().filter(|problem| !is_told(problem)).map(ProblemRecord::from).collect()
}

impl From<&piece::Problem> for ProblemRecord {
    fn from(problem: &piece::Problem) -> Self {
        Self { at: problem.at.clone(), text: problem.text.clone() }
    }
}
