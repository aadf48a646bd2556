//! A shadow or a soft reflection on part of the card.

use colour::calibration::{Cast, CastKind};

use super::Warning;
use super::card::list;
use crate::read::CardReading;

/// Share of a shadow, or of a reflection, from which on a patch is said to lie in it.
const IN_IT: f64 = 0.5;

/// What falls on the card, and that nobody can tell whether it falls on the work.
pub(super) fn on_card(card: &CardReading, cast: &Cast) -> Warning {
    let within = card.patches.iter().zip(&cast.shares).filter(|(_, share)| **share >= IN_IT);
    let patches = list(&within.map(|(patch, _)| patch.id.as_str()).collect::<Vec<_>>());
    let percent = (100.0 * cast.strength).round().max(1.0);
    match cast.kind {
        CastKind::Shadow => Warning::new(
            "shade",
            format!(
                "A shadow seems to lie on {patches}: {percent} % of the light is gone there. Whether it falls on the work cannot be told, so every ± is wide: move what throws it, and photograph again."
            ),
        ),
        CastKind::Reflection => Warning::new(
            "soft-glare",
            format!(
                "A soft reflection seems to lie on {patches}, with up to {percent} % of the light of the lightest patch; it is taken off as well as the patches tell: turn the card or move the lamp until it shows none."
            ),
        ),
    }
}
