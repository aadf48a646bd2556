//! How a step is worked: how long it stays on, how many coats. Common practice, no source; the product's label and data
//! sheet win, always.

use piece::{Bleach, Kind, Piece, Step};

/// How to work the step, in a few words.
pub(crate) fn words(piece: &Piece, step: &Step) -> Option<&'static str> {
    let kind = |id| piece.product(id).map(|product| product.kind);
    Some(match step {
        Step::Bleach { kind: Bleach::TwoPart, .. } => "A for 5–10 min, then B, left 2–12 h",
        Step::Bleach { kind: Bleach::Oxalic, .. } => "warm, 40–120 g/L, left 10–30 min or until dry",
        Step::Bleach { kind: Bleach::Chlorine, .. } => "left 10–30 min each time",
        Step::Dye { product, .. } if kind(*product) == Some(Kind::WaterDye) => "kept wet 1–5 min",
        Step::Dye { product, .. } if kind(*product) == Some(Kind::AlcoholDye) => "sprayed, 1–3 passes",
        // The step says it itself.
        Step::Stain { wipe_minutes: Some(_), .. } => return None,
        Step::Stain { product, .. } if kind(*product) == Some(Kind::Gel) => "wiped off after 2–5 min",
        Step::Stain { .. } => "wiped off after 2–15 min",
        Step::PreWet => "reducer wiped on just before, still wet",
        Step::DampDown => "water wiped on, dried, the raised grain cut back",
        Step::Washcoat => "shellac, 60–120 g/L (½–1 lb cut)",
        Step::Toner { .. } => "light passes",
        Step::Topcoat { .. } => "two coats",
        _ => return None,
    })
}
