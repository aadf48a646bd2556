//! What changes how much dye and stain takes.

use piece::{Construction, Kind, Part, Piece, ProductId, Step, Trial, TrialId};

use crate::{
    evidence::Modifier,
    lessons::{Key, part_of},
    trade::trials_words,
};

/// What [`modifiers`] stand for, in their order.
pub const NAMES: [&str; 6] = [
    "pre-wet",
    "damp down",
    "grit, for each doubling over 150",
    "washcoat",
    "end grain",
    "wipe time, for each doubling over 5 min",
];

/// The grit that counts where none is noted of a part and no sanding is logged (common practice, no source: between the 120 to
/// 180 of oak, ash and walnut and the 180 to 220 of cherry and maple).
const USUAL_GRIT: f64 = 150.0;
/// The wipe time that counts where none is stated, minutes (common practice, no source: wiped off after 2 to 15).
const USUAL_WIPE_MINUTES: f64 = 5.0;

/// What changes how much dye and stain takes: for each of [`NAMES`] the logarithm of its factor on the strength, before any
/// trial varies it.
///
/// Pre-wet: less. Damp down: more. Grit, per doubling over 150: less, pigment above all. Washcoat: less. End grain:
/// more. Wipe time, per doubling over five minutes: a little more. Common practice, no source; learned where trials vary
/// them.
pub fn modifiers(pigment: bool) -> [Modifier; 6] {
    let one = |log_factor, log_factor_sd| Modifier { log_factor, log_factor_sd };
    let grit = if pigment { one(-0.35, 0.15) } else { one(-0.1, 0.08) };
    [one(-0.35, 0.2), one(0.18, 0.12), grit, one(-0.6, 0.25), one(0.45, 0.2), one(0.1, 0.1)]
}

/// The conditions of [`modifiers`], one number each, 0 where it does not apply, for the last of these steps on this part;
/// none of an empty list.
pub(crate) fn conditions(part: Option<&Part>, steps: &[Step]) -> Vec<f64> {
    let Some((step, before)) = steps.split_last() else { return vec![0.0; NAMES.len()] };
    let has = |wanted: fn(&Step) -> bool| f64::from(u8::from(before.iter().any(wanted)));
    let noted = part.and_then(|part| part.sanded_to);
    let grit = last_sanding(before).or(noted).map(|grit| (f64::from(grit.max(24)) / USUAL_GRIT).log2());
    let wiped = match step {
        Step::Stain { wipe_minutes: Some(minutes), .. } => (minutes.max(0.1) / USUAL_WIPE_MINUTES).log2(),
        _ => 0.0,
    };
    let end_grain = part.is_some_and(|part| part.construction == Construction::EndGrain);
    vec![
        has(|step| matches!(step, Step::PreWet)),
        has(|step| matches!(step, Step::DampDown)),
        grit.unwrap_or(0.0),
        has(|step| matches!(step, Step::Washcoat)),
        f64::from(u8::from(end_grain)),
        wiped,
    ]
}

/// The grit of the last sanding among these steps.
fn last_sanding<'a>(steps: impl IntoIterator<Item = &'a Step>) -> Option<u32> {
    let sanded = |step: &Step| if let Step::Sand { grit } = step { Some(*grit) } else { None };
    steps.into_iter().filter_map(sanded).last()
}

/// The grit that the first dye or stain among these steps went onto, where a sanding before it says so.
pub(crate) fn sanded_first<'a>(steps: impl IntoIterator<Item = &'a Step>) -> Option<u32> {
    last_sanding(steps.into_iter().take_while(|step| !takes(step)))
}

/// Whether how much of a step takes depends on the grit.
fn takes(step: &Step) -> bool {
    Key::of(step).is_some_and(|(key, _)| has_conditions(key))
}

/// What is assumed of the grit, in words: of parts of which none is noted, and of trials of dye and stain on their wood without a
/// sanding before. None where no such trial was made, or the grit of every part is noted.
pub fn assumed_grit(piece: &Piece) -> Option<String> {
    let coloured: Vec<&Trial> =
        piece.trials.iter().map(AsRef::as_ref).filter(|trial| trial.steps().any(takes)).collect();
    let unnoted: Vec<&Part> = piece.parts.iter().map(AsRef::as_ref).filter(|part| part.sanded_to.is_none()).collect();
    if coloured.is_empty() {
        return None;
    }
    let is_unsaid = |trial: &&&Trial| {
        let of = part_of(piece, trial.on);
        unnoted.iter().any(|part| Some(part.id) == of) && sanded_first(trial.steps()).is_none()
    };
    let unsaid: Vec<TrialId> = coloured.iter().filter(is_unsaid).map(|trial| trial.id).collect();
    let parts = match unnoted.as_slice() {
        all if all.len() == piece.parts.len() => "the parts".to_owned(),
        [one] => one.name.clone(),
        [one, other] => format!("{} and {}", one.name, other.name),
        [one, others @ ..] => format!("{} and {} more parts", one.name, others.len()),
        [] => return None,
    };
    let of = if unsaid.is_empty() { String::new() } else { format!(" and {}", trials_words(&unsaid)) };
    Some(format!(
        "{parts}{of} count as sanded to grit {USUAL_GRIT}, for none is noted: note the grit of each part, and log 'sand to …' first in a \
         trial only where its surface was sanded otherwise than its part; finer wood takes less stain"
    ))
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
    use piece::PartId;

    fn part(construction: Construction) -> Part {
        Part { construction, ..Part::new(PartId(1), "edge", "oak") }
    }

    /// The factor on the strength of a stain (true) or dye (false) after these steps.
    fn takes(pigment: bool, construction: Construction, before: &[Step]) -> f64 {
        stained(pigment, construction, before, None)
    }

    /// The same of a stain that is wiped off after so many minutes.
    fn stained(pigment: bool, construction: Construction, before: &[Step], wipe_minutes: Option<f64>) -> f64 {
        let stain = Step::Stain { product: ProductId(1), reducer_parts: 0.0, coats: 1, wipe_minutes };
        let steps: Vec<Step> = before.iter().cloned().chain([stain]).collect();
        let conditions = conditions(Some(&part(construction)), &steps);
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
        let of_part = |sanded_to, before: &[Step]| {
            let stain = Step::Stain { product: ProductId(1), reducer_parts: 0.0, coats: 1, wipe_minutes: None };
            let part = Part { sanded_to, ..part(solid) };
            conditions(Some(&part), &[before, &[stain]].concat())
        };
        assert_eq!(of_part(Some(240), &[]), of_part(None, &fine), "what is noted of a part counts like a sanding");
        assert_eq!(of_part(Some(240), &coarse), of_part(None, &coarse), "a sanding comes after what was noted");
        let wiped = |minutes| stained(true, solid, &[], Some(minutes));
        assert!(
            wiped(2.0) < plain && wiped(15.0) > plain && wiped(15.0) < 1.5 * plain,
            "a longer wipe takes a little more"
        );
        assert_eq!(wiped(5.0), plain);
    }

    #[test]
    fn only_what_prepares_counts_as_preparation() {
        let steps = [Step::Sand { grit: 150 }, Step::DampDown, Step::PreWet];
        assert_eq!(prepared(&steps), [Step::DampDown, Step::PreWet]);
        assert_eq!(prepared(&[Step::PreWet, Step::Seal]), []);
    }
}
