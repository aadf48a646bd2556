//! Edits of readings.

use std::sync::Arc;

use super::{give, place, unused};
use crate::{Error, Piece, Reading, ReadingId, Source, uses, valid};

/// A change to the readings.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadingEdit {
    /// Adds a reading; its id is given by the piece.
    Add(Box<Reading>),
    /// Puts this in the place of the reading with the same id: a region redrawn, a state corrected.
    Change(Box<Reading>),
    /// Removes a reading that no trial holds.
    Remove(ReadingId),
}

impl ReadingEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Add(reading) => match reading.source {
                Source::Photo { .. } => "draw region",
                Source::Instrument { .. } => "add instrument reading",
                Source::Typed => "type reading",
            },
            Self::Change(_) => "change reading",
            Self::Remove(_) => "remove reading",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Add(reading) => {
                valid::reading(piece, reading)?;
                let id = give(piece)?;
                piece.readings.push(Arc::new(Reading { id, ..(**reading).clone() }));
                Ok(())
            }
            Self::Change(reading) => {
                let at = place(&piece.readings, |reading| reading.id, reading.id)?;
                valid::reading(piece, reading)?;
                if reading.of != piece.readings[at].of
                    && let Some(trial) = piece.trials.iter().find(|trial| trial.readings().any(|id| id == reading.id))
                {
                    let problem =
                        format!("trial {} holds it, on another spot: take it out of the trial first", trial.id);
                    return Err(Error::invalid(format!("reading {}", reading.id), problem));
                }
                piece.readings[at] = Arc::new((**reading).clone());
                Ok(())
            }
            Self::Remove(id) => {
                let at = place(&piece.readings, |reading| reading.id, *id)?;
                unused(|| format!("reading {id}"), &uses::of_reading(piece, *id))?;
                piece.readings.remove(at);
                Ok(())
            }
        }
    }
}
