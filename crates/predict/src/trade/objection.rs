//! What speaks against a schedule for a part, with the reason. Common practice, no source.

use piece::{Bar, Bleach, Construction, Glue, Kind, Part, Piece, ProductId, Step};

use super::{acid, rank, solvent, step_words};

/// A veneer thinner than this is not sanded, mm.
const THIN_MM: f64 = 1.0;

/// Why these steps may not be done to this part in this order; None where nothing speaks against them.
pub fn objection(piece: &Piece, part: &Part, steps: &[Step]) -> Option<String> {
    let of_part = || steps.iter().find_map(|step| part_objection(piece, part, step));
    acid::gas(piece, steps).or_else(of_part).or_else(|| sequence_objection(piece, steps))
}

/// Why this step may not be done to this part, whatever went before; None where nothing speaks against it.
pub(crate) fn part_objection(piece: &Piece, part: &Part, step: &Step) -> Option<String> {
    let what = step_words(piece, step);
    let barred = |bar| part.bars.contains(&bar);
    let wet = is_wet(piece, step);
    let sands = matches!(step, Step::Sand { .. });
    let bleaches = matches!(step, Step::Bleach { .. });
    if barred(Bar::Sanding) && sands {
        return Some(format!("{what}: sanding is barred on {}", part.name));
    }
    if barred(Bar::Bleach) && bleaches {
        return Some(format!("{what}: bleach is barred on {}", part.name));
    }
    if barred(Bar::Water) && wet {
        return Some(format!("{what}: no water is to be put on {}", part.name));
    }
    if let Construction::Veneer { thickness_mm, glue } = part.construction {
        if sands && thickness_mm < THIN_MM {
            return Some(format!("{what}: a veneer of {thickness_mm} mm is too thin to sand"));
        }
        if matches!(step, Step::Bleach { kind: Bleach::TwoPart | Bleach::CausticAlone, .. }) {
            return Some(format!("{what}: caustic soda lifts veneer"));
        }
        if wet && glue != Glue::Modern {
            let glue =
                if glue == Glue::Hide { "hide glue" } else { "a glue that is not known, so taken for hide glue" };
            return Some(format!("{what}: water lifts veneer laid with {glue}"));
        }
    }
    match step {
        Step::Bleach { kind: Bleach::CausticAlone, .. } => {
            Some(format!("{what}: it darkens woods rich in tannin and is no colour step"))
        }
        _ => None,
    }
}

/// Whether a step puts water on the wood. Over a sealer it does not reach it.
fn is_wet(piece: &Piece, step: &Step) -> bool {
    match step {
        Step::DampDown | Step::Bleach { .. } => true,
        Step::Dye { product, .. } | Step::Stain { product, .. } | Step::Fill { product: Some(product) } => {
            holds_water(piece, *product)
        }
        _ => false,
    }
}

/// Whether a product, or anything it is mixed from, is thinned with water.
fn holds_water(piece: &Piece, id: ProductId) -> bool {
    let itself = |id: ProductId| {
        let product = piece.product(id);
        product.is_some_and(|product| product.kind == Kind::WaterDye || solvent::has_water(&product.reducer))
    };
    itself(id) || piece.product(id).is_some_and(|product| product.mix.iter().any(|share| itself(share.product)))
}

/// Why these steps may not follow one another on any wood; None where nothing speaks against them.
///
/// What hurts is said before what only fails.
pub fn order_objection(piece: &Piece, steps: &[Step]) -> Option<String> {
    acid::gas(piece, steps).or_else(|| sequence_objection(piece, steps))
}

fn sequence_objection(piece: &Piece, steps: &[Step]) -> Option<String> {
    let words = |step: &Step| step_words(piece, step);
    for (index, step) in steps.iter().enumerate() {
        let before = &steps[..index];
        if let Some(why) = out_of_place(before, step) {
            return Some(format!("{}: {why}", words(step)));
        }
        let after = |wanted: fn(&Step) -> bool| before.iter().any(wanted);
        match step {
            Step::Bleach { .. } => {
                let pigment = |one: &&Step| match one {
                    Step::Stain { product, .. } => crate::conditions::is_pigment(piece, *product),
                    _ => false,
                };
                if let Some(stain) = before.iter().find(pigment) {
                    return Some(format!("{}: no bleach takes out pigment ({})", words(step), words(stain)));
                }
            }
            Step::Sand { .. } if after(|one| matches!(one, Step::Bleach { .. })) => {
                return Some(format!("{}: no sanding after bleach; de-nib by hand", words(step)));
            }
            _ => {}
        }
        // A washcoat may also go on before the dye, to hold it back.
        let highest = before.iter().filter(|one| !matches!(one, Step::Washcoat)).max_by_key(|one| rank(one));
        if let Some(earlier) = highest
            && rank(earlier) > rank(step)
            && !matches!(step, Step::LeaveNatural)
            && !(matches!(step, Step::PreWet) && matches!(earlier, Step::Dye { .. } | Step::Fill { .. }))
            && !(matches!(step, Step::Seal) && matches!(earlier, Step::Glaze { .. } | Step::Toner { .. }))
        {
            return Some(format!("{}: it comes before {} in the order of the trade", words(step), words(earlier)));
        }
    }
    None
}

/// Why a step cannot act on what these steps leave, so that what is read after it says nothing of the step; None where it can.
pub(super) fn out_of_place(before: &[Step], step: &Step) -> Option<&'static str> {
    let after = |wanted: fn(&Step) -> bool| before.iter().any(wanted);
    let coated = after(|one| matches!(one, Step::Seal | Step::Topcoat { .. }));
    match step {
        Step::Dye { .. } | Step::Stain { .. } if coated => {
            Some("over a sealer it hardly takes; dye and stain need bare or washcoated wood")
        }
        Step::Glaze { .. } | Step::Toner { .. } if !coated && !after(|one| matches!(one, Step::Washcoat)) => {
            Some("it belongs over a sealer or washcoat")
        }
        Step::Bleach { .. } if coated => Some("bleach does not reach wood under a sealer"),
        _ => None,
    }
}
