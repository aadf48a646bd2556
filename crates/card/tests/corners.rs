//! Corners given by hand that span no card: one line with the way out, never a panic.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use card::{Error, Limits, Photo, Request, decode, read};
use image::{ImageFormat, RgbImage};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const SIDE_PX: f64 = 240.0;

fn photo() -> Photo {
    let picture = RgbImage::from_fn(240, 240, |x, y| image::Rgb([(x / 2) as u8 + 60, (y / 2) as u8 + 50, 90]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Bmp).unwrap();
    decode(bytes.get_ref(), &Limits::default()).unwrap()
}

fn by_hand(corners_px: [[f64; 2]; 4]) -> card::Result<card::PhotoReading> {
    let card = card::layout::known().into_iter().find(|card| card.id == "chart24");
    read(&photo(), &Request { card, corners_px: Some(corners_px), ..Request::default() }, &|_| true)
}

#[test]
fn corners_that_span_no_card_are_told() {
    let nan = f64::NAN;
    for (name, corners) in [
        ("no numbers", [[nan, 10.0], [200.0, 10.0], [200.0, 150.0], [10.0, 150.0]]),
        ("endless", [[f64::INFINITY, 10.0], [200.0, 10.0], [200.0, 150.0], [10.0, 150.0]]),
        ("one point", [[50.0, 50.0]; 4]),
        ("in a line", [[10.0, 10.0], [20.0, 20.0], [30.0, 30.0], [40.0, 40.0]]),
        ("three in a line", [[10.0, 10.0], [100.0, 10.0], [200.0, 10.0], [10.0, 150.0]]),
        ("crossing", [[10.0, 10.0], [200.0, 150.0], [200.0, 10.0], [10.0, 150.0]]),
        ("bent inwards", [[10.0, 10.0], [200.0, 10.0], [30.0, 30.0], [10.0, 150.0]]),
        ("far outside", [[1e4, 1e4], [2e4, 1e4], [2e4, 2e4], [1e4, 2e4]]),
        ("huge", [[-1e300, -1e300], [1e300, -1e300], [1e300, 1e300], [-1e300, 1e300]]),
        ("tiny", [[50.0, 50.0], [50.0 + 1e-9, 50.0], [50.0 + 1e-9, 50.0 + 1e-9], [50.0, 50.0 + 1e-9]]),
    ] {
        match by_hand(corners) {
            Err(Error::Corners(what)) => assert!(!what.is_empty() && !what.contains('\n'), "{name}: {what}"),
            Err(error) => panic!("{name}: {error}"),
            Ok(reading) => {
                // What can be laid may be read; the reading must say what it is worth.
                assert!(!reading.warnings.is_empty(), "{name}: read without a warning");
                assert!(matches!(name, "tiny" | "huge"), "{name} was read");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        rng_seed: RngSeed::Fixed(20_261_125),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn corners_anywhere_never_panic(numbers in prop::collection::vec(-0.5f64..1.5, 8)) {
        let at = |k: usize| [numbers[2 * k] * SIDE_PX, numbers[2 * k + 1] * SIDE_PX];
        match by_hand([at(0), at(1), at(2), at(3)]) {
            // What lies there is no card, as a rule: then it is said, and no colour is told.
            Ok(reading) => prop_assert!(
                reading.card.is_some() || reading.warnings.iter().any(|warning| warning.code == "wrong-card")
            ),
            Err(error) => prop_assert!(!error.to_string().contains('\n')),
        }
    }
}
