//! What there is to say about the card in a photo.

use colour::calibration::{Fit, LightSlope};

use super::{Warning, cast, patch_light, sharpness, within};
use crate::grid::Grid;
use crate::read::{CardReading, FitSummary, PatchReading};
use crate::sample::PatchSample;
use crate::within::Within;
use crate::{Photo, sample};

/// Fall-off of the light across the card that is worth a word, per cent.
const FALL_OFF_PERCENT: f64 = 15.0;
/// How many of its standard errors it must be: strong colours, as an editor makes them, bend the light of a fit by less. Two, for 19 of 20.
const FALL_OFF_SURE: f64 = 2.0;
/// Share of the frame below which the card is small.
const SMALL_SHARE: f64 = 0.02;
/// Side of a patch below which it is small, in pixels.
const SMALL_PATCH_PX: f64 = 12.0;
/// Ratio of opposite sides of the card from which on it is tilted.
const TILT_RATIO: f64 = 1.2;
/// Linear light of the lightest patch: below, the photo is dark.
const DARK_BELOW: f64 = 0.18;
/// Share of patches with a clipped channel from which on the photo is overexposed.
const OVEREXPOSED_SHARE: f64 = 0.2;
/// Width of an edge, in patch pitches, from which on the card is blurred: own judgement. 47 real photos have 0.03 to 0.09, 36 of them
/// made so small that a pitch is 14 pixels 0.07 to 0.11; a blur whose σ is a fifteenth of a pitch has 0.14, a tenth 0.19.
const BLURRED_PITCHES: f64 = 0.16;
/// Mean left-out ΔE2000 from which on the colours are less sure than usual: own judgement of 90 photos, half of which have 2.5
/// or less.
const POOR_DE00: f64 = 4.0;
/// Mean left-out ΔE2000 from which on one must ask whether this is the right card.
const DOUBTFUL_DE00: f64 = 8.0;
/// Most patches that are named one by one.
const MOST_NAMED: usize = 8;
/// Fewer patches than this tell little of colours: own judgement, half of a chart's.
const FEW_PATCHES: usize = 12;
/// Left-out ΔE2000 of a patch that is far off, and how many times the median it must be.
const FAR_OFF: (f64, f64) = (8.0, 3.0);

/// Everything worth a word. Each patch is named for one thing, and one cause is told once: what a shadow or a soft reflection makes
/// of the patches it reaches, and of the light over the card, is not told again.
pub(crate) fn of_card(
    photo: &Photo,
    grid: &Grid,
    card: &CardReading,
    summary: Option<&FitSummary>,
    fit: &Fit,
    patches: &Within,
    samples: &[PatchSample],
) -> Vec<Warning> {
    let overexposed = overexposed(clipped(card).len(), card.patches.len());
    let mean = summary.and_then(|_| mean_error(card, overexposed.is_some()));
    let is_poor = mean.is_some_and(|mean| mean > POOR_DE00);
    let doubt = cast::Doubt { is_poor, has_edge: samples.iter().any(|sample| sample.part_in_shade) };
    let cast = fit.cast.as_ref().and_then(|cast| cast::on_card(card, cast, doubt));
    let (crossed, within) = within::of_patches(patches, &fit.light);
    let is_lit_alike = cast.is_none() && crossed.is_empty();
    let reached = cast.as_ref().map(|told| told.reached.clone()).unwrap_or_default();
    let is_shaded = !crossed.is_empty() || cast.as_ref().is_some_and(|told| told.warning.code == cast::SHADE);
    let in_shade = |k: usize| {
        let patch = &card.patches[k];
        is_shaded && !is_clipped(patch) && patch_light::is_paint_in_less_light(patch)
    };
    let rest = without(card, |k| crossed.contains(&k) || reached.contains(&k) || in_shade(k));
    let clipped = if overexposed.is_none() { some_clipped(&rest) } else { None };
    let hidden = hidden(&rest, overexposed.is_some());
    let found = [
        overexposed,
        plain(card, fit),
        mean.and_then(|mean| poorly_fitted(mean, !crossed.is_empty())),
        mirrored(card),
        clipped,
        dark(card),
        glare(&rest),
        fall_off(&fit.light).filter(|_| is_lit_alike),
        blurred(photo, grid),
        small(photo, card, grid),
        tilted(card),
        cut_off(photo, card),
        hidden,
        summary.and_then(|summary| patches_off(&rest, summary)),
    ];
    let cast = cast.map(|told| told.warning);
    // an edge that is seen within patches is told by the fit already, or surer than what the fit makes of it
    let is_told = |one: &Warning| cast.as_ref().is_some_and(|cast| cast.code == one.code);
    let within: Vec<Warning> = within.into_iter().filter(|one| !is_told(one)).collect();
    let has_edge = !crossed.is_empty();
    let cast = cast.filter(|cast| !(has_edge && cast.code == cast::UNEVEN));
    found.into_iter().flatten().chain(cast).chain(within).collect()
}

/// The card without some patches, which are told of already.
fn without(card: &CardReading, is_told: impl Fn(usize) -> bool) -> CardReading {
    let rest = card.patches.iter().enumerate().filter(|(k, _)| !is_told(*k)).map(|(_, patch)| patch.clone());
    CardReading { patches: rest.collect(), ..card.clone() }
}

/// What a better card would gain.
///
/// # Source
/// Brown and yellow patches of 33 photos of 24-patch charts (162 patches), read by the chart's greys alone and by all other
/// patches: ΔE2000 median 6.1 and p90 14, against 3.0 and 7.7.
fn plain(card: &CardReading, fit: &Fit) -> Option<Warning> {
    let patches = card.patches.iter().filter(|patch| patch.in_fit).count();
    let text = match (fit.knows_colours(), patches < FEW_PATCHES) {
        (true, false) => return None,
        (true, true) => format!(
            "Only {patches} patches tell how the camera sees colours, so the colours of wood are less sure, as their ± says: a 24-patch chart beside the work tells far more."
        ),
        (false, _) => "Only exposure and white are set by this card: it cannot show how the camera sees colours, and the colours of wood may be off by ΔE2000 6, one in ten by 14 or more; a 24-patch chart beside the work halves that.".to_owned(),
    };
    Some(Warning::new("card-plain", text))
}

/// The photo is overexposed, where so many of the patches have a clipped channel.
pub(crate) fn overexposed(clipped: usize, patches: usize) -> Option<Warning> {
    (clipped as f64 > OVEREXPOSED_SHARE * patches as f64).then(|| {
        let are = match (clipped, patches) {
            (_, 1) => "The card's only patch is".to_owned(),
            (1, patches) => format!("1 of {patches} patches is"),
            (clipped, patches) => format!("{clipped} of {patches} patches are"),
        };
        let text = format!("{are} too bright to measure: the photo is overexposed; expose less and photograph again.");
        Warning::new("overexposed", text)
    })
}

/// Mean error of the patches in the fit. Those too bright cannot fit: in an overexposed photo they say nothing against the
/// card.
fn mean_error(card: &CardReading, overexposed: bool) -> Option<f64> {
    let whole = card.patches.iter().filter(|patch| patch.in_fit && !(overexposed && is_clipped(patch)));
    let errors: Vec<f64> = whole.filter_map(|patch| patch.left_out_de00).collect();
    (!errors.is_empty()).then(|| errors.iter().sum::<f64>() / errors.len() as f64)
}

/// The patches do not agree. Where a shadow's edge is seen on them, that is why.
fn poorly_fitted(mean: f64, has_edge: bool) -> Option<Warning> {
    if mean > DOUBTFUL_DE00 {
        let text = format!(
            "The card's patches, each left out in turn, are off by ΔE2000 {mean:.1} on average: is this the right card, the right way round?"
        );
        return Some(Warning::new("wrong-card", text));
    }
    (mean > POOR_DE00 && !has_edge).then(|| {
        let text = format!(
            "The card's patches, each left out in turn, are off by ΔE2000 {mean:.1} on average, more than in most photos: every colour is less sure, as its ± says; light the card evenly, by one kind of lamp, and use the file as the camera saved it."
        );
        Warning::new("poor-fit", text)
    })
}

fn mirrored(card: &CardReading) -> Option<Warning> {
    card.mirrored.then(|| {
        Warning::new(
            "mirrored",
            "The card is seen as in a mirror: the colours hold, but left and right are swapped in this photo.",
        )
    })
}

fn clipped(card: &CardReading) -> Vec<&str> {
    named(card, is_clipped)
}

fn is_clipped(patch: &PatchReading) -> bool {
    patch.clipped_share.iter().any(|&share| share > sample::CLIPPED_SHARE)
}

/// Patches that are too bright though nothing is seen on them: expose less. One in a reflection, or left out as if one lay on it, is told
/// as that, for exposing less is no help.
fn some_clipped(card: &CardReading) -> Option<Warning> {
    let clipped = named(card, |patch| is_clipped(patch) && patch.in_fit && !glares(patch));
    (!clipped.is_empty()).then(|| {
        let text = format!("Too bright to measure: {}; expose a little less.", list(&clipped));
        Warning::new("clipped", text)
    })
}

fn dark(card: &CardReading) -> Option<Warning> {
    let seen = card.patches.iter().filter(|patch| patch.in_fit);
    let lightest = seen.max_by(|a, b| a.lab_reference.l.total_cmp(&b.lab_reference.l))?;
    let light = lightest.device_linear_rgb.iter().copied().fold(0.0, f64::max);
    let want = colour::xyz_from_lab(lightest.lab_reference).y;
    (light < DARK_BELOW * want).then(|| {
        let percent = (100.0 * light / want).round();
        Warning::new(
            "dark",
            format!("The photo is dark: '{}' reaches {percent} % of full light; expose more.", lightest.id),
        )
    })
}

/// A bright part on paint that is otherwise as it should be, or lighter: what is darker lies under something of which the bright part is
/// beside.
fn glares(patch: &PatchReading) -> bool {
    patch.glare_share > sample::GLARE_SHARE && patch_light::is_paint_with_light_added(patch, is_clipped(patch))
}

fn glare(card: &CardReading) -> Option<Warning> {
    let glared = named(card, glares);
    (!glared.is_empty()).then(|| {
        let text = format!("Glare on {}: turn the card or move the lamp until it shows no reflection.", list(&glared));
        Warning::new("glare", text)
    })
}

fn fall_off(light: &LightSlope) -> Option<Warning> {
    let least = FALL_OFF_PERCENT.max(FALL_OFF_SURE * light.fall_off_error_percent);
    (light.fall_off_percent >= least).then(|| {
        let percent = light.fall_off_percent.round();
        Warning::new(
            "light-falls-off",
            format!("The light falls off by {percent} % across the card: light it from further away, put the card right beside what is measured, or even the light by a photo of a plain board."),
        )
    })
}

fn blurred(photo: &Photo, grid: &Grid) -> Option<Warning> {
    sharpness::edge_width_pitches(photo, grid).is_some_and(|width| width > BLURRED_PITCHES).then(|| {
        Warning::new("blurred", "The card is blurred: hold the camera still, focus on the card and photograph again.")
    })
}

fn small(photo: &Photo, card: &CardReading, grid: &Grid) -> Option<Warning> {
    let share = quad_area(&card.corners_px) / (f64::from(photo.width_px) * f64::from(photo.height_px));
    let pitch_px = (quad_area(&card.corners_px) / (grid.rows * grid.columns) as f64).sqrt();
    let patch_px = pitch_px * (1.0 - grid.gap_fraction);
    if patch_px < SMALL_PATCH_PX {
        let text = format!(
            "A patch of the card is only {} wide: move closer, or take a larger photo.",
            super::pixels(patch_px.round() as usize)
        );
        return Some(Warning::new("card-small", text));
    }
    (share < SMALL_SHARE).then(|| {
        let text =
            format!("The card fills {:.1} % of the frame: move closer, so that it fills a tenth.", 100.0 * share);
        Warning::new("card-small", text)
    })
}

fn tilted(card: &CardReading) -> Option<Warning> {
    let side = |a: usize, b: usize| {
        let ([ax, ay], [bx, by]) = (card.corners_px[a], card.corners_px[b]);
        (bx - ax).hypot(by - ay)
    };
    let ratio = |a: f64, b: f64| a.max(b) / a.min(b).max(1e-9);
    let most = ratio(side(0, 1), side(2, 3)).max(ratio(side(1, 2), side(3, 0)));
    (most > TILT_RATIO).then(|| {
        let percent = (100.0 * (most - 1.0)).round();
        let text = format!("The card is tilted: its near side looks {percent} % longer than its far side; hold the camera square to it.");
        Warning::new("tilted", text)
    })
}

/// Patches of which nothing is seen, and which of the two it is: the photo ends there, or is transparent.
fn cut_off(photo: &Photo, card: &CardReading) -> Option<Warning> {
    let is_inside = |patch: &PatchReading| {
        let [x, y] = patch.centre_px;
        (0.0..f64::from(photo.width_px)).contains(&x) && (0.0..f64::from(photo.height_px)).contains(&y)
    };
    let is_lost = |patch: &PatchReading| !patch.device_linear_rgb[0].is_finite();
    let outside = named(card, |patch| is_lost(patch) && !is_inside(patch));
    let transparent = named(card, |patch| is_lost(patch) && is_inside(patch));
    let text = match (&outside[..], &transparent[..]) {
        ([], []) => return None,
        (_, []) => format!("Outside the photo: {}; photograph the whole card.", list(&outside)),
        ([], _) => format!("Transparent in the photo: {}; use the file as the camera saved it.", list(&transparent)),
        _ => format!(
            "Outside the photo: {}; transparent in it: {}; photograph the whole card, and use the file as the camera saved it.",
            list(&outside),
            list(&transparent)
        ),
    };
    Some(Warning::new("card-cut-off", text))
}

/// Patches that something lies on, by what the others say. In an overexposed photo those too bright are told as that.
fn hidden(card: &CardReading, overexposed: bool) -> Option<Warning> {
    let is_hidden = |patch: &PatchReading| {
        let seen = patch.device_linear_rgb[0].is_finite();
        let told_otherwise = glares(patch) || overexposed && is_clipped(patch);
        !patch.in_fit && seen && !told_otherwise
    };
    let hidden = named(card, is_hidden);
    (!hidden.is_empty()).then(|| {
        let text = format!(
            "Something seems to lie on {}, be it a thing, a shadow or a reflection: left out of the fit, so no colour told depends on it. To have the whole card tell, clear it and photograph again.",
            list(&hidden)
        );
        Warning::new("patch-hidden", text)
    })
}

fn patches_off(card: &CardReading, fit: &FitSummary) -> Option<Warning> {
    let limit = FAR_OFF.0.max(FAR_OFF.1 * fit.median);
    let off = named(card, |patch| patch.in_fit && patch.left_out_de00.is_some_and(|error| error > limit));
    (!off.is_empty() && fit.mean <= DOUBTFUL_DE00).then(|| {
        let text = format!(
            "Far off what the other patches say, though in the fit: {}. That makes every colour less sure: see that the card is clean there, without shadow or reflection.",
            list(&off)
        );
        Warning::new("patch-off", text)
    })
}

fn named(card: &CardReading, is: impl Fn(&PatchReading) -> bool) -> Vec<&str> {
    card.patches.iter().filter(|patch| is(patch)).map(|patch| patch.id.as_str()).collect()
}

/// A few names in full, many as a number.
pub(super) fn list(names: &[&str]) -> String {
    match names {
        [] => "no patch".into(),
        [one] => format!("the patch '{one}'"),
        [others @ .., last] if names.len() <= MOST_NAMED => {
            format!("the patches '{}' and '{last}'", others.join("', '"))
        }
        _ => format!("{} patches", names.len()),
    }
}

fn quad_area(corners: &[[f64; 2]; 4]) -> f64 {
    let doubled: f64 = (0..4)
        .map(|k| {
            let ([ax, ay], [bx, by]) = (corners[k], corners[(k + 1) % 4]);
            ax * by - bx * ay
        })
        .sum();
    doubled.abs() / 2.0
}

#[cfg(test)]
pub(super) mod tests {
    use colour::Lab;

    use super::*;

    /// A card of these patches, in middle grey.
    pub(in crate::warning) fn card_of(patches: impl IntoIterator<Item = PatchReading>) -> CardReading {
        CardReading {
            id: "greys".into(),
            edition: "a".into(),
            corners_px: [[0.0; 2]; 4],
            mirrored: false,
            pitch_mm: None,
            patches: patches.into_iter().collect(),
        }
    }

    pub(in crate::warning) fn patch(id: impl Into<String>, l: f64, light: f64) -> PatchReading {
        PatchReading {
            id: id.into(),
            centre_px: [0.0; 2],
            device_linear_rgb: [light; 3],
            clipped_share: [0.0; 3],
            glare_share: 0.0,
            in_fit: light.is_finite(),
            lab_reference: Lab::new(l, 0.0, 0.0),
            lab_measured: Lab::new(l, 0.0, 0.0),
            lab_left_out: None,
            left_out_de00: None,
            left_out_covariance: None,
            interval_holds: None,
        }
    }

    /// Own judgement: what lies on a patch is told once, and a reflection that burns it out is no reason to expose less.
    #[test]
    fn each_patch_is_named_for_one_thing() {
        let of = |clipped: f64, glare_share: f64, in_fit: bool| {
            let odd = PatchReading { clipped_share: [clipped; 3], glare_share, in_fit, ..patch("odd", 50.0, 0.9) };
            let card = card_of([patch("whole", 60.0, 0.3), odd]);
            let told = |overexposed| [some_clipped(&card), glare(&card), hidden(&card, overexposed)];
            let codes = |overexposed| told(overexposed).into_iter().flatten().map(|one| one.code).collect::<Vec<_>>();
            (codes(false), codes(true).contains(&"patch-hidden"))
        };
        assert_eq!(of(0.0, 0.0, true), (vec![], false));
        assert_eq!(of(0.9, 0.0, true), (vec!["clipped"], false), "too much light");
        assert_eq!(of(0.9, 0.0, false), (vec!["patch-hidden"], false), "a reflection over the whole patch");
        assert_eq!(of(0.9, 0.4, false), (vec!["glare"], false), "one over part of it");
        assert_eq!(of(0.9, 0.4, true), (vec!["glare"], false));
        assert_eq!(of(0.0, 0.4, false), (vec!["glare"], false));
        assert_eq!(of(0.0, 0.0, false), (vec!["patch-hidden"], true), "another thing");
    }

    /// Own judgement: what is told of the light is known to within half of it.
    #[test]
    fn a_fall_off_that_may_be_none_is_not_told() {
        let told = |fall_off_percent: f64, fall_off_error_percent: f64| {
            let beside_covariance = [nalgebra::Matrix3::zeros(); 2];
            let (colour_change, beside) = (0.0, [0.0; 2]);
            let light =
                LightSlope { fall_off_percent, fall_off_error_percent, colour_change, beside, beside_covariance };
            fall_off(&light).is_some()
        };
        assert!(told(20.0, 5.0) && told(15.0, 1.0) && told(30.0, 14.0));
        assert!(!told(17.0, 9.0) && !told(30.0, 16.0) && !told(14.0, 1.0));
    }

    /// How much light a patch gives in a full exposure is its own luminance (CIE 15: L* = 116 Y^⅓ − 16, so that L* 96 has 0.90
    /// of white and L* 50 0.184): a card that ends in a middle grey is not dark for that.
    #[test]
    fn darkness_is_held_against_the_lightest_patch_as_it_is() {
        let told = |patches: &[(f64, f64)]| {
            let card = card_of(patches.iter().map(|&(l, light)| patch(format!("L {l}"), l, light)));
            dark(&card).map(|warning| warning.text)
        };
        assert_eq!(told(&[(96.0, 0.30), (50.0, 0.061)]), None);
        assert_eq!(told(&[(50.0, 0.10), (30.0, 0.034)]), None, "over half of its full light");
        assert_eq!(told(&[(96.0, f64::NAN), (81.0, 0.45)]), None, "the white is outside the photo");
        let text = told(&[(96.0, 0.10), (50.0, 0.02)]).unwrap();
        assert!(text.contains("'L 96' reaches 11 %"), "{text}");
        let text = told(&[(30.0, 0.005), (50.0, 0.0184)]).unwrap();
        assert!(text.contains("'L 50' reaches 10 %"), "{text}");
    }
}
