//! Trials: what was done on a board or part, and what was read before, between and after.

use crate::{ReadingId, Step, Surface, TrialId};

/// Steps done on a spot of a board or part, with readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Stable id.
    pub id: TrialId,
    /// Where.
    pub on: Surface,
    /// Readings of the spot before the first step.
    pub before: Vec<ReadingId>,
    /// The steps in order, each with the readings taken after it.
    pub stages: Vec<Stage>,
    /// When, RFC 3339 text; empty where not noted.
    pub made: String,
    /// Free text: 'patchy', 'veneer lifted'.
    pub note: String,
}

impl Trial {
    /// A trial without a time or a note.
    pub fn new(id: TrialId, on: Surface, before: Vec<ReadingId>, stages: Vec<Stage>) -> Self {
        Self { id, on, before, stages, made: String::new(), note: String::new() }
    }

    /// All its readings, before and after each step, in order.
    pub fn readings(&self) -> impl Iterator<Item = ReadingId> + '_ {
        self.before.iter().chain(self.stages.iter().flat_map(|stage| &stage.readings)).copied()
    }

    /// Its steps, in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> + '_ {
        self.stages.iter().map(|stage| &stage.step)
    }
}

/// One step of a trial, and the readings taken after it, in their states.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// What was done.
    pub step: Step,
    /// Readings taken after it.
    pub readings: Vec<ReadingId>,
}
