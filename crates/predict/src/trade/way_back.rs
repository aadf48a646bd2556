//! What can be taken back. Common practice, no source.

use piece::{Piece, Step};

use super::step_words;
use crate::{WayBack, conditions::is_pigment};

/// Whether steps can be taken back: glaze and toner wholly, dye and stain in part, bleach and sanding not. The worst step
/// decides: colour put on after a bleach does not bring back what the bleach took out.
pub fn way_back(steps: &[Step]) -> WayBack {
    let of_step = |step: &Step| match step {
        Step::Sand { .. } | Step::Bleach { .. } => WayBack::None,
        Step::Dye { .. } | Step::Stain { .. } | Step::Fill { .. } | Step::Washcoat => WayBack::InPart,
        _ => WayBack::Whole,
    };
    steps.iter().map(of_step).max().unwrap_or(WayBack::Whole)
}

/// What cannot be undone, in words: what is gone is gone, and pigment stays in the pores.
pub fn irreversible(piece: &Piece, steps: &[Step]) -> Vec<String> {
    let of_step = |step: &Step| match step {
        Step::Sand { .. } => {
            Some(format!("{}: what is sanded off, patina above all, is gone", step_words(piece, step)))
        }
        Step::Bleach { .. } => Some(format!("{}: what it takes out does not come back", step_words(piece, step))),
        Step::Stain { product, .. } if is_pigment(piece, *product) => {
            Some(format!("{}: pigment stays in the pores; it buries the patina", step_words(piece, step)))
        }
        _ => None,
    };
    steps.iter().filter_map(of_step).collect()
}
