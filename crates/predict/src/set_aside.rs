//! Trials that cannot be as they are written down. Nothing is learned from a number out of its range, from a step put where it
//! cannot act, nor again from readings that an earlier trial has; of the others it is said what cannot be right.

use std::{borrow::Cow, collections::BTreeSet, sync::Arc};

use piece::{MatchSample, Piece, Reading, ReadingId, Trial, TrialId, check};

use crate::{adrift::adrift, trade};

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

/// The trials of a piece that cannot be: what [`check::cannot_be`] and [`check::of_trial`] find wrong, and steps that may not follow
/// one another.
pub fn set_aside(piece: &Piece) -> Vec<SetAside> {
    let of_trial = |(trial, sound): (&Arc<Trial>, Option<Trial>)| {
        let wrong = || check::of_trial(piece, trial).into_iter().map(|problem| problem.text).next();
        let order = || trade::trial_objection(piece, trial);
        let why = check::cannot_be(piece, trial).or_else(wrong).or_else(order)?;
        Some(SetAside { trial: trial.id, why, is_left_out: sound.is_none() })
    };
    piece.trials.iter().zip(sound_trials(piece)).filter_map(of_trial).collect()
}

/// The piece without what nothing is learned from, with tolerances that can be.
pub(crate) fn sound(piece: &Piece) -> Cow<'_, Piece> {
    let trials = sound_trials(piece);
    let as_they_are = piece.trials.iter().zip(&trials).all(|(trial, sound)| sound.as_ref() == Some(&**trial));
    let tolerances = piece.tolerances.usable();
    let adrift = adrift(piece);
    let can_be_read = |reading: &Reading| check::can_be_read(reading) && !adrift.contains(&reading.id);
    if as_they_are && tolerances == piece.tolerances && piece.readings.iter().all(|reading| can_be_read(reading)) {
        return Cow::Borrowed(piece);
    }
    let mut sound = piece.clone();
    sound.tolerances = tolerances;
    sound.trials = trials.into_iter().flatten().map(Arc::new).collect();
    // What was read after a step that is left out is no reading of the untouched surface.
    let stages = |piece: &Piece| -> BTreeSet<ReadingId> {
        piece.trials.iter().flat_map(|trial| &trial.stages).flat_map(|stage| stage.readings.clone()).collect()
    };
    let (all, kept) = (stages(piece), stages(&sound));
    let is_match = |id: ReadingId| piece.match_sample == MatchSample::Reading(id);
    let stays = |id: ReadingId| kept.contains(&id) || !all.contains(&id) || is_match(id);
    sound.readings.retain(|reading| can_be_read(reading) && stays(reading.id));
    Cow::Owned(sound)
}

/// What of each trial is learned from; None where nothing is.
fn sound_trials(piece: &Piece) -> Vec<Option<Trial>> {
    let mut counted: BTreeSet<ReadingId> = BTreeSet::new();
    let mut of_trial = |trial: &Trial| {
        if check::cannot_be(piece, trial).is_some() {
            return None;
        }
        let mut sound = trial.clone();
        sound.stages.truncate(trade::in_place(piece, trial));
        for stage in &mut sound.stages {
            stage.readings.retain(|id| !counted.contains(id));
        }
        let read = |one: &Trial| one.stages.iter().any(|stage| !stage.readings.is_empty());
        if read(trial) && !read(&sound) {
            return None;
        }
        counted.extend(sound.stages.iter().flat_map(|stage| &stage.readings));
        Some(sound)
    };
    piece.trials.iter().map(|trial| of_trial(trial)).collect()
}
