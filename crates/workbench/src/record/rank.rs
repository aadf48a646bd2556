//! `rank --json`.

use std::collections::BTreeMap;

use predict::{EvidenceKind, Ranking, Row, WayBack};
use serde::Serialize;

use super::{
    IntervalRecord, OfferedMixRecord, ProblemRecord, SetAsideRecord,
    check::problems_beside,
    part_name,
    set_aside::{notes, set_aside},
};

/// What can be done to one part, best first.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RankRecord {
    /// The part.
    pub part: String,
    /// The colour to reach, in words.
    pub match_sample: String,
    /// ΔE2000 that counts as a match.
    pub tolerance_de00: f64,
    /// The schedules.
    pub rows: Vec<RankRowRecord>,
    /// What may not be done, and why.
    pub barred: Vec<BarredRecord>,
    /// Steps without evidence: listed, not predicted.
    pub untried: Vec<String>,
    /// Trials that cannot be as they are written down, and why.
    pub set_aside: Vec<SetAsideRecord>,
    /// What is assumed of how the parts meet and of the grit, what stands in where a trial's reading is missing, and which trials the others
    /// contradict.
    pub notes: Vec<String>,
    /// What else is wrong with the piece, as `check` says it: numbers made from it are doubtful.
    pub problems: Vec<ProblemRecord>,
    /// Mixes that the schedules name and that are not in the piece yet.
    pub mixes: Vec<OfferedMixRecord>,
}

/// One schedule for a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RankRowRecord {
    /// The steps in words.
    pub schedule: String,
    /// Each step in words, in order.
    pub steps: Vec<String>,
    /// The final colour, in the state the match is judged in.
    pub predicted_lab: [f64; 3],
    /// Its covariance.
    pub covariance: [[f64; 3]; 3],
    /// ΔE2000 to the colour to reach.
    pub de00: IntervalRecord,
    /// ΔE2000 that is to be expected: the mean over the joint draws. Rows of equal odds, in tenths, are in its order.
    pub expected_de00: f64,
    /// Chance to be within tolerance.
    pub chance_within: f64,
    /// Hours of work.
    pub hours: f64,
    /// Hours of waiting.
    pub wait_hours: f64,
    /// Whether it can be taken back: `whole`, `in part`, `none`.
    pub reversible: &'static str,
    /// What stands behind it.
    pub evidence: EvidenceRecord,
    /// The same in words; null where nothing is done.
    pub because: Option<String>,
    /// What it makes of an uneven part's patchiness; null for one that is not known to be uneven.
    pub patchiness: Option<PatchinessRecord>,
    /// What to know of the colour in a year.
    pub ageing: Vec<AgeingRecord>,
    /// Cautions for its steps.
    pub cautions: Vec<String>,
}

/// How far apart the light and dark spots of an uneven part are.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PatchinessRecord {
    /// ΔE2000 between them left natural.
    pub natural_de00: f64,
    /// ΔE2000 between them after the schedule.
    pub after_de00: f64,
    /// In words.
    pub words: String,
}

/// What becomes of a colour within about a year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AgeingRecord {
    /// What is expected.
    pub text: String,
    /// Where that is known from.
    pub source: String,
}

/// What stands behind a prediction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EvidenceRecord {
    /// The trials it was learned from.
    pub trials: Vec<String>,
    /// `tested`, `published figures only` or `nothing done`.
    pub kind: &'static str,
    /// Weight of each law.
    pub law_weights: BTreeMap<&'static str, f64>,
    /// What to know about it.
    pub notes: Vec<String>,
}

/// Something that may not be done.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BarredRecord {
    /// The part.
    pub part: String,
    /// The step in words.
    pub what: String,
    /// Why not.
    pub why: String,
}

impl RankRecord {
    /// The record of a ranking for this piece.
    pub fn new(piece: &piece::Piece, ranking: &Ranking) -> Self {
        let piece = &*predict::with_mixes(piece, &ranking.mixes);
        let set_aside = set_aside(piece);
        Self {
            part: part_name(piece, ranking.part),
            notes: notes(piece),
            problems: problems_beside(piece, &set_aside),
            set_aside,
            match_sample: ranking.match_sample.clone(),
            tolerance_de00: ranking.tolerance_de00,
            rows: ranking.rows.iter().map(|row| RankRowRecord::new(piece, row)).collect(),
            barred: ranking.barred.iter().map(|barred| BarredRecord::new(piece, barred)).collect(),
            untried: ranking.untried.clone(),
            mixes: OfferedMixRecord::all(piece, &ranking.mixes),
        }
    }
}

impl RankRowRecord {
    pub(super) fn new(piece: &piece::Piece, row: &Row) -> Self {
        Self {
            schedule: row.words.clone(),
            steps: row.steps.iter().map(|step| predict::trade::step_words(piece, step)).collect(),
            predicted_lab: super::lab(row.predicted.mean),
            covariance: row.predicted.covariance,
            de00: row.de00.into(),
            expected_de00: row.expected_de00,
            chance_within: row.chance_within,
            hours: row.hours,
            wait_hours: row.wait_hours,
            reversible: match row.reversible {
                WayBack::Whole => "whole",
                WayBack::InPart => "in part",
                WayBack::None => "none",
            },
            evidence: EvidenceRecord {
                trials: row.evidence.trials.iter().map(ToString::to_string).collect(),
                kind: match row.evidence.kind {
                    EvidenceKind::Tested => "tested",
                    EvidenceKind::EarlierPieces => "earlier pieces only",
                    EvidenceKind::PublishedOnly => "published figures only",
                    EvidenceKind::NoEffect => "nothing done",
                },
                law_weights: row.evidence.law_weights.iter().copied().collect(),
                notes: row.evidence.notes.clone(),
            },
            because: row.because.clone(),
            patchiness: row.patchiness.map(|patchiness| PatchinessRecord {
                natural_de00: patchiness.natural_de00,
                after_de00: patchiness.after_de00,
                words: patchiness.words(),
            }),
            ageing: row
                .ageing
                .iter()
                .map(|note| AgeingRecord { text: note.text.clone(), source: note.source.clone() })
                .collect(),
            cautions: row.cautions.iter().map(|caution| format!("{} {}", caution.lead, caution.text)).collect(),
        }
    }
}

impl BarredRecord {
    pub(super) fn new(piece: &piece::Piece, barred: &predict::Barred) -> Self {
        Self { part: part_name(piece, barred.part), what: barred.what.clone(), why: barred.why.clone() }
    }
}
