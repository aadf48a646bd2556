//! `compare --json`.

use predict::{Compared, Comparison, MatchRow, PairRow};
use serde::Serialize;

use super::{IntervalRecord, ProblemRecord, check::problems_beside, part_name};

/// All differences within a piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CompareRecord {
    /// The piece's name.
    pub piece: String,
    /// True where the data are invented (demo pieces).
    pub invented: bool,
    /// Pairs of parts, those that meet first.
    pub pairs: Vec<PairRecord>,
    /// Each part against the match sample.
    pub to_match: Vec<MatchRecord>,
    /// What could not be compared, and why.
    pub not_compared: Vec<NotComparedRecord>,
    /// What is assumed of how the parts meet.
    pub notes: Vec<String>,
    /// What else is wrong with the piece, as `check` says it: numbers made from it are doubtful.
    pub problems: Vec<ProblemRecord>,
}

/// Two parts: what `b` is against `a`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PairRecord {
    /// The first part.
    pub a: String,
    /// The second part.
    pub b: String,
    /// Whether they meet in sight; where no joints are entered, all are reckoned to, and a note says so.
    pub meet: bool,
    /// What was found.
    #[serde(flatten)]
    pub found: ComparedRecord,
}

/// A part against the match sample.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MatchRecord {
    /// The part.
    pub part: String,
    /// The match sample in words.
    pub against: String,
    /// What was found.
    #[serde(flatten)]
    pub found: ComparedRecord,
}

/// What a comparison of two colours found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparedRecord {
    /// The state both are compared in.
    pub state: String,
    /// How they differ.
    #[serde(flatten)]
    pub apart: ApartRecord,
    /// Where a reading was carried across from another state, which and how; else null.
    pub carried: Option<String>,
}

/// How two colours differ.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ApartRecord {
    /// ΔE2000.
    pub de00: IntervalRecord,
    /// ΔL′.
    pub dl: IntervalRecord,
    /// ΔC′.
    pub dc: IntervalRecord,
    /// ΔH′.
    pub dh: IntervalRecord,
    /// The verdict and the direction, in words.
    pub words: String,
    /// ΔE2000 that counts as a match.
    pub tolerance_de00: f64,
    /// Chance of being within it.
    pub chance_within: f64,
}

/// Something that could not be compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotComparedRecord {
    /// The parts concerned.
    pub parts: Vec<String>,
    /// Why, and what would help.
    pub reason: String,
}

impl NotComparedRecord {
    /// The records of all of these.
    pub(super) fn all(piece: &piece::Piece, not: &[predict::NotCompared]) -> Vec<Self> {
        let names = |parts: &[piece::PartId]| parts.iter().map(|&part| part_name(piece, part)).collect();
        not.iter().map(|not| Self { parts: names(&not.parts), reason: not.reason.clone() }).collect()
    }
}

impl CompareRecord {
    /// The record of a comparison of this piece.
    pub fn new(piece: &piece::Piece, comparison: &Comparison) -> Self {
        Self {
            piece: piece.name.clone(),
            invented: piece.invented,
            pairs: comparison.pairs.iter().map(|row| PairRecord::new(piece, row)).collect(),
            to_match: comparison.to_match.iter().map(|row| MatchRecord::new(piece, row)).collect(),
            not_compared: NotComparedRecord::all(piece, &comparison.not_compared),
            notes: predict::sight::assumed_meeting(piece).map(str::to_owned).into_iter().collect(),
            problems: problems_beside(piece, &[]),
        }
    }

    /// Whether every pair that meets, and every part against the match sample, is more likely within its tolerance than
    /// not, and all of them could be compared.
    pub fn all_match(&self) -> bool {
        let meeting = self.pairs.iter().filter(|pair| pair.meet).map(|pair| pair.found.apart.chance_within);
        let to_match = self.to_match.iter().map(|row| row.found.apart.chance_within);
        self.not_compared.is_empty() && meeting.chain(to_match).all(|chance| chance >= 0.5)
    }
}

impl PairRecord {
    fn new(piece: &piece::Piece, row: &PairRow) -> Self {
        Self {
            a: part_name(piece, row.a),
            b: part_name(piece, row.b),
            meet: row.meeting.is_some(),
            found: ComparedRecord::new(&row.found),
        }
    }
}

impl MatchRecord {
    fn new(piece: &piece::Piece, row: &MatchRow) -> Self {
        Self { part: part_name(piece, row.part), against: row.against.clone(), found: ComparedRecord::new(&row.found) }
    }
}

impl ComparedRecord {
    fn new(found: &Compared) -> Self {
        Self { state: found.state.clone(), apart: ApartRecord::new(found), carried: found.carried.clone() }
    }
}

impl ApartRecord {
    pub(super) fn new(found: &Compared) -> Self {
        Self {
            de00: found.de00.into(),
            dl: found.dl.into(),
            dc: found.dc.into(),
            dh: found.dh.into(),
            words: found.words.clone(),
            tolerance_de00: found.tolerance_de00,
            chance_within: found.chance_within,
        }
    }
}
