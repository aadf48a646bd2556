//! What light alone may have done to a patch. A reflection adds the lamp's light, so that no channel has less than the paint gives; a
//! shadow takes the same share of each. What neither explains is a thing that lies there.

use colour::white::{lab_relative, xyz_relative};
use colour::{Lab, de2000};
use nalgebra::Vector3;

use crate::read::PatchReading;

/// ΔE2000 up to which a patch is what the light explains: what is farther off is far off (`patch-off`).
const EXPLAINED_DE00: f64 = 8.0;
/// Share of the light that a patch in shadow has, at most: a twentieth less is no shadow that matters. Own judgement.
const IN_SHADOW: f64 = 0.95;
/// Share that a reflection has in one channel of what it has in another, at least.
///
/// # Source
/// ISO/CIE 11664-2:2022, illuminant A over D65, one mirrored in the other's light: X 1.099 / 0.950, Z 0.356 / 1.089, so Z is 0.283 of X.
const OF_LAMP: f64 = 0.28;
/// White in units of itself.
const WHITE: Vector3<f64> = Vector3::new(1.0, 1.0, 1.0);

/// Whether the paint is as it should be but for light added to it, as a lamp's reflection does; by how much in which channel nobody can
/// tell where the scale ends.
pub(super) fn is_paint_with_light_added(patch: &PatchReading, clipped: bool) -> bool {
    let (seen, paint) = (seen(patch), of_white(patch.lab_reference));
    let added = (seen - paint).map(|more| more.max(0.0));
    let of_lamp = clipped || added.min() >= OF_LAMP * added.max();
    is_near(seen, patch) || of_lamp && is_near(seen - added, patch)
}

/// Whether the paint is as it should be but for light that is gone, as in a shadow: the same share of each channel.
pub(super) fn is_paint_in_less_light(patch: &PatchReading) -> bool {
    let (seen, paint) = (seen(patch), of_white(patch.lab_reference));
    let share = seen.y / paint.y;
    share > 0.0 && share < IN_SHADOW && is_near(seen / share, patch)
}

fn is_near(colour: Vector3<f64>, patch: &PatchReading) -> bool {
    let [l, a, b] = lab_relative(colour, WHITE);
    de2000(Lab::new(l, a, b), patch.lab_reference) <= EXPLAINED_DE00
}

/// What is seen there by what the other patches say, its X, Y and Z over those of white.
fn seen(patch: &PatchReading) -> Vector3<f64> {
    of_white(patch.lab_left_out.unwrap_or(patch.lab_measured))
}

fn of_white(lab: Lab) -> Vector3<f64> {
    xyz_relative([lab.l, lab.a, lab.b], WHITE)
}

#[cfg(test)]
mod tests {
    use super::super::card::tests::patch;
    use super::*;
    use crate::layout;

    /// The published colour of a patch of the 24-patch chart.
    fn paint(id: &str) -> Lab {
        let charts = layout::known();
        let chart = charts.iter().find(|card| card.patch_ids.iter().any(|patch| patch == id)).unwrap();
        chart.editions[0].lab[chart.patch_ids.iter().position(|patch| patch == id).unwrap()]
    }

    /// What the light explains of such a paint of which this is seen: light added, light gone.
    fn explained(paint: Lab, seen: Vector3<f64>) -> (bool, bool) {
        let [l, a, b] = lab_relative(seen, WHITE);
        let patch =
            PatchReading { lab_reference: paint, lab_left_out: Some(Lab::new(l, a, b)), ..patch("patch", 0.0, 0.5) };
        (is_paint_with_light_added(&patch, false), is_paint_in_less_light(&patch))
    }

    /// What a surface mirrors comes on top of what its paint gives, and a shadow takes the same share from all of it: what a
    /// reflectance is (CIE 17: ISO/CIE 17-2020).
    #[test]
    fn light_that_is_added_is_told_from_light_that_is_gone() {
        for id in ["white 9.5", "neutral 5", "red", "blue", "yellow", "dark skin"] {
            let paint = paint(id);
            let of_paint = of_white(paint);
            for added in [0.1, 0.3, 0.6] {
                // as white as the light on the card, or an incandescent lamp's in daylight (illuminant A over D65)
                for lamp in [WHITE, Vector3::new(1.156, 1.0, 0.327)] {
                    assert_eq!(explained(paint, of_paint + lamp * added), (true, false), "{id} and {added} of {lamp}");
                }
            }
            for share in [0.4, 0.7] {
                assert!(explained(paint, of_paint * share).1, "{id} in {share} of the light");
            }
        }
        for id in ["white 9.5", "neutral 5", "yellow"] {
            assert!(!explained(paint(id), of_white(paint(id)) * 0.4).0, "{id}: no light is added in a shadow");
        }
    }

    /// A finger has the colour of the chart's own light skin; on paints that are lighter, if in one channel only, it is no reflection.
    #[test]
    fn skin_on_light_paint_is_neither() {
        for id in ["white 9.5", "neutral 8", "yellow", "orange yellow"] {
            assert_eq!(explained(paint(id), of_white(paint("light skin"))), (false, false), "{id}");
        }
    }

    /// Where the scale ends, the added light has no colour that could be told.
    #[test]
    fn light_that_ends_the_scale_is_added_all_the_same() {
        let paint = paint("red");
        let patch = PatchReading {
            lab_left_out: Some(Lab::new(100.0, 0.0, 0.0)),
            lab_reference: paint,
            ..patch("red", 0.0, 1.0)
        };
        assert!(is_paint_with_light_added(&patch, true));
    }
}
