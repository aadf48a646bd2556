//! A shadow or a soft reflection on part of the card.

use colour::calibration::{Cast, CastKind};

use super::Warning;
use super::card::list;
use crate::read::CardReading;

/// Share of a shadow, or of a reflection, from which on a patch is said to lie in it; and from which on what is odd about it comes
/// from that. Own judgement.
const IN_IT: f64 = 0.5;
const REACHED: f64 = 0.1;

/// Share of the light that a shadow on more than half of the patches must take to be asserted; one on more than three quarters never is.
/// Own judgement; what was doubtful on real photos took 26 to 46 %.
const PLAIN: f64 = 0.5;

/// The code where something makes the light uneven that cannot be told, and that of a shadow.
pub(super) const UNEVEN: &str = "light-uneven";
pub(super) const SHADE: &str = "shade";

/// What is to be known before a shadow is asserted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Doubt {
    /// Whether the patches agree poorly.
    pub(super) is_poor: bool,
    /// Whether an edge is seen that parts a patch as that of a shadow does.
    pub(super) has_edge: bool,
}

/// What is said of it, and the patches about which that says enough.
pub(super) struct Told {
    pub(super) warning: Warning,
    pub(super) reached: Vec<usize>,
}

/// What falls on the card, and that nobody can tell whether it falls on the work.
///
/// Where the patches agree poorly, or too many of them would lie in the shadow and none shows its edge, a shadow is not asserted: there it
/// was doubtful on real photos, of which the light or the file was the cause.
pub(super) fn on_card(card: &CardReading, cast: &Cast, doubt: Doubt) -> Option<Told> {
    let from = |least: f64| (0..card.patches.len()).filter(move |&k| cast.shares.get(k).is_some_and(|s| *s >= least));
    let within: Vec<&str> = from(IN_IT).map(|k| card.patches[k].id.as_str()).collect();
    let share_within = within.len() as f64 / card.patches.len().max(1) as f64;
    let is_doubtful = share_within > 0.75 || share_within > 0.5 && cast.strength < PLAIN;
    let patches = if within.is_empty() { "part of the card".to_owned() } else { list(&within) };
    let percent = (100.0 * cast.strength).round().max(1.0);
    let (warning, least) = match cast.kind {
        CastKind::Shadow if doubt.is_poor => return None,
        CastKind::Shadow if is_doubtful && !doubt.has_edge => (
            Warning::new(
                UNEVEN,
                format!(
                    "The light is not even over the card: {patches} have {percent} % less than the rest, and whether a shadow or a second light is the cause cannot be told, nor how the work is lit, so every ± is wide: light card and work evenly, and photograph again."
                ),
            ),
            f64::INFINITY,
        ),
        CastKind::Shadow => (
            Warning::new(
                SHADE,
                format!(
                    "A shadow seems to lie on {patches}: {percent} % of the light is gone there. Whether it falls on the work as well cannot be told, so every ± is wide: move what throws it, and photograph again."
                ),
            ),
            REACHED,
        ),
        // the rest of a card on which a shadow's edge is seen
        CastKind::Reflection if share_within > 0.5 && doubt.has_edge => return None,
        CastKind::Reflection => (
            Warning::new(
                "soft-glare",
                format!(
                    "A soft reflection seems to lie on {patches}, with up to {percent} % of the light of the lightest patch. It is taken off as well as the patches tell: turn the card or move the lamp until there is none."
                ),
            ),
            REACHED,
        ),
    };
    Some(Told { warning, reached: from(least).collect() })
}

#[cfg(test)]
mod tests {
    use super::super::card::tests::{card_of, patch};
    use super::*;

    /// Own judgement: a shadow on a few patches of a card that fits is asserted, one on most of them, or where the
    /// fit is poor, is not; of a reflection that is no matter.
    #[test]
    fn a_shadow_is_asserted_only_where_the_rest_of_the_card_can_tell() {
        let card = card_of((0..24).map(|k| patch(format!("p{k}"), 50.0, 0.2)));
        let told = |kind: CastKind, patches: usize, is_poor: bool| {
            let shares = (0..24).map(|k| if k < patches { 0.9 } else { 0.02 }).collect();
            on_card(&card, &Cast { kind, strength: 0.4, shares }, Doubt { is_poor, has_edge: false })
        };
        let code = |kind, patches, is_poor| told(kind, patches, is_poor).map(|told| told.warning.code);
        assert_eq!(code(CastKind::Shadow, 4, false), Some("shade"));
        assert_eq!(code(CastKind::Shadow, 12, false), Some("shade"));
        assert_eq!(code(CastKind::Shadow, 13, false), Some("light-uneven"));
        assert_eq!(code(CastKind::Shadow, 4, true), None);
        assert_eq!(code(CastKind::Shadow, 20, true), None);
        assert_eq!(code(CastKind::Reflection, 4, true), Some("soft-glare"));
        let few = told(CastKind::Shadow, 2, false).unwrap();
        assert!(few.warning.text.contains("on the patches 'p0' and 'p1': 40 %") && few.reached == [0, 1]);
        assert!(told(CastKind::Shadow, 13, false).unwrap().reached.is_empty(), "what is odd about them is told");
        let whole = Cast { kind: CastKind::Shadow, strength: 0.4, shares: vec![1.0; 24] };
        let seen = on_card(&card, &whole, Doubt { is_poor: false, has_edge: true });
        assert_eq!(seen.map(|told| told.warning.code), Some("shade"), "its edge is seen");
        let dark = |patches: usize| {
            let shares = (0..24).map(|k| if k < patches { 0.9 } else { 0.02 }).collect();
            let cast = Cast { kind: CastKind::Shadow, strength: 0.6, shares };
            on_card(&card, &cast, Doubt { is_poor: false, has_edge: false }).map(|told| told.warning.code)
        };
        assert_eq!((dark(16), dark(20)), (Some("shade"), Some("light-uneven")));
        assert!(told(CastKind::Shadow, 0, false).unwrap().warning.text.contains("lie on part of the card:"));
    }
}
