//! Working and drying hours, and how much liquid is needed. Common practice, no source.

use piece::{Bleach, Kind, Part, Piece, ProductId, Step};

/// Area assumed for a part that was not measured, m².
pub const DEFAULT_AREA_M2: f64 = 0.5;
/// Hours to get ready and clear up for any step.
const SET_UP_HOURS: f64 = 0.25;
/// Share of the liquid that is wasted.
pub const WASTE: f64 = 0.2;

/// Hours of work on this many square metres, getting ready and clearing up included.
pub fn hours(step: &Step, area_m2: f64) -> f64 {
    let area = if area_m2.is_finite() && area_m2 > 0.0 { area_m2 } else { DEFAULT_AREA_M2 };
    let (times, per_m2, set_up) = match step {
        Step::LeaveNatural => return 0.0,
        Step::Sand { .. } => (1, 1.0, SET_UP_HOURS),
        Step::PreWet | Step::DampDown => (1, 0.2, 0.1),
        Step::Dye { coats, .. } | Step::Stain { coats, .. } => (*coats, 0.55, SET_UP_HOURS),
        Step::Washcoat | Step::Seal => (1, 0.3, SET_UP_HOURS),
        Step::Fill { .. } => (1, 0.8, SET_UP_HOURS),
        // Putting on, rinsing, neutralising, rinsing.
        Step::Bleach { times, .. } => (*times, 1.5, 0.5),
        Step::Glaze { .. } => (1, 0.65, SET_UP_HOURS),
        Step::Toner { passes, .. } => (1, 0.3 + 0.2 * f64::from(*passes), 0.5),
        Step::Topcoat { .. } => (2, 0.3, SET_UP_HOURS),
    };
    f64::from(times) * (per_m2 * area + set_up)
}

fn kind_of(piece: &Piece, id: ProductId) -> Option<Kind> {
    piece.product(id).map(|product| product.kind)
}

fn own_drying(piece: &Piece, id: ProductId) -> Option<f64> {
    piece.product(id).and_then(|product| product.drying_hours).filter(|hours| hours.is_finite() && *hours >= 0.0)
}

/// Hours to wait before the next step.
pub fn drying_hours(piece: &Piece, step: &Step) -> f64 {
    let of_product = |id: ProductId, coats: u32, default: fn(Option<Kind>) -> f64| {
        own_drying(piece, id).unwrap_or_else(|| default(kind_of(piece, id))) * f64::from(coats.max(1))
    };
    match step {
        Step::LeaveNatural | Step::Sand { .. } | Step::PreWet => 0.0,
        Step::DampDown => 4.0,
        Step::Dye { product, coats, .. } => of_product(*product, *coats, |kind| match kind {
            Some(Kind::AlcoholDye) => 0.75,
            _ => 8.0,
        }),
        Step::Stain { product, coats, .. } => of_product(*product, *coats, |_| 16.0),
        Step::Glaze { product, .. } => of_product(*product, 1, |_| 16.0),
        Step::Toner { product, passes } => of_product(*product, *passes, |_| 0.5),
        Step::Fill { product } => product.and_then(|id| own_drying(piece, id)).unwrap_or(24.0),
        Step::Washcoat => 1.0,
        Step::Seal => 2.0,
        Step::Bleach { kind, times } => match kind {
            // The reaction is let finish each time, and the wood dries once rinsed.
            Bleach::TwoPart => 8.0 * f64::from(*times) + 48.0,
            Bleach::CausticAlone => 24.0,
            Bleach::Oxalic => 36.0 * f64::from(*times),
            Bleach::Chlorine => 24.0 * f64::from(*times),
        },
        Step::Topcoat { .. } => 24.0,
    }
}

/// How far the liquid of a step goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coverage {
    /// Coats, passes or times.
    pub coats: u32,
    /// Square metres to the litre in one coat.
    pub m2_per_l: f64,
    /// Whether the product says so; else it is the default.
    pub own: bool,
}

/// How far the liquid of a step goes: as its product says, or else by default; None for a step that needs no liquid.
pub fn coverage(piece: &Piece, step: &Step) -> Option<Coverage> {
    let of = |id: &ProductId, coats: u32, default: f64| {
        let own = piece.product(*id).and_then(|product| product.coverage_m2_per_l);
        let own = own.filter(|own| own.is_finite() && *own > 0.0);
        Coverage { coats, m2_per_l: own.unwrap_or(default), own: own.is_some() }
    };
    let by_default = |coats: u32, m2_per_l: f64| Coverage { coats, m2_per_l, own: false };
    Some(match step {
        Step::Dye { product, coats, .. } | Step::Stain { product, coats, .. } => {
            let gel = kind_of(piece, *product) == Some(Kind::Gel);
            of(product, *coats, if gel { 11.0 } else { 10.0 })
        }
        Step::Glaze { product, .. } => of(product, 1, 10.0),
        Step::Toner { product, passes } => of(product, *passes, 6.0),
        Step::Fill { product: Some(product) } => of(product, 1, 8.0),
        Step::Fill { product: None } => by_default(1, 8.0),
        Step::Bleach { times, .. } => by_default(*times, 5.0),
        Step::Washcoat | Step::Seal => by_default(1, 6.0),
        Step::Topcoat { .. } => by_default(2, 6.0),
        Step::LeaveNatural | Step::Sand { .. } | Step::PreWet | Step::DampDown => return None,
    })
}

/// Millilitres needed for this area, waste included; None for a step that needs no liquid.
pub fn millilitres(piece: &Piece, step: &Step, area_m2: f64) -> Option<f64> {
    let Coverage { coats, m2_per_l, .. } = coverage(piece, step)?;
    Some(1000.0 * f64::from(coats) * area_m2.max(0.0) / m2_per_l * (1.0 + WASTE))
}

/// Litres that these steps need on this part, waste included; the seal and clear coats, common to all, left out.
pub fn litres(piece: &Piece, part: &Part, steps: &[Step]) -> f64 {
    let area_m2 = part.usable_area_m2().unwrap_or(DEFAULT_AREA_M2);
    let colours = steps.iter().filter(|step| !matches!(step, Step::Seal | Step::Topcoat { .. }));
    // From a positive zero: an empty sum of floats is −0.
    colours.filter_map(|step| millilitres(piece, step, area_m2)).fold(0.0, |sum, ml| sum + ml) / 1000.0
}
