//! The trade: the order of steps, what may not be done, working and drying hours. Common practice, no source; the
//! product's label and data sheet win, always.

use piece::{Part, Piece, Step};

/// Why these steps may not be done to this part in this order; None where nothing speaks against them.
pub fn objection(piece: &Piece, part: &Part, steps: &[Step]) -> Option<String> {
    let _ = (piece, part, steps);
    None
}

/// One step in the trade's words: 'Amber dye, 4 g/L', 'Oak stain reduced 1:2, 2 coats'.
pub fn step_words(piece: &Piece, step: &Step) -> String {
    let _ = piece;
    format!("{step:?}")
}

/// Hours of work on this many square metres.
pub fn hours(step: &Step, area_m2: f64) -> f64 {
    let _ = (step, area_m2);
    0.0
}

/// Hours to wait before the next step.
pub fn drying_hours(piece: &Piece, step: &Step) -> f64 {
    let _ = (piece, step);
    0.0
}

/// Millilitres needed for this area, waste included; None for a step that needs no liquid.
pub fn millilitres(piece: &Piece, step: &Step, area_m2: f64) -> Option<f64> {
    let _ = (piece, step, area_m2);
    None
}
