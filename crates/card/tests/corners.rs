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

    /// Four points in order bound a convex figure where its diagonals cross: such corners are taken, all others refused. What
    /// lies there is no card; then that is said, and no colour is told.
    #[test]
    fn corners_are_taken_where_the_diagonals_cross(numbers in prop::collection::vec(0.0f64..1.0, 8)) {
        let at = |k: usize| [numbers[2 * k] * SIDE_PX, numbers[2 * k + 1] * SIDE_PX];
        let corners = [at(0), at(1), at(2), at(3)];
        let Some(cross) = diagonals_cross(corners) else { return Ok(()) };
        match by_hand(corners) {
            Ok(reading) => {
                prop_assert!(cross, "{corners:?} were taken");
                prop_assert!(reading.card.is_none() && reading.regions.is_empty());
                prop_assert!(reading.warnings.iter().any(|warning| warning.code == "wrong-card"));
            }
            Err(Error::Corners(what)) => prop_assert!(!cross && !what.contains('\n'), "{corners:?}: {what}"),
            Err(error) => return Err(TestCaseError::fail(format!("{corners:?}: {error}"))),
        }
    }

    /// As a rule most of the card lies outside the photo.
    #[test]
    fn corners_anywhere_never_panic(numbers in prop::collection::vec(-3.0f64..4.0, 8)) {
        let at = |k: usize| [numbers[2 * k] * SIDE_PX, numbers[2 * k + 1] * SIDE_PX];
        match by_hand([at(0), at(1), at(2), at(3)]) {
            Ok(reading) => {
                prop_assert!(reading.card.is_none());
                prop_assert!(reading.warnings.iter().any(|warning| warning.code == "wrong-card"));
            }
            Err(error) => prop_assert!(!error.to_string().contains('\n')),
        }
    }
}

/// Whether the segments from the first to the third and from the second to the fourth corner cross, by solving for the shares
/// of both; `None` where it is a close call.
fn diagonals_cross([a, b, c, d]: [[f64; 2]; 4]) -> Option<bool> {
    const CLOSE: f64 = 0.02;
    let ([ux, uy], [vx, vy]) = ([c[0] - a[0], c[1] - a[1]], [d[0] - b[0], d[1] - b[1]]);
    let (wx, wy) = (b[0] - a[0], b[1] - a[1]);
    let determinant = ux * vy - uy * vx;
    let shares = [(wx * vy - wy * vx) / determinant, (wx * uy - wy * ux) / determinant];
    let near = |share: f64| share.abs() < CLOSE || (share - 1.0).abs() < CLOSE;
    let open = determinant.abs() > CLOSE * SIDE_PX * SIDE_PX && !shares.into_iter().any(near);
    open.then(|| shares.into_iter().all(|share| (0.0..1.0).contains(&share)))
}
