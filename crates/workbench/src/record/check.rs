//! `check --json`.

use serde::Serialize;

use super::{SetAsideRecord, set_aside::notes};

/// What is wrong with a piece folder.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckRecord {
    /// The folder as it was named.
    pub folder: String,
    /// The piece's name.
    pub piece: String,
    /// The problems; empty where nothing is wrong.
    pub problems: Vec<ProblemRecord>,
    /// What is assumed of how the parts meet and of the grit, what stands in where a trial's reading is missing, and which trials the others
    /// contradict: nothing wrong in itself.
    pub notes: Vec<String>,
}

/// One problem.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProblemRecord {
    /// Where.
    pub at: String,
    /// What is wrong, and what to do about it.
    pub text: String,
}

impl CheckRecord {
    /// The record of what was found in a folder.
    pub fn new(folder: &str, piece: &piece::Piece, problems: &[piece::Problem]) -> Self {
        Self {
            folder: folder.to_owned(),
            piece: piece.name.clone(),
            problems: problems.iter().map(ProblemRecord::from).collect(),
            notes: notes(piece),
        }
    }
}

/// What is wrong with a piece beside the trials that are told as set aside, as far as can be seen without its folder.
pub(super) fn problems_beside(piece: &piece::Piece, set_aside: &[SetAsideRecord]) -> Vec<ProblemRecord> {
    let is_told = |problem: &piece::Problem| {
        set_aside.iter().any(|one| problem.at == format!("trial {}", one.trial) && problem.text == one.why)
    };
    let found = piece::check::check(piece).into_iter().chain(predict::trade::problems(piece));
    found.filter(|problem| !is_told(problem)).map(|problem| ProblemRecord::from(&problem)).collect()
}

impl From<&piece::Problem> for ProblemRecord {
    fn from(problem: &piece::Problem) -> Self {
        Self { at: problem.at.clone(), text: problem.text.clone() }
    }
}
