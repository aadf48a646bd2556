//! What changes how much dye and stain takes.

use piece::{Construction, Kind, Part, Piece, ProductId, Step};

use crate::{evidence::Modifier, lessons::Key};

/// What [`modifiers`] stand for, in their order.
pub const NAMES: [&str; 5] = ["pre-wet", "damp down", "grit, for each doubling over 150", "washcoat", "end grain"];

/// What changes how much dye and stain takes: for each of [`NAMES`] the logarithm of its factor on the strength, before any
/// trial varies it.
///
/// Pre-wet: less. Damp down: more. Grit, per doubling over 150: less, pigment above all. Washcoat: less. End grain:
/// more. Common practice, no source; learned where trials vary them.
pub fn modifiers(pigment: bool) -> [Modifier; 5] {
    let one = |log_factor, log_factor_sd| Modifier { log_factor, log_factor_sd };
    let grit = if pigment { one(-0.35, 0.15) } else { one(-0.1, 0.08) };
    [one(-0.35, 0.2), one(0.18, 0.12), grit, one(-0.6, 0.25), one(0.45, 0.2)]
}

/// The conditions of [`modifiers`], one number each, 0 where it does not apply, for a step that follows these steps on this part.
pub(crate) fn conditions(part: Option<&Part>, before: &[Step]) -> Vec<f64> {
    let has = |wanted: fn(&Step) -> bool| f64::from(u8::from(before.iter().any(wanted)));
    let grit = before.iter().rev().find_map(|step| match step {
        Step::Sand { grit } => Some((f64::from((*grit).max(24)) / 150.0).log2()),
        _ => None,
    });
    let end_grain = part.is_some_and(|part| part.construction == Construction::EndGrain);
    vec![
        has(|step| matches!(step, Step::PreWet)),
        has(|step| matches!(step, Step::DampDown)),
        grit.unwrap_or(0.0),
        has(|step| matches!(step, Step::Washcoat)),
        f64::from(u8::from(end_grain)),
    ]
}

pub(crate) fn has_conditions(key: Key) -> bool {
    matches!(key, Key::Dye(_) | Key::Stain(_))
}

/// Whether the colour is carried by pigment.
pub(crate) fn is_pigment(piece: &Piece, id: ProductId) -> bool {
    let kind = piece.product(id).map(|product| product.kind);
    !matches!(kind, Some(Kind::WaterDye | Kind::AlcoholDye))
}

/// The steps just before a colour step that prepare the wood for it.
pub(crate) fn prepared(before: &[Step]) -> Vec<Step> {
    let prepares = |step: &&Step| matches!(step, Step::PreWet | Step::DampDown | Step::Washcoat);
    let mut steps: Vec<Step> = before.iter().rev().take_while(prepares).cloned().collect();
    steps.reverse();
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use piece::{Bar, PartId};

    fn part(construction: Construction) -> Part {
        Part {
            id: PartId(1),
            name: "edge".into(),
            wood: "oak".into(),
            construction,
            area_m2: None,
            show_face: true,
            bars: Vec::<Bar>::new(),
            note: String::new(),
        }
    }

    /// The factor on the strength of a stain (true) or dye (false) after these steps.
    fn takes(pigment: bool, construction: Construction, steps: &[Step]) -> f64 {
        let conditions = conditions(Some(&part(construction)), steps);
        let log: f64 = modifiers(pigment).iter().zip(conditions).map(|(modifier, x)| modifier.log_factor * x).sum();
        log.exp()
    }

    /// Common practice, no source.
    #[test]
    fn wet_fine_and_sealed_wood_takes_less_and_end_grain_more() {
        let solid = Construction::Solid;
        let plain = takes(true, solid, &[]);
        assert_eq!(plain, 1.0);
        assert!(takes(true, solid, &[Step::PreWet]) < plain);
        assert!(takes(true, solid, &[Step::DampDown]) > plain);
        assert!(takes(true, solid, &[Step::Washcoat]) < plain);
        assert!(takes(true, Construction::EndGrain, &[]) > plain);
        let (coarse, fine) = ([Step::Sand { grit: 120 }], [Step::Sand { grit: 240 }]);
        let less = |pigment| takes(pigment, solid, &fine) / takes(pigment, solid, &coarse);
        assert!(less(true) < less(false) && less(false) < 1.0, "pigment loses most by finer sanding");
    }

    #[test]
    fn only_what_prepares_counts_as_preparation() {
        let steps = [Step::Sand { grit: 150 }, Step::DampDown, Step::PreWet];
        assert_eq!(prepared(&steps), [Step::DampDown, Step::PreWet]);
        assert_eq!(prepared(&[Step::PreWet, Step::Seal]), []);
    }
}
