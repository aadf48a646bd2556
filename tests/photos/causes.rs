//! One cause, one warning: what one thing does to many patches is told once, and as what it is.

use acceptance::rendered;
use card::CardReading;
use scene::Homography;

use crate::shot::{Said, Shot};

/// Columns and rows of the card, pitches.
const SIZE: [f64; 2] = [6.0, 4.0];

/// Pixels of a shot to pitches of its card, from the outer corner of the first patch.
fn card_of(shot: &Shot) -> Homography {
    let card = shot.scene().card.as_ref().expect("a card");
    Homography::of_rectangle(SIZE.map(|side| side - card.gap), card.corners_px).expect("a rectangle seen aslant")
}

/// Under the bars of a window: three stripes each with this share of the light gone, leaning by so many columns a row.
fn under_bars(taken: f64, lean: f64) -> Said {
    let shot = Shot::plain();
    let (card, [width, height]) = (card_of(&shot), shot.frame());
    let barred = shot.by_hand().lit(move |[x, y]| {
        let [across, down] = card.from_px([x * width, y * height]);
        let bar = |middle: f64| {
            let off = (across - lean * (2.0 - down) - middle).abs();
            ((0.3 - off) / 0.08 + 0.5).clamp(0.0, 1.0)
        };
        [1.0 - taken * [0.8, 2.8, 4.8].map(bar).into_iter().fold(0.0, f64::max); 3]
    });
    barred.read()
}

/// Bars of a window throw shadows, and nothing else: no patch is off, hidden or in a reflection for that.
#[test]
fn shadows_of_bars_are_told_as_shadow_alone() {
    for (taken, lean) in [(0.45, 0.0), (0.45, 0.35), (0.6, 0.0)] {
        let said = under_bars(taken, lean);
        assert_eq!(said.codes(), ["shade"], "{taken} gone, leaning by {lean}: {:?}", said.reading.warnings);
    }
}

/// A finger over part of a patch: of the light skin of the chart itself, in L* 10 from one side to the other, as round things are.
fn under_finger([column, row]: [f64; 2]) -> Said {
    let shot = Shot::plain();
    let (card, width) = (card_of(&shot), shot.frame()[0] as usize);
    let touched = shot.painted(move |rendered| {
        for (k, pixel) in rendered.rgb.chunks_exact_mut(3).enumerate() {
            let at = card.from_px([(k % width) as f64 + 0.5, (k / width) as f64 + 0.5]);
            let (across, down) = (at[0] - column - 0.5, at[1] - row - 0.75);
            if (across / 0.35).hypot(down.min(0.0) / 0.45) < 1.0 && down < 1.0 {
                // sRGB of the published light skin, L* 66 a* 18 b* 18, lighter and darker by 5
                let shade = 1.0 + 0.14 * across / 0.35;
                pixel.copy_from_slice(&[196.0, 149.0, 129.0].map(|code: f64| (code * shade).round() as u8));
            }
        }
    });
    touched.read()
}

/// A finger takes light from paint that is lighter than it; a reflection only adds some.
#[test]
fn a_finger_on_light_paint_is_no_glare() {
    let covered = |card: &CardReading, id: &str| card.patches.iter().any(|patch| patch.id == id && !patch.in_fit);
    for (place, id) in [([0.0, 3.0], "white 9.5"), ([1.0, 3.0], "neutral 8")] {
        let said = under_finger(place);
        assert!(covered(said.reading.card.as_ref().expect("a card"), id), "the finger lies on {id}");
        assert_eq!(said.codes(), ["patch-hidden"], "on {id}: {:?}", said.reading.warnings);
    }
}

/// What is uneven is told with one way out, not also to be drawn across more of it.
#[test]
fn an_uneven_region_gets_one_advice() {
    let half_dark = Shot::plain().lit(|[x, _]| [if x < 0.72 { 1.0 } else { 0.7 }; 3]);
    let said = half_dark.region(vec![[1000.0, 250.0], [1300.0, 250.0], [1300.0, 500.0], [1000.0, 500.0]]).read();
    assert!(said.reading.regions[0].evenness.as_ref().is_some_and(card::Evenness::is_uneven));
    assert_eq!(said.codes(), ["region-uneven"]);
}

/// Heavy compression rounds colours of an even surface the same way in all blocks. What is stated allows for that: of regions stored with
/// quality 8, in which the mean of a block has steps of 13 codes in Cb and Cr (ITU-T T.81, annex K, table K.2 times 6.25, over 8), and with
/// quality 30 (steps of 3.5), on even wood and with grain, eight in ten and more hold the colour that was photographed. So do they where
/// it was saved so before, cut, and saved again at quality 95.
#[test]
fn what_a_jpeg_rounds_off_is_stated() {
    let panels = |quality: u8, before: u8, strength: f64| {
        let colours = [[62.0, 9.0, 22.0], [55.0, 14.0, 30.0], [40.0, 12.0, 17.0]];
        let read = |lab: [f64; 3]| {
            let shot = Shot::plain().with(move |scene| {
                let tables = scene::Tables::read().expect("tables");
                let wood = scene::wood_of(&tables, lab).expect("a wood");
                for surface in &mut scene.surfaces {
                    if let scene::Material::Wood { base, wanted, figure } = &mut surface.material {
                        (*base, *wanted) = (wood, None);
                        (figure.strength, figure.blotch) = (strength, 0.0);
                    }
                }
                scene.file.quality = quality;
            });
            let said = if before == quality { shot } else { shot.saved_before(before, [3, 5]) }.read();
            rendered::panels(&said.reading, &said.truth)
        };
        colours.into_iter().flat_map(read).collect::<Vec<_>>()
    };
    let width = |panels: &[rendered::Panel]| panels.iter().map(|panel| panel.stated.half_width).sum::<f64>();
    let fine = width(&panels(95, 95, 0.0));
    let mut wider = Vec::new();
    for (quality, before, strength) in
        [(8, 8, 0.0), (30, 30, 0.0), (30, 30, 1.0), (95, 8, 0.0), (95, 30, 0.0), (95, 30, 1.0)]
    {
        let coarse = panels(quality, before, strength);
        let held = coarse.iter().filter(|panel| panel.stated.holds()).count();
        println!(
            "quality {quality}, {before} before, grain {strength}: held {held} of {}, {:.2} as wide",
            coarse.len(),
            width(&coarse) / fine
        );
        assert!(coarse.len() >= 9, "{} regions", coarse.len());
        assert!(
            held * 10 >= coarse.len() * 8,
            "quality {quality}, {before}, grain {strength}: {held} of {}",
            coarse.len()
        );
        wider.push(width(&coarse) / fine);
    }
    assert!(wider[0] > 2.0 && wider[1] > 1.1, "{wider:?}");
    assert!(wider[3] > 2.0 && wider[4] > 1.1, "{wider:?}");
}

/// Of a picture that is half transparent throughout nothing can be measured: no advice about a card helps, another file does.
#[test]
fn a_transparent_picture_is_told_as_that_alone() {
    let rendered = scene::render(Shot::plain().scene()).expect("a picture");
    let photo = |alpha: u8| {
        let pixels = rendered.rgb.chunks_exact(3).flat_map(|rgb| [rgb[0], rgb[1], rgb[2], alpha]).collect();
        let picture = image::RgbaImage::from_raw(rendered.width_px, rendered.height_px, pixels).expect("pixels");
        let mut bytes = std::io::Cursor::new(Vec::new());
        picture.write_to(&mut bytes, image::ImageFormat::Png).expect("a PNG");
        card::decode(bytes.get_ref(), &card::Limits::default()).expect("a photo")
    };
    let read = |alpha: u8| card::read(&photo(alpha), &card::Request::default(), &|_| true).expect("a reading").warnings;
    let codes = |alpha: u8| read(alpha).iter().map(|one| one.code).collect::<Vec<_>>();
    assert_eq!(codes(255), ["no-profile"]);
    assert_eq!(codes(128), ["no-card", "no-profile"]);
    let by_hand = card::Request { corners_px: rendered.truth.card_corners_px, ..card::Request::default() };
    let error = card::read(&photo(128), &by_hand, &|_| true).expect_err("nothing is seen").to_string();
    assert!(error.contains("transparent") && !error.contains("outside"), "{error}");
    let told = &read(128)[0].text;
    assert!(told.contains("transparent") && told.contains("the file as the camera saved it"), "{told}");
    assert!(!told.contains("corners"), "{told}");
}
