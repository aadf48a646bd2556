//! One schedule, and what it is expected to give.

use piece::{Part, Piece, Step, TrialId};

use super::schedule_id;
use crate::{
    AgeingNote, Caution, Estimate, Interval, Patchiness, ageing, because::because, caution, judge::nearness,
    outcome::Outcome, trade,
};

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
    /// ΔE2000 that is to be expected: the mean over the joint draws. What is uncertain mostly lies farther off than its best value.
    pub expected_de00: f64,
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
    /// The same in words: 'because of trials 2 and 5 on the same wood'. None where nothing is done.
    pub because: Option<String>,
    /// What it makes of an uneven part's patchiness. None for one that is even, or not known to be uneven.
    pub patchiness: Option<Patchiness>,
    /// What to know of the colour in a year.
    pub ageing: Vec<AgeingNote>,
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
    /// Trials of earlier pieces, from the shop book.
    EarlierPieces,
    /// Published figures only, or common practice.
    PublishedOnly,
    /// Nothing is done to the colour.
    NoEffect,
}

/// A row.
pub(crate) fn row(
    piece: &Piece,
    part: &Part,
    steps: &[Step],
    outcome: Outcome,
    target: &Estimate,
    tolerance_de00: f64,
) -> Row {
    let predicted = Estimate::from_draws(outcome.draws);
    let near = nearness((target.mean, &target.draws), (predicted.mean, &predicted.draws), tolerance_de00);
    let all = trade::under_clear_coats(piece, if steps.is_empty() { vec![Step::LeaveNatural] } else { steps.to_vec() });
    Row {
        id: schedule_id(steps),
        words: trade::schedule_words(piece, steps),
        hours: hours(part, steps),
        wait_hours: wait_hours(piece, steps),
        reversible: trade::way_back(piece, steps),
        irreversible: trade::irreversible(piece, steps),
        cautions: caution::for_steps(&all, piece),
        steps: all,
        predicted,
        de00: near.de00,
        expected_de00: near.expected,
        chance_within: near.chance_within,
        because: because(piece, Some(part), &outcome.evidence.trials, outcome.evidence.kind),
        patchiness: None,
        ageing: ageing::notes(part, steps),
        evidence: outcome.evidence,
    }
}

/// Hours of the steps that colour the part; sealing is common to all schedules.
pub(crate) fn hours(part: &Part, steps: &[Step]) -> f64 {
    let area_m2 = part.usable_area_m2().unwrap_or(trade::DEFAULT_AREA_M2);
    steps.iter().filter(|step| !matches!(step, Step::Seal)).fold(0.0, |sum, step| sum + trade::hours(step, area_m2))
}

/// Hours of drying of the steps that colour the part.
pub(crate) fn wait_hours(piece: &Piece, steps: &[Step]) -> f64 {
    // From a positive zero: an empty sum of floats is −0.
    steps.iter().fold(0.0, |sum, step| sum + trade::drying_hours(piece, step))
}
