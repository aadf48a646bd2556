//! Regions beside a painted card: what is measured of them, and which tell no colour.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

mod painted;

use std::io::Cursor;

use card::{Limits, Photo, PhotoReading, Request, decode, layout, read};
use colour::de2000;
use image::{ImageFormat, RgbImage};
use painted::{WOOD, corners, paint, painted, painted_at, square};

/// Where most of a region lies beside the photo it was not meant so; where the interval says that nothing is known, no colour
/// is told; what reaches a little over the edge is measured by what is in sight.
#[test]
fn a_region_of_which_nothing_is_known_tells_no_colour() {
    let photo = painted();
    let of = |region: Vec<[f64; 2]>| {
        let regions = vec![("wood".into(), region)];
        let reading = read(&photo, &Request { corners_px: Some(corners()), regions, ..Request::default() }, &|_| true);
        let PhotoReading { regions, warnings, .. } = reading.unwrap();
        (regions, warnings.into_iter().map(|warning| warning.code).collect::<Vec<_>>())
    };
    let wide = |left: f64| vec![[left, 20.0], [500.0, 20.0], [500.0, 130.0], [left, 130.0]];
    for far in [-800.0, -1e6] {
        let (regions, codes) = of(wide(far));
        assert!(regions.is_empty() && codes.contains(&"region-outside"), "{far}: {regions:?} {codes:?}");
    }
    let (inside, _) = of(square(440.0, 20.0, 80.0));
    let (reaching, codes) = of(vec![[440.0, 20.0], [590.0, 20.0], [590.0, 100.0], [440.0, 100.0]]);
    assert!(codes.contains(&"region-cut-off"), "{codes:?}");
    assert_eq!((reaching[0].lab, reaching[0].covariance), (inside[0].lab, inside[0].covariance));
}

/// A card of a thumbnail's size at one end of a long picture says nothing of the light at the other.
#[test]
fn a_colour_whose_interval_means_nothing_is_not_told() {
    const SMALL: u32 = 8;
    let card = &layout::known()[0];
    let lab = &card.editions[0].lab;
    let picture = RgbImage::from_fn(6000, 60, |x, y| {
        let (cx, cy) = (x.wrapping_sub(4), y.wrapping_sub(4));
        let on_card = cx < 6 * SMALL && cy < 4 * SMALL;
        let colour = if on_card { paint(lab[(cy / SMALL * 6 + cx / SMALL) as usize]).0 } else { paint(WOOD).0 };
        image::Rgb(colour)
    });
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
    let photo = decode(&bytes.into_inner(), &Limits::default()).unwrap();
    let (right, foot) = (f64::from(4 + 6 * SMALL), f64::from(4 + 4 * SMALL));
    let regions = vec![("near".into(), square(60.0, 5.0, 40.0)), ("far".into(), square(5900.0, 5.0, 40.0))];
    let corners_px = Some([[4.0, 4.0], [right, 4.0], [right, foot], [4.0, foot]]);
    let reading = read(&photo, &Request { corners_px, regions, ..Request::default() }, &|_| true).unwrap();
    assert_eq!(reading.regions.iter().map(|region| region.name.as_str()).collect::<Vec<_>>(), ["near"]);
    let told: Vec<&str> =
        reading.warnings.iter().filter(|one| one.code == "region-unknown").map(|one| one.text.as_str()).collect();
    assert!(told.len() == 1 && told[0].contains("'far'"), "{told:?}");
}

/// Of a large region not every row is read: it has the pixels of its area and the colour of the small one all the same.
#[test]
fn a_large_region_reads_as_a_small_one() {
    const SCALE: u32 = 14;
    let scale = f64::from(SCALE);
    let read_at = |scale: f64, photo: &Photo| {
        let corners_px = Some(corners().map(|corner| corner.map(|at| at * scale)));
        let wood = square(360.0 * scale, 20.0 * scale, 110.0 * scale);
        let request = Request { corners_px, regions: vec![("wood".into(), wood)], ..Request::default() };
        read(photo, &request, &|_| true).unwrap().regions.remove(0)
    };
    let (small, large) = (read_at(1.0, &painted()), read_at(scale, &painted_at(SCALE)));
    assert_eq!(small.pixels, 110 * 110);
    assert_eq!(large.pixels, (110 * SCALE as usize).pow(2));
    let off = de2000(large.lab, small.lab);
    assert!(off < 0.1, "off by {off}");
}

/// A region half on light, half on dark wood: with the dark half marked as left out it reads as the light wood does alone, of which
/// the truth is the paint; without the mark it lies between.
#[test]
fn a_place_left_out_is_no_part_of_the_colour() {
    let across = square(360.0, 90.0, 100.0);
    let light = vec![[360.0, 90.0], [460.0, 90.0], [460.0, 140.0], [360.0, 140.0]];
    let dark = vec![[350.0, 140.0], [470.0, 140.0], [470.0, 200.0], [350.0, 200.0]];
    let photo = painted();
    let read_with = |region: &[[f64; 2]], left_out_px: Vec<Vec<[f64; 2]>>| {
        let regions = vec![("wood".into(), region.to_vec())];
        let request = Request { corners_px: Some(corners()), regions, left_out_px, ..Request::default() };
        read(&photo, &request, &|_| true).unwrap().regions.remove(0)
    };
    let (alone, whole, marked) =
        (read_with(&light, vec![]), read_with(&across, vec![]), read_with(&across, vec![dark]));
    assert_eq!((alone.pixels, whole.pixels, marked.pixels), (5000, 10_000, 5000));
    assert!((marked.left_out_share - 0.5).abs() < 1e-9 && whole.left_out_share == 0.0);
    let off = de2000(marked.lab, paint(WOOD).1);
    assert!(
        off < 1.5 && de2000(marked.lab, alone.lab) < 0.3,
        "off the paint by {off}: {:?}, {:?}",
        marked.lab,
        alone.lab
    );
    assert!(whole.lab.l < marked.lab.l - 8.0, "{:?}, {:?}", whole.lab, marked.lab);
}

/// The card's pitch in millimetres gives the scale: where 40 px of it are 20 mm, 100 × 60 px are 50 × 30 mm; where they are 4 mm,
/// 10 × 6 mm.
#[test]
fn a_region_has_the_area_that_the_cards_size_gives_it() {
    let read_with = |pitch_mm: Option<f64>| {
        let card = card::Card { pitch_mm, ..layout::known().swap_remove(0) };
        let wood = vec![[360.0, 20.0], [460.0, 20.0], [460.0, 80.0], [360.0, 80.0]];
        let regions = vec![("wood".into(), wood)];
        let request = Request { card: Some(card), corners_px: Some(corners()), regions, ..Request::default() };
        read(&painted(), &request, &|_| true).unwrap().regions.remove(0).area_mm2
    };
    assert_eq!(read_with(None), None);
    for (pitch_mm, want) in [(20.0, 1500.0), (4.0, 60.0)] {
        let area = read_with(Some(pitch_mm)).unwrap();
        assert!((area / want - 1.0).abs() < 1e-3, "{area} mm², not {want}");
    }
}

/// Why a region is not measured where it is transparent, or what is left out of it is not clear or leaves nothing.
#[test]
fn a_region_without_a_colour_says_which_way_out() {
    let told = |photo: &Photo, left_out_px: Vec<Vec<[f64; 2]>>| {
        let regions = vec![("wood".into(), square(360.0, 20.0, 100.0))];
        let request = Request { corners_px: Some(corners()), regions, left_out_px, ..Request::default() };
        let reading = read(photo, &request, &|_| true).unwrap();
        let of_region = reading.warnings.into_iter().filter(|warning| warning.code.starts_with("region"));
        let words: Vec<String> = of_region.map(|warning| format!("{}: {}", warning.code, warning.text)).collect();
        (reading.regions.len(), words.join(" "))
    };
    let photo = painted();
    let covered = told(&photo, vec![square(350.0, 10.0, 60.0), square(340.0, 0.0, 150.0)]);
    assert!(
        covered.0 == 0 && covered.1.starts_with("region-left-out: Nothing is left of the region 'wood'"),
        "{covered:?}"
    );
    let nearly = told(
        &photo,
        vec![
            square(340.0, 0.0, 117.0),
            vec![[450.0, 0.0], [470.0, 0.0], [470.0, 130.0], [450.0, 130.0]],
            vec![[340.0, 113.0], [470.0, 113.0], [470.0, 130.0], [340.0, 130.0]],
        ],
    );
    assert!(nearly.0 == 0 && nearly.1.contains("leave out less of it"), "{nearly:?}");
    let (x, y) = (400.0, 60.0);
    let crossed = told(&photo, vec![vec![[x, y], [x + 30.0, y + 30.0], [x + 30.0, y], [x, y + 30.0]]]);
    assert!(
        crossed.0 == 0 && crossed.1.contains("The sides of a place to leave out of the region 'wood' cross"),
        "{crossed:?}"
    );
    let line = told(&photo, vec![vec![[x, y], [x + 30.0, y], [x + 60.0, y]]]);
    assert_eq!(line.0, 1, "a line takes nothing away: {line:?}");

    for (from, want) in [(440, "20 % of the region 'wood' is transparent"), (459, "1 % of the region"), (460, "")] {
        let (count, words) = told(&transparent_from(from), vec![]);
        assert_eq!((count, words.is_empty()), (usize::from(want.is_empty()), want.is_empty()), "{from}: {words}");
        assert!(words.contains(want), "{from}: {words}");
    }
}

/// One pixel is one pixel.
#[test]
fn a_region_too_small_says_how_many_pixels_it_has() {
    let told = |side: f64| {
        let regions = vec![("wood".into(), square(400.0, 40.0, side))];
        let request = Request { corners_px: Some(corners()), regions, ..Request::default() };
        let small = read(&painted(), &request, &|_| true).unwrap().warnings.into_iter();
        small.filter(|warning| warning.code == "region-small").map(|warning| warning.text).collect::<Vec<_>>()
    };
    let want = |has: &str| {
        format!("The region 'wood' has {has}, of at least 64 needed: draw it larger, or photograph closer.")
    };
    assert_eq!(told(1.0), [want("1 pixel")]);
    assert_eq!(told(3.0), [want("9 pixels")]);
    assert_eq!(told(8.0), [""; 0]);
}

/// A transparent patch is none that was seen: it has no part in the fit, and what is said of the file stands behind what is wrong.
#[test]
fn transparent_patches_are_not_measured() {
    let request = Request { corners_px: Some(corners()), ..Request::default() };
    let told = |photo: &Photo| {
        let reading = read(photo, &request, &|_| true).unwrap();
        let seen: Vec<bool> = reading.card.unwrap().patches.iter().map(|patch| patch.in_fit).collect();
        (seen, reading.warnings.into_iter().map(|warning| warning.code).collect::<Vec<_>>())
    };
    let (seen, codes) = told(&transparent_from(255));
    assert_eq!(seen, (0..24).map(|patch| patch % 6 != 5).collect::<Vec<_>>());
    assert_eq!((codes[0], codes[codes.len() - 1]), ("transparent", "no-profile"), "{codes:?}");
    assert!(codes.contains(&"card-cut-off"), "{codes:?}");
    let cut_off = |photo: &Photo, corners_px: Option<[[f64; 2]; 4]>| {
        let request = Request { corners_px, ..Request::default() };
        let warnings = read(photo, &request, &|_| true).unwrap().warnings;
        warnings.into_iter().find(|warning| warning.code == "card-cut-off").map(|warning| warning.text)
    };
    // which of the two it is, and what helps
    assert_eq!(
        cut_off(&transparent_from(255), Some(corners())).as_deref(),
        Some(
            "Transparent in the photo: the patches 'bluish green', 'orange yellow', 'cyan' and 'black 2'; use the file as the camera saved it."
        )
    );
    let (seen, codes) = told(&painted());
    assert!(!seen.contains(&false) && !codes.contains(&"transparent"), "{codes:?}");
}

/// The painted card with all columns from this one on transparent, and black as programs store that.
fn transparent_from(column: u32) -> Photo {
    let opaque = painted();
    let picture = image::RgbaImage::from_fn(opaque.width_px, opaque.height_px, |x, y| {
        let code = |light: f32| (255.0 * colour::rgb::srgb_from_linear(f64::from(light))).round() as u8;
        let [red, green, blue] = opaque.linear(x, y).map(code);
        if x < column { image::Rgba([red, green, blue, 255]) } else { image::Rgba([0; 4]) }
    });
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgba8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
    decode(&bytes.into_inner(), &Limits::default()).unwrap()
}
