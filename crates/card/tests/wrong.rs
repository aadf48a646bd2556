//! Wrong cards, wrong corners, and two cards in unlike light, on pictures these tests paint themselves: no colour is told by what is
//! not the card, and what is said names what is wrong. Own judgement.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use std::io::Cursor;

use card::{Limits, Photo, PhotoReading, Request, decode, layout, read};
use colour::Lab;
use image::{ImageFormat, RgbImage};

/// Side of a patch pitch, and where the card begins, in pixels.
const PITCH: u32 = 40;
const LEFT: u32 = 60;
const TOP: u32 = 50;

/// sRGB codes of a Lab colour.
fn paint(lab: Lab) -> [u8; 3] {
    let light = colour::rgb::linear_srgb_from_xyz(colour::xyz_from_lab(lab));
    light.map(|light| (255.0 * colour::rgb::srgb_from_linear(light.clamp(0.0, 1.0))).round() as u8)
}

/// The grid's corners.
fn corners() -> [[f64; 2]; 4] {
    let (left, top, pitch) = (f64::from(LEFT), f64::from(TOP), f64::from(PITCH));
    let (right, bottom) = (left + 5.85 * pitch, top + 3.85 * pitch);
    [[left, top], [right, top], [right, bottom], [left, bottom]]
}

/// A picture painted pixel by pixel.
fn photo(width: u32, height: u32, of: impl Fn(u32, u32) -> [u8; 3]) -> Photo {
    let picture = RgbImage::from_fn(width, height, |x, y| image::Rgb(of(x, y)));
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
    decode(&bytes.into_inner(), &Limits::default()).unwrap()
}

/// What a card of these colours shows at a pixel from its first patch on; none beside it.
fn on_card(lab: &[Lab], pitch: u32, [x, y]: [u32; 2]) -> Option<[u8; 3]> {
    let gap = pitch * 3 / 20;
    let inside = x < 6 * pitch && y < 4 * pitch;
    inside.then(|| {
        let on_patch = x % pitch < pitch - gap && y % pitch < pitch - gap;
        if on_patch { paint(lab[(y / pitch * 6 + x / pitch) as usize]) } else { [28, 28, 28] }
    })
}

/// A card of these colours beside wood.
fn beside_wood(lab: &[Lab]) -> Photo {
    photo(520, 280, |x, y| {
        on_card(lab, PITCH, [x.wrapping_sub(LEFT), y.wrapping_sub(TOP)]).unwrap_or_else(|| {
            let frame = (50..=305).contains(&x) && (40..=215).contains(&y);
            if frame { [28, 28, 28] } else { paint(Lab::new(62.0, 9.0, 26.0)) }
        })
    })
}

fn chart() -> Vec<Lab> {
    layout::known()[0].editions[0].lab.clone()
}

fn read_at(photo: &Photo, corners_px: Option<[[f64; 2]; 4]>) -> PhotoReading {
    let regions = vec![("wood".into(), vec![[360.0, 20.0], [460.0, 20.0], [460.0, 120.0], [360.0, 120.0]])];
    read(photo, &Request { corners_px, regions, ..Request::default() }, &|_| true).unwrap()
}

fn said<'a>(reading: &'a PhotoReading, code: &str) -> Vec<&'a str> {
    reading.warnings.iter().filter(|one| one.code == code).map(|one| one.text.as_str()).collect()
}

/// Found or by corners, a card of which all hues are turned is another; the one as it is is read.
#[test]
fn a_card_of_other_hues_gives_no_colours() {
    for degrees in [0.0f64, 75.0, 150.0, 225.0, 300.0] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let turn = |(k, lab): (usize, &Lab)| {
            let (a, b) = (lab.a * cos - lab.b * sin, lab.a * sin + lab.b * cos);
            if k < 18 { Lab::new(lab.l, a, b) } else { *lab }
        };
        let photo = beside_wood(&chart().iter().enumerate().map(turn).collect::<Vec<_>>());
        for given in [None, Some(corners())] {
            let reading = read_at(&photo, given);
            let told = said(&reading, "other-hues");
            if degrees == 0.0 {
                assert!(reading.card.is_some() && reading.regions.len() == 1 && told.is_empty(), "{told:?}");
            } else {
                assert!(reading.card.is_none() && reading.regions.is_empty(), "turned by {degrees}, {given:?}");
                assert_eq!(told.len(), 1, "turned by {degrees}, {given:?}: {:?}", reading.warnings);
            }
        }
    }
}

/// Patches each off by ΔE*ab 4 in a direction of its own, as on a faded chart, of which no patch can be told as far off its place: two
/// near in colour that have changed places are known by what is likelier. As they are, they are read.
#[test]
fn near_patches_exchanged_on_a_faded_chart_give_no_colours() {
    let directions =
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]];
    for (a, b, turn) in [(2, 4, 1), (6, 11, 2), (8, 14, 0)] {
        let faded = |(k, lab): (usize, &Lab)| {
            let [l, da, db] = directions[(5 * k + turn + k / 6) % 6].map(|off: f64| 4.0 * off);
            Lab::new((lab.l + l).min(97.0), lab.a + da, lab.b + db)
        };
        let mut lab: Vec<Lab> = chart().iter().enumerate().map(faded).collect();
        let as_it_is = read_at(&beside_wood(&lab), Some(corners()));
        assert!(as_it_is.card.is_some(), "{a} and {b}, {turn}: {:?}", as_it_is.warnings);
        lab.swap(a, b);
        let exchanged = read_at(&beside_wood(&lab), Some(corners()));
        assert!(exchanged.card.is_none() && exchanged.regions.is_empty(), "{a} and {b}, {turn}");
        assert_eq!(said(&exchanged, "other-order").len(), 1, "{a} and {b}, {turn}: {:?}", exchanged.warnings);
    }
}

/// Corners that are off by half a patch, or round the whole frame: most patches are not where they are looked for. Off by a tenth,
/// all are.
#[test]
fn corners_that_do_not_sit_on_the_patches_give_no_colours() {
    let photo = beside_wood(&chart());
    let moved = |by: f64| corners().map(|[x, y]| [x + by * f64::from(PITCH), y + by * f64::from(PITCH)]);
    let [middle_x, middle_y] = [0, 1].map(|axis| corners().iter().map(|corner| corner[axis]).sum::<f64>() / 4.0);
    let grown = |by: f64| corners().map(|[x, y]| [middle_x + by * (x - middle_x), middle_y + by * (y - middle_y)]);
    for (name, given) in [("half a patch", moved(0.5)), ("too large", grown(1.3))] {
        let reading = read_at(&photo, Some(given));
        assert!(
            reading.card.is_none() && reading.regions.is_empty(),
            "{name}: {:?} {:?}",
            reading.warnings,
            reading.fit
        );
        let told = said(&reading, "wrong-card");
        assert!(told.len() == 1 && told[0].contains("corners given"), "{name}: {told:?}");
    }
    assert_eq!(
        said(&read_at(&photo, Some(grown(1.3))), "wrong-card")[0].split(':').next(),
        Some("The corners given do not sit on the patches")
    );
    for given in [moved(0.1), grown(1.03)] {
        let reading = read_at(&photo, Some(given));
        assert!(reading.card.is_some() && reading.regions.len() == 1, "{:?}", reading.warnings);
    }
}

/// A small card to the left, in a light of its own, beside a large one: the large one is used, and it is said where the other is, and
/// whether the light on it is another.
#[test]
fn of_two_cards_the_larger_is_used_and_unlike_light_is_told() {
    let lab = chart();
    // the large one fits a little worse, but well
    let off = |k: usize| if k.is_multiple_of(3) { 2.0 } else { 0.0 };
    let worse: Vec<Lab> =
        lab.iter().enumerate().map(|(k, lab)| Lab::new(lab.l - off(k), lab.a + off(k), lab.b - off(k))).collect();
    for (light, is_unlike) in [([1.0, 1.0, 1.0], false), ([1.0, 0.8, 0.5], true), ([0.45, 0.45, 0.45], true)] {
        let lit = |code: [u8; 3]| {
            let dimmed = |c: usize| light[c] * colour::rgb::linear_from_srgb(f64::from(code[c]) / 255.0);
            [0, 1, 2].map(|c| (255.0 * colour::rgb::srgb_from_linear(dimmed(c))).round() as u8)
        };
        let photo = photo(700, 280, |x, y| {
            let small = on_card(&lab, 24, [x.wrapping_sub(40), y.wrapping_sub(120)]).map(lit);
            let large = || on_card(&worse, 50, [x.wrapping_sub(330), y.wrapping_sub(40)]);
            small.or_else(large).unwrap_or(if x < 260 { lit([28, 28, 28]) } else { [28, 28, 28] })
        });
        let reading = read_at(&photo, None);
        let corners = reading.card.as_ref().expect("a card").corners_px;
        assert!(corners.iter().all(|corner| corner[0] > 300.0), "{light:?}: {corners:?}");
        let several = said(&reading, "several-cards");
        assert!(several.len() == 1 && several[0].contains("to the left of it"), "{light:?}: {several:?}");
        assert_eq!(said(&reading, "cards-in-unlike-light").len(), usize::from(is_unlike), "{light:?}");
    }
}

/// White and black in each other's place, found or by corners: nothing that is said leads back to what was said before. Where the card
/// is looked for, the way out that needs corners is only for a card on which something lies.
#[test]
fn what_to_do_about_an_exchanged_card_does_not_lead_round() {
    let mut lab = chart();
    lab.swap(18, 23);
    let photo = beside_wood(&lab);
    let texts = |given| {
        let reading = read_at(&photo, given);
        assert!(reading.card.is_none() && reading.regions.is_empty());
        reading.warnings.into_iter().map(|one| (one.code, one.text)).collect::<Vec<_>>()
    };
    let text = |told: &[(&str, String)], code: &str| {
        told.iter().find(|(known, _)| *known == code).map(|(_, text)| text.clone()).unwrap_or_default()
    };
    let found = texts(None);
    let disturbed = text(&found, "card-disturbed");
    assert!(disturbed.contains("22 of 24 patches agree, 2 do not. Where"), "{found:?}");
    assert!(disturbed.contains("where nothing does, it is another card: name that"), "{disturbed}");
    assert_eq!(
        text(&found, "no-card"),
        "No reference card can be used, for the reason given below. Without one no region can be measured."
    );
    let given = texts(Some(corners()));
    assert!(text(&given, "other-order").contains("it is another card, so no colour is told; name the card that it is"));
    assert!(!given.iter().any(|(_, text)| text.contains("corners")), "{given:?}");
}

/// A grey picture kept as a colour one (luma of ITU-R BT.601), sepia, a duotone of blue, found or by corners: it is the picture that has
/// no colour, and no other card. Half of the colours gone is a camera's look, and the card is read.
#[test]
fn a_picture_without_colour_is_told_as_such() {
    let colours = beside_wood(&chart());
    let tone = |of: fn(f64) -> [f64; 3], share: f64| {
        let paint = move |pixel: [u8; 3]| {
            let code = pixel.map(f64::from);
            let luma = 0.299 * code[0] + 0.587 * code[1] + 0.114 * code[2];
            let toned = of(luma / 255.0).map(|value| 255.0 * value);
            [0, 1, 2].map(|c| (share * toned[c] + (1.0 - share) * code[c]).round().clamp(0.0, 255.0) as u8)
        };
        photo(520, 280, |x, y| {
            let light = colours.linear(x, y);
            paint(light.map(|light| (255.0 * colour::rgb::srgb_from_linear(f64::from(light))).round() as u8))
        })
    };
    let grey = |luma: f64| [luma; 3];
    let sepia = |luma: f64| [luma.powf(0.8), luma.powf(0.95), luma.powf(1.3)];
    let blue = |luma: f64| [0.85 * luma * luma, 0.7 * luma + 0.2 * luma * luma, 0.25 + 0.7 * luma];
    for (name, of) in [("grey", grey as fn(f64) -> [f64; 3]), ("sepia", sepia), ("blue", blue)] {
        let photo = tone(of, 1.0);
        for given in [None, Some(corners())] {
            let reading = read_at(&photo, given);
            assert!(reading.card.is_none() && reading.regions.is_empty(), "{name}, {given:?}");
            let told = said(&reading, "no-colour");
            assert!(
                told.len() == 1 && told[0].contains("has no colour, or was toned"),
                "{name}: {:?}",
                reading.warnings
            );
            for other in ["other-hues", "other-order", "other-grid", "wrong-card", "card-way-unclear", "card-disturbed"]
            {
                assert!(said(&reading, other).is_empty(), "{name}, {given:?}: {:?}", reading.warnings);
            }
        }
    }
    let pale = read_at(&tone(grey, 0.5), Some(corners()));
    assert!(pale.card.is_some() && said(&pale, "no-colour").is_empty(), "{:?}", pale.warnings);
}

/// A chart of which every patch is off in a direction of its own, found for all that: up to ΔE2000 12 on average, each left out in turn,
/// its colours are told with the question whether it is the card; beyond, no card is told, though 16 is not reached. Own judgement.
#[test]
fn a_card_whose_patches_fit_too_badly_is_none() {
    let directions =
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]];
    for (size, turn, is_read) in [(14.0, 0, true), (16.0, 0, false), (14.0, 2, true), (16.0, 2, false)] {
        let off = |(k, lab): (usize, &Lab)| {
            let [l, a, b] = directions[(5 * k + turn + k / 6) % 6].map(|off: f64| size * off);
            Lab::new((lab.l + l).min(97.0), lab.a + a, lab.b + b)
        };
        let reading = read_at(&beside_wood(&chart().iter().enumerate().map(off).collect::<Vec<_>>()), None);
        assert_eq!((reading.card.is_some(), reading.regions.len()), (is_read, usize::from(is_read)), "{size}, {turn}");
        let told = if is_read { "wrong-card" } else { "no-card" };
        assert_eq!(said(&reading, told).len(), 1, "{size}, {turn}: {:?}", reading.warnings);
        assert!(reading.fit.is_none_or(|fit| (11.0..12.0).contains(&fit.mean)), "{size}, {turn}: {:?}", reading.fit);
    }
}
