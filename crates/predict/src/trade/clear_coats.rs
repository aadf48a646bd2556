//! The clear coats that go over every schedule.

use piece::{Piece, Step};

/// These steps with the piece's clear coats over them: a sealer and the topcoat, where it has one and they hold none yet.
pub fn under_clear_coats(piece: &Piece, mut steps: Vec<Step>) -> Vec<Step> {
    let Some((topcoat, sheen)) = &piece.topcoat else { return steps };
    if steps.iter().any(|step| matches!(step, Step::Topcoat { .. })) {
        return steps;
    }
    if !steps.contains(&Step::Seal) {
        steps.push(Step::Seal);
    }
    steps.push(Step::Topcoat { topcoat: topcoat.clone(), sheen: sheen.clone() });
    steps
}
