//! `rank --json`.

use std::collections::BTreeMap;

use predict::{EvidenceKind, Ranking, Row, WayBack};
use serde::Serialize;

use super::{IntervalRecord, part_name};

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
    /// Cautions for its steps.
    pub cautions: Vec<String>,
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
        Self {
            part: part_name(piece, ranking.part),
            match_sample: ranking.match_sample.clone(),
            tolerance_de00: ranking.tolerance_de00,
            rows: ranking.rows.iter().map(|row| RankRowRecord::new(piece, row)).collect(),
            barred: ranking.barred.iter().map(|barred| BarredRecord::new(piece, barred)).collect(),
            untried: ranking.untried.clone(),
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
            cautions: row.cautions.iter().map(|caution| format!("{} {}", caution.lead, caution.text)).collect(),
        }
    }
}

impl BarredRecord {
    pub(super) fn new(piece: &piece::Piece, barred: &predict::Barred) -> Self {
        Self { part: part_name(piece, barred.part), what: barred.what.clone(), why: barred.why.clone() }
    }
}
