//! CIEDE2000 against Sharma, Wu, Dalal (2005), DOI 10.1002/col.20070, and against the library `palette`.

use crate::table::Table;
use colour::{Lab, de2000, difference};
use palette::color_difference::Ciede2000;
use proptest::prelude::*;

/// The published values have four decimals: half of the last one, and a little for the rounding of that half.
const DE00: f64 = 0.5001e-4;

/// Full values recomputed by others to ten decimals (header of the table).
const DE00_FULL: f64 = 1e-9;

/// Two f64 programs of one formula.
const LIBRARY: f64 = 1e-9;

/// The same where the two hues lie on either side of 0° and sum to 360° or more: there `palette` takes the mean hue as
/// (h1 + h2 + 360)/2, Sharma's formula 14 as (h1 + h2 − 360)/2. Only Δθ tells the two apart, by at most 3e-4 degrees.
const LIBRARY_ACROSS_ZERO: f64 = 1e-3;

fn pairs() -> Vec<(u32, Lab, Lab, f64, f64)> {
    let table = Table::read("ciede2000_sharma2005.csv", 34);
    let each = table.rows().map(|row| {
        let [l1, a1, b1, l2, a2, b2] = row.numbers(["L1", "a1", "b1", "L2", "a2", "b2"]);
        let [pair, published, full] = row.numbers(["pair", "dE00_published", "dE00_full"]);
        (pair as u32, Lab::new(l1, a1, b1), Lab::new(l2, a2, b2), published, full)
    });
    each.collect()
}

/// All 34 pairs both ways round, pairs 9 to 16 with hues opposite or nearly so among them.
#[test]
fn sharma_34_pairs() {
    for (pair, a, b, published, full) in pairs() {
        for found in [de2000(a, b), de2000(b, a)] {
            assert!((found - published).abs() <= DE00, "pair {pair}: {found}, published {published}");
            assert!((found - full).abs() <= DE00_FULL, "pair {pair}: {found}, recomputed {full}");
        }
    }
}

/// Regions of a photo that have the colours of the 34 pairs: what is told of them is the published difference, the sign of ΔL′ that
/// of the second against the first.
#[test]
fn regions_differ_by_the_published_amount() {
    let region = |name: &str, lab: Lab| card::RegionReading {
        name: name.to_owned(),
        lab,
        covariance: [[0.04, 0.0, 0.0], [0.0, 0.04, 0.0], [0.0, 0.0, 0.04]],
        own: [[0.04, 0.0, 0.0], [0.0, 0.04, 0.0], [0.0, 0.0, 0.04]],
        shared: Vec::new(),
        degrees_of_freedom: 20.0,
        grain_sd: [0.2; 3],
        pixels: 5000,
        area_mm2: None,
        left_out_share: 0.0,
        evenness: None,
        grain_direction_deg: None,
    };
    for (pair, a, b, published, _) in pairs() {
        let told = workbench::task::differences(&[region("a", a), region("b", b)]);
        let [one] = &told.pairs[..] else { panic!("pair {pair}: {told:?}") };
        assert_eq!((one.a.as_str(), one.b.as_str(), told.left_out), ("a", "b", 0));
        assert!(
            (one.found.de00.mean - published).abs() <= DE00,
            "pair {pair}: {:?}, published {published}",
            one.found.de00
        );
        assert!((one.found.dl.mean - (b.l - a.l)).abs() < 1e-9, "pair {pair}");
    }
}

/// The weights S_L, S_C, S_H and the rotation R_T of the table's recomputed columns, to their four decimals.
#[test]
fn sharma_weights_and_rotation() {
    let table = Table::read("ciede2000_sharma2005.csv", 34);
    for row in table.rows() {
        let [l1, a1, b1, l2, a2, b2] = row.numbers(["L1", "a1", "b1", "L2", "a2", "b2"]);
        let found = difference(Lab::new(l1, a1, b1), Lab::new(l2, a2, b2));
        let [s_l, s_c, s_h] = found.weights;
        let expected = row.numbers(["SL", "SC", "SH", "RT"]);
        crate::table::close([s_l, s_c, s_h, found.rotation], expected, DE00, row.text("pair"));
    }
}

/// `palette` decides exactly opposite hues by the rounding of atan2, so those pairs are left to Sharma's table.
#[test]
fn palette_agrees_on_sharma() {
    for (pair, a, b, ..) in pairs() {
        if ![10, 14].contains(&pair) {
            assert!((de2000(a, b) - a.difference(b)).abs() < LIBRARY, "pair {pair}");
        }
    }
}

fn lab() -> impl Strategy<Value = Lab> {
    (0.0..100.0, -100.0..100.0, -100.0..100.0).prop_map(|(l, a, b)| Lab::new(l, a, b))
}

proptest! {
    #[test]
    fn palette_agrees(a in lab(), b in lab()) {
        let (h1, h2) = (colour::lch_from_lab(a).2, colour::lch_from_lab(b).2);
        // Wide enough for the turn of a hue by the stretch of a* (at most 12 degrees each).
        let across_zero = (h1 - h2).abs() > 155.0 && h1 + h2 > 335.0;
        let tolerance = if across_zero { LIBRARY_ACROSS_ZERO } else { LIBRARY };
        prop_assert!((de2000(a, b) - a.difference(b)).abs() < tolerance, "{} {}", de2000(a, b), a.difference(b));
    }

    #[test]
    fn is_symmetric_and_its_parts_turn_round(a in lab(), b in lab()) {
        let (there, back) = (difference(a, b), difference(b, a));
        prop_assert!((there.de00 - back.de00).abs() < 1e-12);
        prop_assert!((there.dl + back.dl).abs() < 1e-12 && (there.dc + back.dc).abs() < 1e-12);
        prop_assert!((there.dh + back.dh).abs() < 1e-9);
        prop_assert!(there.de00 >= 0.0 && de2000(a, a) == 0.0);
    }

    /// Exactly opposite hues, at any hue: a tie must not depend on the order.
    #[test]
    fn opposite_hues_are_symmetric(l in 0.0..100.0, a in -60i32..60, b in -60i32..60, times in 1i32..4) {
        prop_assume!(a != 0 || b != 0);
        let first = Lab::new(l, f64::from(a), f64::from(b));
        let second = Lab::new(l, f64::from(-a * times), f64::from(-b * times));
        prop_assert!((de2000(first, second) - de2000(second, first)).abs() < 1e-10);
    }

    /// The parts with their weights make up the whole (ISO/CIE 11664-6:2014, formula 1).
    #[test]
    fn parts_make_up_the_whole(a in lab(), b in lab()) {
        let d = difference(a, b);
        let [l, c, h] = [d.dl / d.weights[0], d.dc / d.weights[1], d.dh / d.weights[2]];
        let whole = (l * l + c * c + h * h + d.rotation * c * h).max(0.0).sqrt();
        prop_assert!((whole - d.de00).abs() < 1e-9);
    }
}

/// A colour that is not a number has a difference that is not one either: never a match of zero.
#[test]
fn nan_is_no_match() {
    let good = Lab::new(50.0, 1.0, 2.0);
    for bad in [Lab::new(f64::NAN, 1.0, 2.0), Lab::new(50.0, f64::NAN, 2.0), Lab::new(50.0, 1.0, f64::NAN)] {
        assert!(de2000(good, bad).is_nan() && de2000(bad, good).is_nan());
    }
}
