//! The laws against published layer physics.

use predict::laws::{Law, ks_from_r, r_from_ks};

fn rows(text: &str) -> Vec<Vec<f64>> {
    let numbers = |line: &str| line.split(',').map(|cell| cell.trim().parse().ok()).collect::<Option<Vec<f64>>>();
    text.lines().filter(|line| !line.starts_with('#')).filter_map(numbers).collect()
}

/// Kubelka (1948), JOSA 38:448–457; (1954), JOSA 44:330–335 (data/km_finite_layer.csv). The law's film has S = h/(1 − h),
/// so any S > 0 of the table is some hiding; values the laws clip (below 0.0001, above 0.9999) are left out.
#[test]
fn film_law_is_the_finite_layer() {
    let mut checked = 0;
    for row in rows(include_str!("../data/km_finite_layer.csv")) {
        let [k, s, x, ground, _, _, expected] = row[..] else { panic!("seven columns") };
        if s == 0.0 || !(1e-4..=0.9999).contains(&expected) || ground > 0.9999 {
            continue;
        }
        let found = Law::Film { hiding: s / (1.0 + s) }.channel(ground, k, x);
        assert!((found - expected).abs() < 1e-9, "K {k} S {s} X {x} Rg {ground}: {found}, not {expected}");
        checked += 1;
    }
    assert!(checked > 30, "only {checked} rows");
}

/// The S = 0 rows of the same table are Beer–Lambert in double pass: R = Rg·exp(−2KX), the clear film of effect 2K.
#[test]
fn clear_film_law_is_beer_lambert() {
    let mut checked = 0;
    for row in rows(include_str!("../data/km_finite_layer.csv")) {
        let [k, s, x, ground, _, _, expected] = row[..] else { panic!("seven columns") };
        if s != 0.0 || !(1e-4..=0.9999).contains(&expected) {
            continue;
        }
        let found = Law::Log.channel(ground, 2.0 * k, x);
        assert!((found - expected).abs() < 1e-9, "K {k} X {x} Rg {ground}: {found}, not {expected}");
        checked += 1;
    }
    assert!(checked > 5, "only {checked} rows");
}

/// Kubelka, Munk (1931), Z. techn. Phys. 12:593–601 (data/ks_from_r.csv).
#[test]
fn ks_and_back() {
    for row in rows(include_str!("../data/ks_from_r.csv")) {
        assert!((ks_from_r(row[0]) - row[1]).abs() < 1e-6 * row[1].max(1.0));
        assert!((r_from_ks(row[1]) - row[2]).abs() < 1e-6);
    }
}

/// More of a colourant never reflects more, and the effect found from before and after gives after again.
#[test]
fn laws_are_monotone_and_invertible() {
    use predict::laws::{Family, space::channels_from_lab};
    let (before, after) = (colour::Lab::new(66.0, 9.0, 22.0), colour::Lab::new(48.0, 14.0, 24.0));
    for family in [Family::Colourant, Family::Change, Family::Coat] {
        for (law, _) in family.laws() {
            let (r, reached) = (channels_from_lab(before), channels_from_lab(after));
            let effect = law.effect(r, reached, 1.0);
            let back = law.channels(r, effect, 1.0);
            for channel in 0..3 {
                assert!((back[channel] - reached[channel]).abs() < 1e-6, "{law:?}");
                let more = law.channel(r[channel], effect[channel], 1.3);
                assert!(more <= back[channel] + 1e-12, "{law:?}: {more} after {}", back[channel]);
            }
        }
    }
}
