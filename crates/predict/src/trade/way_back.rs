//! What can be taken back. Common practice, no source.

use piece::{Piece, Step};

use super::step_words;
use crate::{WayBack, conditions::is_pigment};

/// What becomes of one step when it is to be taken back: all that is said of it comes from here.
enum Way {
    Whole,
    InPart,
    /// Nothing of it, and why.
    None(&'static str),
}

/// Glaze and toner come off wholly, dye in part; what a bleach or sanding took is gone, and no bleach takes out pigment.
fn way(piece: &Piece, step: &Step) -> Way {
    match step {
        Step::Sand { .. } => Way::None("what is sanded off, patina above all, is gone"),
        Step::Bleach { .. } => Way::None("what it takes out does not come back"),
        Step::Stain { product, .. } if is_pigment(piece, *product) => {
            Way::None("pigment stays in the pores, over any patina")
        }
        Step::Dye { .. } | Step::Stain { .. } | Step::Fill { .. } | Step::Washcoat => Way::InPart,
        _ => Way::Whole,
    }
}

/// Whether steps can be taken back. The worst step decides: colour put on after a bleach does not bring back what the bleach took
/// out. [`WayBack::None`] exactly where [`irreversible`] names a step.
pub fn way_back(piece: &Piece, steps: &[Step]) -> WayBack {
    let of_step = |step: &Step| match way(piece, step) {
        Way::Whole => WayBack::Whole,
        Way::InPart => WayBack::InPart,
        Way::None(_) => WayBack::None,
    };
    steps.iter().map(of_step).max().unwrap_or(WayBack::Whole)
}

/// What cannot be undone, in words, step by step, with the reason.
pub fn irreversible(piece: &Piece, steps: &[Step]) -> Vec<String> {
    let of_step = |step: &Step| match way(piece, step) {
        Way::None(why) => Some(format!("{}: {why}", step_words(piece, step))),
        Way::Whole | Way::InPart => None,
    };
    steps.iter().filter_map(of_step).collect()
}
