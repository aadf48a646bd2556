//! The whole job on a card these tests paint themselves: the answer is known, as the paint is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

mod painted;

use std::io::Cursor;
use std::sync::atomic::{AtomicUsize, Ordering};

use card::{Along, Error, Factor, Limits, Photo, PhotoReading, Request, decode, layout, read};
use colour::{Lab, de2000};
use image::{ImageFormat, RgbImage};
use painted::{DARK_WOOD, LEFT, PITCH, WOOD, corners, paint, painted, square};

fn reading(corners_px: Option<[[f64; 2]; 4]>) -> PhotoReading {
    let regions = vec![
        ("wood".into(), square(360.0, 20.0, 100.0)),
        ("more wood".into(), square(350.0, 30.0, 100.0)),
        ("dark wood".into(), square(360.0, 160.0, 100.0)),
        ("nowhere".into(), square(900.0, 20.0, 100.0)),
        ("speck".into(), square(400.0, 40.0, 5.0)),
    ];
    read(&painted(), &Request { corners_px, regions, ..Request::default() }, &|_| true).unwrap()
}

/// The photo shows the colours as painted, so the truth is the paint; the fit's prior expects a camera's look and may
/// be off by what it states.
#[test]
fn wood_beside_the_card_is_measured_as_painted() {
    for given in [Some(corners()), None] {
        let reading = reading(given);
        let card = reading.card.as_ref().expect("the card is in plain sight");
        assert!(!card.mirrored);
        for (corner, want) in card.corners_px.iter().zip(corners()) {
            assert!((corner[0] - want[0]).hypot(corner[1] - want[1]) < 0.1 * f64::from(PITCH), "{corner:?}, {want:?}");
        }
        let mean = reading.fit.as_ref().unwrap().mean;
        assert!(mean < 2.0, "left-out mean {mean}");
        assert_eq!(
            reading.regions.iter().map(|r| r.name.as_str()).collect::<Vec<_>>(),
            ["wood", "more wood", "dark wood"]
        );
        for (region, want) in [(0, WOOD), (2, DARK_WOOD)] {
            let off = de2000(reading.regions[region].lab, paint(want).1);
            assert!(off < 1.5, "{}: off by {off}", reading.regions[region].name);
        }
        let codes: Vec<&str> = reading.warnings.iter().map(|warning| warning.code).collect();
        for code in ["no-profile", "region-outside", "region-small"] {
            assert!(codes.contains(&code), "{code} in {codes:?}");
        }
        assert!(!codes.contains(&"wrong-card") && !codes.contains(&"clipped"), "{codes:?}");
    }
}

/// Light that falls to three fifths from left to right shows within each patch, not only from patch to patch: the wood, a card's
/// width away, is read as painted within 2, though it has a fifth less light than the card and would be off by 5 if that were
/// not followed. How far the slope is known is stated beside it.
#[test]
fn a_slope_of_light_is_followed_to_the_wood() {
    let even = painted();
    let picture = RgbImage::from_fn(520, 280, |x, y| {
        let fall = (-0.5 * (f64::from(x) + 0.5) / 520.0).exp();
        image::Rgb(
            even.linear(x, y)
                .map(|light| (255.0 * colour::rgb::srgb_from_linear(0.9 * f64::from(light) * fall)).round() as u8),
        )
    });
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
    let photo = decode(&bytes.into_inner(), &Limits::default()).unwrap();
    let regions = vec![("wood".into(), square(360.0, 20.0, 100.0)), ("dark".into(), square(360.0, 160.0, 100.0))];
    let request = Request { corners_px: Some(corners()), regions, ..Request::default() };
    let reading = read(&photo, &request, &|_| true).unwrap();
    for (region, want) in reading.regions.iter().zip([WOOD, DARK_WOOD]) {
        let off = de2000(region.lab, paint(want).1);
        assert!(off < 2.0, "{}: off by {off}", region.name);
        let slope = region.shared.iter().find(|shared| shared.factor == Factor::PhotoSlope(Along::Rows)).unwrap();
        let of_light = matrix(&slope.loading).norm();
        assert!((0.3..4.0).contains(&of_light), "{}: {of_light}", region.name);
    }
}

/// The chart under light that falls to three fifths from left to right, and a plain board under the same: evened to the light in the
/// card's middle, each patch has the light it has without, and the light is no longer said to fall off across the card.
#[test]
fn a_board_evens_the_light_of_the_cards_own_patches() {
    let fall = |x: u32| (-0.5 * (f64::from(x) + 0.5) / 520.0).exp();
    let lit = |of: &dyn Fn(u32, u32) -> [f64; 3]| {
        let picture = RgbImage::from_fn(520, 280, |x, y| {
            let code = |light: f64| (255.0 * colour::rgb::srgb_from_linear(0.9 * light * fall(x))).round() as u8;
            image::Rgb(of(x, y).map(code))
        });
        let mut bytes = Cursor::new(Vec::new());
        image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
        decode(&bytes.into_inner(), &Limits::default()).unwrap()
    };
    let even = painted();
    let chart = lit(&|x, y| even.linear(x, y).map(f64::from));
    let board = card::Board::from_photo(&lit(&|_, _| [0.5; 3])).unwrap();
    let of = |photo: &Photo, board: Option<card::Board>| {
        let board = board.map(std::sync::Arc::new);
        let reading =
            read(photo, &Request { corners_px: Some(corners()), board, ..Request::default() }, &|_| true).unwrap();
        (reading.card.unwrap().patches, reading.warnings.iter().any(|warning| warning.code == "light-falls-off"))
    };
    let ((plain, _), (fallen, falls), (evened, still_falls)) =
        (of(&even, None), of(&chart, None), of(&chart, Some(board)));
    assert!(falls && !still_falls);
    let middle = 0.9 * fall(LEFT + 3 * PITCH - 3);
    let off = |patches: &[card::PatchReading]| {
        let pairs =
            patches.iter().zip(&plain).map(|(found, want)| (found.device_linear_rgb[1], want.device_linear_rgb[1]));
        // darker ones are known to no more than a code or two
        let lighter = pairs.filter(|(_, want)| *want > 0.1);
        lighter.map(|(found, want)| (found / (middle * want) - 1.0).abs()).fold(0.0, f64::max)
    };
    assert!(off(&evened) < 0.02 && off(&fallen) > 0.08, "{} evened, {} as it fell", off(&evened), off(&fallen));
}

/// Two charts side by side: the warning names the place of the one whose patches were read, and that is the better one, for
/// the other has some patches that no chart has.
#[test]
fn of_two_cards_the_one_that_is_used_is_named() {
    for worse in [0, 1] {
        let lab = &layout::known()[0].editions[0].lab;
        let picture = RgbImage::from_fn(640, 240, |x, y| {
            let (card, x) = (x / 320, x % 320);
            let (cx, cy) = (x.wrapping_sub(40), y.wrapping_sub(40));
            let on_patch = cx < 6 * PITCH && cy < 4 * PITCH && cx % PITCH < PITCH - 6 && cy % PITCH < PITCH - 6;
            let patch = (cy / PITCH * 6 + cx / PITCH) as usize;
            image::Rgb(if on_patch {
                let Lab { l, a, b, .. } = lab[patch];
                let off = if card == worse && patch.is_multiple_of(3) { 6.0 } else { 0.0 };
                paint(Lab::new(l - off, a + off, b - off)).0
            } else {
                [28, 28, 28]
            })
        });
        let mut bytes = Cursor::new(Vec::new());
        image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
        let photo = decode(&bytes.into_inner(), &Limits::default()).unwrap();
        let reading = read(&photo, &Request::default(), &|_| true).unwrap();
        let corners = reading.card.expect("a card").corners_px;
        let [x, y] = [0, 1].map(|axis| corners.iter().map(|corner| corner[axis]).sum::<f64>() / 4.0);
        assert_eq!(x > 320.0, worse == 0, "the better one is used: {x}");
        let told: Vec<&str> =
            reading.warnings.iter().filter(|one| one.code == "several-cards").map(|one| one.text.as_str()).collect();
        let place =
            format!("2 cards are in the photo: '{}' around pixel {x:.0}, {y:.0} is used", layout::known()[0].name);
        assert!(told.len() == 1 && told[0].starts_with(&place), "{told:?}, not {place}");
    }
}

type Matrix = nalgebra::Matrix3<f64>;

fn matrix(rows: &[[f64; 3]; 3]) -> Matrix {
    Matrix::from_fn(|row, column| rows[row][column])
}

/// Variance of a sum of independent parts, and of a difference with what is shared taken into account (any textbook).
#[test]
fn the_error_is_the_sum_of_its_parts_and_a_difference_is_known_better() {
    let reading = reading(Some(corners()));
    let [wood, more, ..] = &reading.regions[..] else { panic!("regions are missing") };
    for region in &reading.regions {
        let mut total = matrix(&region.own);
        for shared in &region.shared {
            total += matrix(&shared.loading) * matrix(&shared.loading).transpose();
        }
        assert!((total - matrix(&region.covariance)).amax() < 1e-9);
        let factors: Vec<&Factor> = region.shared.iter().map(|shared| &shared.factor).collect();
        let card = Factor::Card("chart24".into());
        // and, where a shadow on the card cannot be ruled out, that
        let [first, light, below, above, rows, columns, ref cast @ ..] = factors[..] else { panic!("{factors:?}") };
        assert!(matches!(cast, [] | [Factor::PhotoCast]), "{factors:?}");
        assert_eq!([first, light], [&card, &Factor::PhotoLight]);
        assert_eq!([rows, columns], [&Factor::PhotoSlope(Along::Rows), &Factor::PhotoSlope(Along::Columns)]);
        assert!(matches!([below, above], [Factor::PhotoFit { .. }, Factor::PhotoFit { .. }]), "{factors:?}");
        assert!(total.symmetric_eigenvalues().min() > 0.0);
    }
    let mut shared = Matrix::zeros();
    for (a, b) in wood.shared.iter().zip(&more.shared) {
        shared += matrix(&a.loading) * matrix(&b.loading).transpose();
    }
    let difference = matrix(&wood.covariance) + matrix(&more.covariance) - shared - shared.transpose();
    let either = matrix(&wood.covariance).trace();
    assert!(difference.trace() < 0.8 * either, "difference {}, either {either}", difference.trace());
}

/// Four corners can be given from any of them on, either way round: a card whose colours tell is read the same, and it is said
/// that they were given otherwise. A picture mirrored stays mirrored.
#[test]
fn corners_in_another_order_are_put_right() {
    let [a, b, c, d] = corners();
    let turned = |reading: &PhotoReading| reading.warnings.iter().any(|warning| warning.code == "corners-turned");
    let right = reading(Some([a, b, c, d]));
    assert!(!turned(&right));
    for corners in [[c, d, a, b], [b, c, d, a], [d, a, b, c], [b, a, d, c], [d, c, b, a], [a, d, c, b], [c, b, a, d]] {
        let reading = reading(Some(corners));
        let (card, wanted) = (reading.card.as_ref().unwrap(), right.card.as_ref().unwrap());
        assert!(turned(&reading), "{corners:?}");
        assert_eq!((card.corners_px, card.mirrored), (wanted.corners_px, wanted.mirrored), "{corners:?}");
        assert_eq!(reading.fit, right.fit);
    }
}

#[test]
fn a_photo_without_a_card_has_none() {
    let grey = RgbImage::from_fn(400, 300, |x, y| image::Rgb([(100 + x / 8) as u8, (90 + y / 8) as u8, 80]));
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgb8(grey).write_to(&mut bytes, ImageFormat::Png).unwrap();
    let photo = decode(&bytes.into_inner(), &Limits::default()).unwrap();
    let reading = read(&photo, &Request::default(), &|_| true).unwrap();
    assert!(reading.card.is_none() && reading.fit.is_none());
    assert!(reading.warnings.iter().any(|warning| warning.code == "no-card"));
}

#[test]
fn corners_that_span_no_card_are_refused() {
    let photo = painted();
    for corners_px in [
        [[0.0, 0.0]; 4],
        [[0.0, 0.0], [10.0, 0.0], [20.0, 0.0], [30.0, 0.0]],
        [[0.0, 0.0], [100.0, 80.0], [100.0, 0.0], [0.0, 80.0]],
        [[0.0, f64::NAN], [100.0, 0.0], [100.0, 80.0], [0.0, 80.0]],
        [[9000.0, 0.0], [9100.0, 0.0], [9100.0, 80.0], [9000.0, 80.0]],
    ] {
        let request = Request { corners_px: Some(corners_px), ..Request::default() };
        assert!(matches!(read(&photo, &request, &|_| true), Err(Error::Corners(_))), "{corners_px:?}");
    }
    let request = Request { edition: Some("none such".into()), ..Request::default() };
    assert!(matches!(read(&photo, &request, &|_| true), Err(Error::Edition { .. })));
}

#[test]
fn a_reading_can_be_stopped() {
    let calls = AtomicUsize::new(0);
    let go_on = |done: f64| {
        assert!((0.0..=1.0).contains(&done));
        calls.fetch_add(1, Ordering::Relaxed) == 0
    };
    assert_eq!(read(&painted(), &Request::default(), &go_on).unwrap_err(), Error::Cancelled);
    assert_eq!(calls.load(Ordering::Relaxed), 2, "it stops where it is told");
}

/// Parts of the chart as cards of their own: what a better card would gain is said of one white patch, of the greys, and of a few with
/// colours; of the whole chart it is not.
#[test]
fn a_card_of_few_patches_says_what_a_better_one_would_gain() {
    let chart = &layout::known()[0];
    let gap = chart.gap_fraction;
    let [first, right, ..] = corners();
    let pitch_px = (right[0] - first[0]) / (6.0 - gap);
    let told = |from_row: usize, rows: usize, columns: usize| {
        let lab: Vec<[f64; 3]> = (0..rows * columns)
            .map(|k| chart.editions[0].lab[(from_row + k / columns) * 6 + k % columns])
            .map(|lab| [lab.l, lab.a, lab.b])
            .collect();
        let text = format!(
            r#"{{"id": "part", "name": "part", "rows": {rows}, "columns": {columns}, "gap_fraction": {gap},
                "editions": [{{"id": "a", "name": "a", "source": "the chart's", "lab": {lab:?}}}]}}"#
        );
        let [left, top] = [first[0], first[1] + from_row as f64 * pitch_px];
        let (right, foot) = (left + (columns as f64 - gap) * pitch_px, top + (rows as f64 - gap) * pitch_px);
        let corners_px = Some([[left, top], [right, top], [right, foot], [left, foot]]);
        let card = Some(card::Card::from_json(&text).unwrap());
        let warnings =
            read(&painted(), &Request { card, corners_px, ..Request::default() }, &|_| true).unwrap().warnings;
        let plain = warnings.into_iter().find(|warning| warning.code == "card-plain");
        plain.map(|warning| warning.text).unwrap_or_default()
    };
    for (from_row, columns, want) in
        [(3, 1, "Only exposure and white"), (3, 6, "Only exposure and white"), (0, 6, "Only 6 patches")]
    {
        let text = told(from_row, 1, columns);
        assert!(text.starts_with(want) && text.contains("a 24-patch chart beside the work"), "{want}: {text}");
    }
    assert_eq!(told(0, 4, 6), "");
}
