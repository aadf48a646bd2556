//! What speaks against a schedule for a part, with the reason. Common practice, no source.

use piece::{Bar, Bleach, Construction, Glue, Kind, Part, Piece, ProductId, Step};

use super::{rank, step_words};

/// A veneer thinner than this is not sanded, mm.
const THIN_MM: f64 = 1.0;

/// Why these steps may not be done to this part in this order; None where nothing speaks against them.
pub fn objection(piece: &Piece, part: &Part, steps: &[Step]) -> Option<String> {
    steps.iter().find_map(|step| part_objection(piece, part, step)).or_else(|| order_objection(piece, steps))
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
    let water = |id: &ProductId| {
        piece.product(*id).is_some_and(|product| product.kind == Kind::WaterDye || is_water(&product.reducer))
    };
    match step {
        Step::DampDown | Step::Bleach { .. } => true,
        Step::Dye { product, .. } | Step::Stain { product, .. } => water(product),
        _ => false,
    }
}

fn is_water(reducer: &str) -> bool {
    reducer.trim().to_lowercase() == "water"
}

/// Why these steps may not follow one another on any wood; None where nothing speaks against them.
pub fn order_objection(piece: &Piece, steps: &[Step]) -> Option<String> {
    let words = |step: &Step| step_words(piece, step);
    for (index, step) in steps.iter().enumerate() {
        let before = &steps[..index];
        let after = |wanted: fn(&Step) -> bool| before.iter().any(wanted);
        let coated = after(|one| matches!(one, Step::Seal | Step::Topcoat { .. }));
        match step {
            Step::Dye { .. } | Step::Stain { .. } if coated => {
                return Some(format!(
                    "{}: over a sealer it hardly takes; dye and stain need bare or washcoated wood",
                    words(step)
                ));
            }
            Step::Glaze { .. } | Step::Toner { .. } if !coated && !after(|one| matches!(one, Step::Washcoat)) => {
                return Some(format!("{}: it belongs over a sealer or washcoat", words(step)));
            }
            Step::Bleach { kind, .. } => {
                if coated {
                    return Some(format!("{}: bleach does not reach wood under a sealer", words(step)));
                }
                let pigment = |one: &&Step| match one {
                    Step::Stain { product, .. } => crate::conditions::is_pigment(piece, *product),
                    _ => false,
                };
                if let Some(stain) = before.iter().find(pigment) {
                    return Some(format!("{}: no bleach takes out pigment ({})", words(step), words(stain)));
                }
                if *kind == Bleach::Oxalic && after(|one| matches!(one, Step::Bleach { kind: Bleach::Chlorine, .. })) {
                    return Some(format!("{}: never an acid after chlorine: it gives off chlorine gas", words(step)));
                }
                if *kind == Bleach::Chlorine && after(|one| matches!(one, Step::Bleach { kind: Bleach::Oxalic, .. })) {
                    return Some(format!(
                        "{}: never chlorine on wood that an acid was on: it gives off chlorine gas",
                        words(step)
                    ));
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
