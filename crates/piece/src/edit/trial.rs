//! Edits of trials.

use std::sync::Arc;

use super::{give, place, unused};
use crate::{Error, Piece, ReadingId, Trial, TrialId, uses, valid};

/// A change to the trials.
#[derive(Clone, Debug, PartialEq)]
pub enum TrialEdit {
    /// Logs a trial; its id is given by the piece.
    Log(Trial),
    /// Puts this in the place of the trial with the same id.
    Change(Trial),
    /// Attaches a reading: before the first step, or after the step at this place.
    Attach {
        /// The trial.
        trial: TrialId,
        /// After which step, counted from 0; none: before the first.
        after: Option<usize>,
        /// The reading.
        reading: ReadingId,
    },
    /// Takes a reading out of a trial; the reading stays.
    Detach(TrialId, ReadingId),
    /// Removes a trial; its readings stay.
    Remove(TrialId),
}

impl TrialEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Log(_) => "log trial",
            Self::Change(_) => "change trial",
            Self::Attach { .. } => "attach reading",
            Self::Detach(..) => "detach reading",
            Self::Remove(_) => "remove trial",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Log(trial) => {
                valid::trial(piece, trial)?;
                let id = give(piece)?;
                piece.trials.push(Arc::new(Trial { id, ..trial.clone() }));
                Ok(())
            }
            Self::Change(trial) => replace(piece, trial.clone()),
            Self::Attach { trial, after, reading } => attach(piece, *trial, *after, *reading),
            Self::Detach(trial, reading) => detach(piece, *trial, *reading),
            Self::Remove(id) => {
                let at = place(&piece.trials, |trial| trial.id, *id)?;
                unused(|| format!("trial {id}"), &uses::of_trial(piece, *id))?;
                piece.trials.remove(at);
                Ok(())
            }
        }
    }
}

fn replace(piece: &mut Piece, trial: Trial) -> Result<(), Error> {
    let at = place(&piece.trials, |trial| trial.id, trial.id)?;
    valid::trial(piece, &trial)?;
    piece.trials[at] = Arc::new(trial);
    Ok(())
}

fn attach(piece: &mut Piece, id: TrialId, after: Option<usize>, reading: ReadingId) -> Result<(), Error> {
    let at = place(&piece.trials, |trial| trial.id, id)?;
    let mut trial = (*piece.trials[at]).clone();
    match after {
        None => trial.before.push(reading),
        Some(stage) => match trial.stages.get_mut(stage) {
            Some(stage) => stage.readings.push(reading),
            None => {
                let problem =
                    format!("has {} steps, none at place {}: choose one of them", trial.stages.len(), stage + 1);
                return Err(Error::invalid(format!("trial {id}"), problem));
            }
        },
    }
    replace(piece, trial)
}

fn detach(piece: &mut Piece, id: TrialId, reading: ReadingId) -> Result<(), Error> {
    let at = place(&piece.trials, |trial| trial.id, id)?;
    let mut trial = (*piece.trials[at]).clone();
    if !trial.readings().any(|held| held == reading) {
        return Err(Error::NoSuch { kind: "reading in the trial,", id: reading.to_string() });
    }
    trial.before.retain(|held| *held != reading);
    for stage in &mut trial.stages {
        stage.readings.retain(|held| *held != reading);
    }
    // The rest of the trial is left as it is, even where it could not be logged so today.
    piece.trials[at] = Arc::new(trial);
    Ok(())
}
