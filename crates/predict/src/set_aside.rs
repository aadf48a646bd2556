//! Trials that cannot be as they are written down: nothing is learned from them, and it is said why.

use std::borrow::Cow;

use piece::{Piece, Step, Trial, TrialId, check};

use crate::trade;

/// A trial that is set aside.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// The trial.
    pub trial: TrialId,
    /// What is wrong with it, and what to do.
    pub why: String,
}

/// The trials of a piece that are set aside: what [`check::of_trial`] finds wrong, and steps that may not follow one another.
pub fn set_aside(piece: &Piece) -> Vec<SetAside> {
    let of_trial = |trial: &Trial| {
        let wrong = check::of_trial(piece, trial).into_iter().map(|problem| problem.text).next();
        let steps: Vec<Step> = trial.steps().cloned().collect();
        let why =
            wrong.or_else(|| trade::order_objection(piece, &steps).map(|why| format!("{why}; correct its steps")))?;
        Some(SetAside { trial: trial.id, why })
    };
    piece.trials.iter().filter_map(|trial| of_trial(trial)).collect()
}

/// The piece without the trials that are set aside.
pub(crate) fn sound(piece: &Piece) -> Cow<'_, Piece> {
    let aside = set_aside(piece);
    if aside.is_empty() {
        return Cow::Borrowed(piece);
    }
    let mut piece = piece.clone();
    piece.trials.retain(|trial| aside.iter().all(|one| one.trial != trial.id));
    Cow::Owned(piece)
}
