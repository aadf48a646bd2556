//! How far apart the parts are, and which way.

use colour::Difference;
use piece::{Meeting, PartId, Piece};

use crate::{Interval, Verdict};

/// All differences within a piece as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// Pairs of parts: those that meet first, in the order of the piece.
    pub pairs: Vec<PairRow>,
    /// Each part against the match sample, where one is set.
    pub to_match: Vec<MatchRow>,
    /// What could not be compared, and why.
    pub not_compared: Vec<NotCompared>,
}

/// Two parts: what `b` is against `a`.
#[derive(Clone, Debug, PartialEq)]
pub struct PairRow {
    /// The first part.
    pub a: PartId,
    /// The second part, described against the first.
    pub b: PartId,
    /// How they meet; None for parts that do not meet in sight.
    pub meeting: Option<Meeting>,
    /// The state in which both are compared: 'bare dry'.
    pub state: String,
    /// Difference of the two best estimates.
    pub difference: Difference,
    /// ΔE2000.
    pub de00: Interval,
    /// ΔL′.
    pub dl: Interval,
    /// ΔC′.
    pub dc: Interval,
    /// ΔH′.
    pub dh: Interval,
    /// What the bounds allow to be said.
    pub verdict: Verdict,
    /// A sentence: 'clear: the leaf is darker and a little redder'.
    pub words: String,
    /// ΔE2000 that counts as a match here.
    pub tolerance_de00: f64,
    /// Chance that the true difference is within the tolerance.
    pub chance_within: f64,
    /// Where a reading was carried across from another state: which, and how.
    pub carried: Option<String>,
}

/// A part against the match sample: what the part is against it.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchRow {
    /// The part.
    pub part: PartId,
    /// The match sample in words.
    pub against: String,
    /// The state in which both are compared.
    pub state: String,
    /// Difference of the two best estimates.
    pub difference: Difference,
    /// ΔE2000.
    pub de00: Interval,
    /// ΔL′.
    pub dl: Interval,
    /// ΔC′.
    pub dc: Interval,
    /// ΔH′.
    pub dh: Interval,
    /// What the bounds allow to be said.
    pub verdict: Verdict,
    /// A sentence.
    pub words: String,
    /// ΔE2000 that counts as a match here.
    pub tolerance_de00: f64,
    /// Chance that the true difference is within the tolerance.
    pub chance_within: f64,
    /// Where a reading was carried across from another state: which, and how.
    pub carried: Option<String>,
}

/// Something that could not be compared.
#[derive(Clone, Debug, PartialEq)]
pub struct NotCompared {
    /// The parts concerned.
    pub parts: Vec<PartId>,
    /// Why, and what would help.
    pub reason: String,
}

/// Compares the parts that meet, all other pairs, and each part with the match sample.
pub fn compare(piece: &Piece) -> Comparison {
    let _ = piece;
    Comparison::default()
}
