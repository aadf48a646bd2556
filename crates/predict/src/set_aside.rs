//! Trials that cannot be as they are written down. From one with a number out of its range nothing is learned; of the others
//! it is said what cannot be right.

use std::borrow::Cow;

use piece::{Piece, Step, Trial, TrialId, check};

use crate::trade;

/// A trial that cannot be as it is written down.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// The trial.
    pub trial: TrialId,
    /// What is wrong with it, and what to do.
    pub why: String,
    /// Whether nothing is learned from it.
    pub is_left_out: bool,
}

/// The trials of a piece that cannot be: what [`check::of_trial`] finds wrong, and steps that may not follow one another.
pub fn set_aside(piece: &Piece) -> Vec<SetAside> {
    let of_trial = |trial: &Trial| {
        let wrong = check::of_trial(piece, trial).into_iter().map(|problem| problem.text).next();
        let steps: Vec<Step> = trial.steps().cloned().collect();
        let order = || trade::order_objection(piece, &steps).map(|why| format!("{why}; correct its steps"));
        let why = wrong.or_else(order)?;
        Some(SetAside { trial: trial.id, why, is_left_out: !check::can_be(trial) })
    };
    piece.trials.iter().filter_map(|trial| of_trial(trial)).collect()
}

/// The piece without the trials from which nothing is learned.
pub(crate) fn sound(piece: &Piece) -> Cow<'_, Piece> {
    if piece.trials.iter().all(|trial| check::can_be(trial)) {
        return Cow::Borrowed(piece);
    }
    let mut sound = piece.clone();
    sound.trials.retain(|trial| check::can_be(trial));
    Cow::Owned(sound)
}
