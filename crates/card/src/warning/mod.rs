//! What the user should know about a photo, in plain words with a remedy.

mod card;
mod cast;
mod codes;
mod gravity;
mod patch_light;
mod scaled;
mod sharpness;
mod stored;
mod within;

use crate::Photo;
use crate::photo::ProfileOrigin;
use crate::region::{FEWEST_PIXELS, Measured, OverCard, Unmeasured};

pub use codes::{CODES, Code};

pub(crate) use card::{of_card, overexposed};
pub(crate) use gravity::gravest_first;

/// Share of a region's pixels at the end of the scale that is worth a word.
const CLIPPED_SHARE: f64 = 0.01;
/// Share of a photo's pixels at the end of the scale from which on it is overexposed where no card tells. A white ground alone
/// may take a fifth of a good photo. Judgement, no source.
const OVEREXPOSED_SHARE: f64 = 0.25;
/// Share of a photo's pixels that are transparent from which on its card may be lost in them. Judgement, no source.
const TRANSPARENT_SHARE: f64 = 0.25;
/// Further from the card's middle than this, in half-widths of the card, the light's slope is a guess.
const FAR_FROM_CARD: f64 = 5.0;

/// A warning: a stable code for programs and a sentence for people.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// Stable code, lower case with hyphens: `glare`.
    pub code: &'static str,
    /// What is wrong and what to do about it.
    pub text: String,
}

impl Warning {
    /// A warning from its code and words.
    pub fn new(code: &'static str, text: impl Into<String>) -> Self {
        Self { code, text: text.into() }
    }
}

/// What there is to say about the photo, whatever it shows.
pub(crate) fn of_photo(photo: &Photo) -> Vec<Warning> {
    of_profile(photo).into_iter().chain(stored::of_pixels(photo)).collect()
}

/// Part of the photo is transparent.
pub(crate) fn transparent(photo: &Photo) -> Option<Warning> {
    photo.has_transparent().then(|| {
        let share = match (100.0 * photo.transparent_share()).round() {
            percent if percent < 1.0 => "Less than 1".to_owned(),
            percent => percent.to_string(),
        };
        Warning::new(
            "transparent",
            format!(
                "{share} % of the photo is transparent, and nothing is measured there: use the file as the camera saved it."
            ),
        )
    })
}

/// So much of a photo without a card is transparent that the card may be too.
pub(crate) fn is_mostly_lost(transparent_share: f64) -> bool {
    transparent_share > TRANSPARENT_SHARE
}

fn of_profile(photo: &Photo) -> Option<Warning> {
    match photo.profile.origin {
        ProfileOrigin::Embedded | ProfileOrigin::Exif => None,
        ProfileOrigin::Assumed => Some(Warning::new(
            "no-profile",
            "The photo has no colour profile, so it is taken as sRGB; use the file as the camera saved it if this is a copy.",
        )),
        ProfileOrigin::Unreadable => Some(Warning::new(
            "profile-unreadable",
            "The photo's colour profile cannot be read, so it is taken as sRGB; use the file as the camera saved it.",
        )),
    }
}

/// So much of a photo without a card is at the end of the scale that the card may be too.
pub(crate) fn photo_overexposed(clipped_share: f64) -> Option<Warning> {
    (clipped_share > OVEREXPOSED_SHARE).then(|| {
        let percent = (100.0 * clipped_share).round();
        Warning::new(
            "overexposed",
            format!("{percent} % of the photo is too bright to measure: it is overexposed; expose less and photograph again."),
        )
    })
}

/// Why no card can be used, as far as that is told beside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NoCard {
    /// Nothing like one is seen.
    Unseen,
    /// What is like one was refused, and that is told with its own way out.
    Refused,
    /// The photo is overexposed, and that is told.
    TooBright,
    /// Much of the photo is transparent, and that is told here alone.
    Transparent,
}

/// No card was found, or none that can be used. What to do is said where nothing else says it: advice of its own would go against
/// that.
pub(crate) fn no_card(why: NoCard, regions_asked: bool) -> Warning {
    let text = match why {
        NoCard::Unseen => {
            "No reference card was found: give its four corners by hand, name another card, or photograph it larger, flat and evenly lit."
        }
        NoCard::Refused => "No reference card can be used, for the reason given below.",
        NoCard::TooBright => "No reference card was found: it may be lost in what is too bright.",
        NoCard::Transparent => {
            "No reference card was found: nothing is measured where the photo is transparent, as much of it is; use the file as the camera saved it."
        }
    };
    let lost = if regions_asked { " Without one no region can be measured." } else { "" };
    Warning::new("no-card", format!("{text}{lost}"))
}

/// The patches differ in lightness alone.
pub(crate) fn no_colour(card: &str) -> Warning {
    let text = format!(
        "The picture has no colour, or was toned: the patches of what looks like the card '{card}' differ in lightness alone, so no colour is told; use the colour file as the camera saved it."
    );
    Warning::new("no-colour", text)
}

/// Some of the card's patches stand in each other's place.
pub(crate) fn other_order(card: &str) -> Warning {
    let text = format!(
        "Patches of what looks like the card '{card}' stand in each other's place: it is another card, so no colour is told; name the card that it is."
    );
    Warning::new("other-order", text)
}

/// The patches follow the card's colours but for their hues.
pub(crate) fn other_hues(card: &str) -> Warning {
    let text = format!(
        "What looks like the card '{card}' has other hues, turned as no camera or lamp turns them: it is another card, or the picture was altered, so no colour is told; name the card that it is, or use the file as the camera saved it."
    );
    Warning::new("other-hues", text)
}

/// Too few patches at the corners given look like the card's.
pub(crate) fn corners_off(fitting: usize, patches: usize) -> Warning {
    let text = format!(
        "The corners given do not sit on the patches: only {fitting} of {patches} have the card's colours there, so no colour is told. Set each to the outer corner of its corner patch, or leave the corners out, so that the card is looked for."
    );
    Warning::new("wrong-card", text)
}

/// More cards than one are in the photo.
pub(crate) fn several_cards(cards: usize, name: &str, [x, y]: [f64; 2], other: [f64; 2]) -> Warning {
    let text = format!(
        "{cards} cards are in the photo: '{name}' around pixel {x:.0}, {y:.0} is used, not the one {}; to use another, give its corners.",
        side([x, y], other)
    );
    Warning::new("several-cards", text)
}

/// Two cards in the photo make different colours of the same light.
pub(crate) fn unlike_light(apart: f64, used: [f64; 2], other: [f64; 2]) -> Warning {
    let text = format!(
        "The light on the card used and on the one {} is not alike: the two cards make colours of the same greys and skins that are ΔE2000 {apart:.1} apart; light both alike, and keep what is measured beside the card used.",
        side(used, other)
    );
    Warning::new("cards-in-unlike-light", text)
}

/// Where one thing in the photo lies from another.
fn side([x, y]: [f64; 2], [other_x, other_y]: [f64; 2]) -> &'static str {
    let (across, down) = (other_x - x, other_y - y);
    match (across.abs() > down.abs(), across > 0.0, down > 0.0) {
        (true, false, _) => "to the left of it",
        (true, true, _) => "to the right of it",
        (false, _, false) => "above it",
        (false, _, true) => "below it",
    }
}

/// The corners given are the card's in another order.
pub(crate) fn corners_turned() -> Warning {
    Warning::new(
        "corners-turned",
        "The card fits at these corners only in another order, and is read so: give them from the outer corner of the first \
         patch along the first row.",
    )
}

/// What lies at the corners given fits no card.
pub(crate) fn no_card_there() -> Warning {
    Warning::new(
        "wrong-card",
        "What lies inside the corners given is not the card, so no colour is told: set them again, from the outer corner of the \
         first patch along the first row, or name the card that it is.",
    )
}

/// Too much of a region is at the end of the scale.
pub(crate) fn region_overexposed(name: &str, region: &Measured) -> Warning {
    let percent = (100.0 * region.clipped_share).round();
    Warning::new(
        "region-overexposed",
        format!(
            "{percent} % of the region '{name}' is too bright to measure, so its colour is not told: leave reflections out of it, or expose less."
        ),
    )
}

/// The error stated of a region says that nothing is known of its colour.
pub(crate) fn region_unknown(name: &str, half_width: f64) -> Warning {
    Warning::new(
        "region-unknown",
        format!(
            "The colour of the region '{name}' could be off by {half_width:.0} in L*, a* or b*, so it is not told: put the card beside it, in the same plane and light, and photograph again."
        ),
    )
}

/// So many pixels.
fn pixels(count: usize) -> String {
    if count == 1 { "1 pixel".to_owned() } else { format!("{count} pixels") }
}

/// Why a region was not measured.
pub(crate) fn unmeasured(name: &str, why: Unmeasured, photo: &Photo) -> Warning {
    match why {
        Unmeasured::NoPolygon => {
            Warning::new("region-unusable", format!("The region '{name}' has fewer than three corners: draw it again."))
        }
        Unmeasured::NoArea => Warning::new(
            "region-no-area",
            format!(
                "The corners of the region '{name}' lie on one line, so it has no area: draw it again, round what is to be measured."
            ),
        ),
        Unmeasured::CrossesItself => Warning::new(
            "region-crossed",
            format!(
                "The sides of the region '{name}' cross, so it is not clear what lies inside: give its corners in order, round it."
            ),
        ),
        Unmeasured::Outside => Warning::new(
            "region-outside",
            format!(
                "The region '{name}' lies outside the photo of {} × {} pixels: move it inside.",
                photo.width_px, photo.height_px
            ),
        ),
        Unmeasured::MostlyOutside { percent_inside } => {
            let share = if percent_inside == 0 { "Less than 1".to_owned() } else { format!("Only {percent_inside}") };
            Warning::new(
                "region-outside",
                format!(
                    "{share} % of the region '{name}' lies inside the photo of {} × {} pixels, so its colour is not told: draw it inside.",
                    photo.width_px, photo.height_px
                ),
            )
        }
        Unmeasured::Transparent { percent } => Warning::new(
            "region-transparent",
            format!(
                "{percent} % of the region '{name}' is transparent, so there is no colour to measure: draw it where the photo is opaque, or use the file as the camera saved it."
            ),
        ),
        Unmeasured::LeftOutCrosses => Warning::new(
            "region-left-out",
            format!(
                "The sides of a place to leave out of the region '{name}' cross, so it is not clear what lies inside: give its corners in order, round it."
            ),
        ),
        Unmeasured::NothingLeft { pixels: left } => {
            let left = match left {
                0 => "Nothing is left".to_owned(),
                left => {
                    let are = if left == 1 { "is" } else { "are" };
                    format!("Only {} {are} left, of at least {FEWEST_PIXELS} needed,", pixels(left))
                }
            };
            Warning::new(
                "region-left-out",
                format!(
                    "{left} of the region '{name}' once what is to be left out is taken away: leave out less of it."
                ),
            )
        }
        Unmeasured::TooSmall { pixels: in_it } => Warning::new(
            "region-small",
            format!(
                "The region '{name}' has {}, of at least {FEWEST_PIXELS} needed: draw it larger, or photograph closer.",
                pixels(in_it)
            ),
        ),
    }
}

/// A place to leave out that touches no region, by its number among those given and its middle; its sides may cross as well.
pub(crate) fn left_out_unused(number: usize, [x, y]: [f64; 2], crosses: bool) -> Warning {
    let crossing = if crosses { " and its sides cross" } else { "" };
    Warning::new(
        "left-out-unused",
        format!(
            "Place {number} of those to leave out, around pixel {x:.0}, {y:.0}, touches no region{crossing}, so nothing was left out by it: see to its corners."
        ),
    )
}

/// A region lies over the card, or on patches of it with these names.
pub(crate) fn region_on_card(name: &str, over: &OverCard, patches: &[String]) -> Warning {
    const NAMED: usize = 3;
    let named: Vec<String> =
        over.patches.iter().filter_map(|&k| patches.get(k)).take(NAMED).map(|patch| format!("'{patch}'")).collect();
    let more = over.patches.len() - named.len();
    let on = match (&named[..], more) {
        ([], _) => ", between its patches".to_owned(),
        ([one], 0) => format!(", on its patch {one}"),
        ([first @ .., last], 0) => format!(", on its patches {} and {last}", first.join(", ")),
        (named, more) => format!(", on its patches {} and {more} more", named.join(", ")),
    };
    let share = match (100.0 * over.share).round() {
        100.0 => format!("The region '{name}' lies"),
        percent => format!("{percent} % of the region '{name}' lies"),
    };
    Warning::new(
        "region-on-card",
        format!(
            "{share} over the card{on}: the card is measured there, not the work; move it off, unless the card is to be checked."
        ),
    )
}

/// A region reaches beyond the photo.
pub(crate) fn region_cut_off(name: &str) -> Warning {
    Warning::new(
        "region-cut-off",
        format!("The region '{name}' reaches outside the photo: only what lies inside is measured; draw it inside."),
    )
}

/// What there is to say about a region. Where the edge of a shadow that is told crosses it (`in_shade_in_part`), that is why it seems
/// to have few grains.
pub(crate) fn of_region(name: &str, region: &Measured, in_shade_in_part: bool) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if region.clipped_share > CLIPPED_SHARE {
        let percent = (100.0 * region.clipped_share).round().max(1.0);
        warnings.push(Warning::new(
            "region-clipped",
            format!("{percent} % of the region '{name}' is too bright to measure, which makes its colour less sure: leave reflections out of it, or expose less."),
        ));
    }
    if region.place[0].abs().max(region.place[1].abs()) > FAR_FROM_CARD {
        warnings.push(Warning::new(
            "region-far",
            format!("The region '{name}' lies far from the card, where the light may differ: put the card beside it."),
        ));
    }
    let few_grains = region.grains < 4.0 && !in_shade_in_part;
    let is_uneven = region.evenness.as_ref().is_some_and(crate::Evenness::is_uneven);
    if few_grains && is_uneven {
        warnings.push(Warning::new(
            "region-uneven",
            format!("The colour of the region '{name}' changes across it by more than its grain, so its mean is unsure: measure what is lighter and what is darker as regions of their own."),
        ));
    } else if few_grains {
        warnings.push(Warning::new(
            "region-few-grains",
            format!("The region '{name}' shows hardly more than one grain: draw it across several, or average several regions."),
        ));
    }
    warnings
}

#[cfg(test)]
mod tests {
    use colour::Lab;
    use nalgebra::Matrix3;

    use super::*;

    /// A region is far from the card whichever way it lies; half-widths of the card as own judgement has them.
    #[test]
    fn far_is_far_across_and_below_alike() {
        let told = |place: [f64; 2]| {
            let region = Measured {
                lab: Lab::new(60.0, 9.0, 25.0),
                device_linear_rgb: [0.3; 3],
                own: Matrix3::zeros(),
                grains: 100.0,
                grain_sd: [1.0; 3],
                place,
                light_evened: false,
                block_colour_variance: [0.0; 2],
                pixels: 10_000,
                clipped_share: 0.0,
                area_mm2: None,
                left_out_share: 0.0,
                evenness: None,
                grain_direction_deg: None,
            };
            of_region("wood", &region, false).iter().map(|warning| warning.code).collect::<Vec<_>>()
        };
        for place in [[6.0, 0.0], [-6.0, 0.0], [0.0, 6.0], [0.0, -6.0]] {
            assert_eq!(told(place), ["region-far"], "{place:?}");
        }
        for place in [[4.0, 0.0], [0.0, -4.0], [-4.0, 4.0]] {
            assert_eq!(told(place), [""; 0], "{place:?}");
        }
    }
}
