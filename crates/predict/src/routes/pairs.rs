//! The pairs that are judged: parts in sight of each other, and each part against the match sample.

use piece::{Part, PartId, Piece};

use crate::{outcome::Start, sight, target::Target};

/// A pair in sight, by place among the parts; the second is None for the match sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pair {
    pub(crate) a: usize,
    pub(crate) b: Option<usize>,
    pub(crate) tolerance_de00: f64,
}

/// Least tolerance that is reckoned with, ΔE2000.
const LEAST_TOLERANCE_DE00: f64 = 0.1;

/// Pairs in sight, and each part against the match sample: also the part that is the match sample, which a route may
/// leave.
pub(crate) fn pairs(piece: &Piece, parts: &[(&Part, Start)], target: Option<&Target>) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for a in 0..parts.len() {
        for b in a + 1..parts.len() {
            let (id_a, id_b): (PartId, PartId) = (parts[a].0.id, parts[b].0.id);
            let meeting = sight::meeting(piece, id_a, id_b);
            let tolerance = meeting.map(|meeting| piece.tolerances.of(id_a, id_b, meeting).max(LEAST_TOLERANCE_DE00));
            pairs.extend(tolerance.map(|tolerance_de00| Pair { a, b: Some(b), tolerance_de00 }));
        }
    }
    if target.is_some() {
        let tolerance_de00 = piece.tolerances.match_sample_de00.max(LEAST_TOLERANCE_DE00);
        pairs.extend((0..parts.len()).map(|a| Pair { a, b: None, tolerance_de00 }));
    }
    pairs
}
