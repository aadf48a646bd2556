//! Ids of schedules.

use piece::{Bleach, Step};

/// An id that equal steps share: 'chlorine-2+dye-c1-4'.
pub(crate) fn schedule_id(steps: &[Step]) -> String {
    let of_step = |step: &Step| match step {
        Step::LeaveNatural | Step::Seal | Step::Topcoat { .. } => None,
        Step::Sand { grit } => Some(format!("sand-{grit}")),
        Step::PreWet => Some("pre-wet".to_owned()),
        Step::DampDown => Some("damp-down".to_owned()),
        Step::Washcoat => Some("washcoat".to_owned()),
        Step::Fill { product } => Some(product.map_or_else(|| "fill".to_owned(), |id| format!("fill-{id}"))),
        Step::Bleach { kind, times } => {
            let kind = match kind {
                Bleach::TwoPart => "two-part",
                Bleach::Oxalic => "oxalic",
                Bleach::Chlorine => "chlorine",
                Bleach::CausticAlone => "caustic",
            };
            Some(format!("{kind}-{times}"))
        }
        Step::Dye { product, grams_per_litre, coats } => Some(format!("dye-{product}-{grams_per_litre}x{coats}")),
        Step::Stain { product, reducer_parts, coats, wipe_minutes } => {
            let wiped = wipe_minutes.map(|minutes| format!("w{minutes}")).unwrap_or_default();
            Some(format!("stain-{product}-{reducer_parts}x{coats}{wiped}"))
        }
        Step::Glaze { product, reducer_parts } => Some(format!("glaze-{product}-{reducer_parts}")),
        Step::Toner { product, passes } => Some(format!("toner-{product}-{passes}")),
    };
    let ids: Vec<String> = steps.iter().filter_map(of_step).collect();
    if ids.is_empty() { "leave-natural".to_owned() } else { ids.join("+") }
}
