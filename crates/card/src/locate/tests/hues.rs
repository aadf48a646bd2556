//! Charts of other hues, and the hues of the chart under what lamps and cameras there are.

use super::super::hues::{are_many, may_be_recorded_so};
use super::super::{Refusal, search};
use super::*;

/// The chart with the colours of its first three rows changed in a* and b*.
fn changed(of: impl Fn([f64; 2]) -> [f64; 2]) -> Vec<[f64; 3]> {
    let (card, _) = chart();
    let lab = card.editions[0].lab.iter().enumerate().map(|(k, lab)| {
        let [a, b] = if k < 18 { of([lab.a, lab.b]) } else { [lab.a, lab.b] };
        linear([lab.l, a, b])
    });
    lab.collect()
}

fn turned(degrees: f64) -> Vec<[f64; 3]> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    changed(|[a, b]| [a * cos - b * sin, a * sin + b * cos])
}

/// What a search in a picture of such a chart, in a light of its own, comes to.
fn searched(colours: Vec<[f64; 3]>, seed: u64) -> (usize, Vec<Refusal>) {
    let (card, _) = chart();
    let dice = &mut Dice::new(seed);
    let mut scene = Scene::of(6, colours);
    let warm = dice.within(0.8, 1.4);
    scene.light = [0.8 * warm.sqrt(), 0.8, 0.8 / warm.sqrt()];
    let map = random_pose(dice, 5.85, 3.85, 0.3, false);
    let told = search(&scene.drawn(640, 480, &map, dice), std::slice::from_ref(&card));
    (told.found.len(), told.refusals)
}

/// Hues turned, mirrored, or a negative: they follow the card's by a map as good as a camera's, which no camera has. As a lamp and
/// a camera turn them, by up to 17 degrees on real photos, it is the card.
#[test]
fn a_chart_of_other_hues_is_refused_as_such() {
    let mirrored = |degrees: f64| {
        let (sin, cos) = (2.0 * degrees).to_radians().sin_cos();
        changed(|[a, b]| [a * cos + b * sin, a * sin - b * cos])
    };
    let (_, colours) = chart();
    let negative = colours.iter().map(|rgb| rgb.map(|v| 0.9 - v.min(0.9))).collect();
    let others = [60.0, 120.0, 180.0, 240.0, 300.0].map(|degrees| (format!("turned by {degrees}"), turned(degrees)));
    let others = others.into_iter().chain([20.0, 110.0].map(|axis| (format!("mirrored in {axis}"), mirrored(axis))));
    for (name, colours) in others.chain([("negative".to_owned(), negative)]) {
        for seed in 2500..2504 {
            let (found, refusals) = searched(colours.clone(), seed);
            assert_eq!(found, 0, "{name}, seed {seed}");
            assert_eq!(refusals, [Refusal::OtherHues { card: 0 }], "{name}, seed {seed}");
        }
    }
    for degrees in [-15.0, -8.0, 8.0, 15.0] {
        for seed in 2500..2504 {
            assert_eq!(searched(turned(degrees), seed).0, 1, "turned by {degrees}, seed {seed}");
        }
    }
}

/// A gain for each channel, as of a coloured lamp, turns no hue, even where one channel hardly sees any light; by definition, as
/// each channel records (lightness, red - green, blue - green) of its own primary: 1, 2/3 and -1/3, and so on.
#[test]
fn a_coloured_lamp_turns_no_hue() {
    let own = [[1.0, 2.0 / 3.0, -1.0 / 3.0], [1.0, -1.0 / 3.0, -1.0 / 3.0], [1.0, -1.0 / 3.0, 2.0 / 3.0]];
    let by = |gains: [f64; 3]| [0, 1, 2].map(|c| own[c].map(|weight| weight * gains[c]));
    for gains in [[1.0, 1.0, 1.0], [1.0, 0.6, 0.1], [0.05, 1.0, 0.8], [0.3, 0.02, 1.0]] {
        assert!(may_be_recorded_so(by(gains)), "{gains:?}");
    }
    // dark for light, the hues as they are
    assert!(!may_be_recorded_so(own.map(|[lightness, red, blue]| [-lightness, red, blue])));
    // red and blue exchanged, each channel a third round, and a negative
    assert!(!may_be_recorded_so([own[2], own[1], own[0]]));
    assert!(!may_be_recorded_so([own[1], own[2], own[0]]));
    assert!(!may_be_recorded_so(own.map(|weights| weights.map(|weight| -weight))));
}

/// A card of one hue alone, as of browns, cannot tell how hues are turned; the chart can.
#[test]
fn a_card_of_browns_says_nothing_of_hues() {
    let brown = |k: usize| {
        let strength = k as f64 / 24.0;
        [0.30 * strength, -0.25 * strength + if k.is_multiple_of(2) { 0.01 } else { -0.01 }]
    };
    assert!(!are_many((0..24).map(brown)));
    let (_, colours) = chart();
    assert!(are_many(colours.iter().map(|rgb| {
        let [red, green, blue] = rgb.map(|v| v.powf(0.45));
        [red - green, blue - green]
    })));
}
