//! Several cards in one photo: which is used, and what is said of the others.

use colour::{Lab, de2000};

use super::fitted::Fitted;
use crate::warning::{self, Warning};

/// Mean left-out ΔE2000 up to which a card fits as well as it need: own judgement, as where a poor fit is told.
const FITS_DE00: f64 = 4.0;
/// Share of the most pixels to a patch from which on a card is as large as any: own judgement.
const AS_LARGE: f64 = 0.8;
/// Mean ΔE2000 between what two cards make of the same light from which on they lie in unlike light: own judgement; what two fair
/// fits differ by is less.
const UNLIKE_DE00: f64 = 3.0;
/// Chroma up to which a patch is as greys, skins and woods are: own judgement.
const MOST_CHROMA: f64 = 30.0;

/// The card to use first, then the others: one seen as it is, that fits well, with about the most pixels to a patch, and of such
/// the one that fits best.
pub(super) fn in_order(mut fitted: Vec<Fitted>) -> Vec<Fitted> {
    let fits = |one: &Fitted| one.summary.is_some_and(|summary| summary.mean <= FITS_DE00);
    let most = fitted.iter().filter(|one| fits(one)).map(Fitted::patch_px2).fold(0.0, f64::max);
    let is_small = |one: &Fitted| one.patch_px2() < AS_LARGE * most;
    let rank = |one: &Fitted| (one.laid.mirrored, !fits(one), is_small(one));
    fitted.sort_by(|a, b| rank(a).cmp(&rank(b)).then(a.error_de00().total_cmp(&b.error_de00())));
    fitted
}

/// What is to be said of the cards that are not used.
pub(super) fn told(used: &Fitted, others: &[Fitted]) -> Vec<Warning> {
    let Some(other) = others.first() else { return Vec::new() };
    let from = used.laid.grid.middle();
    let mut told = vec![warning::several_cards(others.len() + 1, &used.laid.card.name, from, other.laid.grid.middle())];
    let differing = others.iter().map(|other| (unlike(used, other), other)).max_by(|a, b| a.0.total_cmp(&b.0));
    told.extend(
        differing
            .filter(|(apart, _)| *apart > UNLIKE_DE00)
            .map(|(apart, other)| warning::unlike_light(apart, from, other.laid.grid.middle())),
    );
    told
}

/// Mean ΔE2000 between what two cards make of the light of the one's greys and skins.
fn unlike(used: &Fitted, other: &Fitted) -> f64 {
    let is_pale = |lab: &Lab| lab.a.hypot(lab.b) <= MOST_CHROMA;
    let both = |k: usize| {
        let device = used.laid.samples[k].device_linear_rgb;
        let middle = [0.0; 2];
        let (here, there) = (used.fit.lab_beside(device, middle), other.fit.lab_beside(device, middle));
        (used.fit.used(k) && is_pale(&used.reference()[k])).then(|| de2000(here, there))
    };
    let apart: Vec<f64> = (0..used.laid.samples.len()).filter_map(both).collect();
    apart.iter().sum::<f64>() / apart.len().max(1) as f64
}
