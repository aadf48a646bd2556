//! Single rules of the finder, each where it alone decides.

use super::super::cell::Cell;
use super::super::{Refusal, glare, search};
use super::*;

/// A lamp mirrored in a paint keeps its own colour, for the index of what binds paint hardly depends on the wavelength: it
/// adds the same share of white in each channel (Fresnel's equations, any textbook of optics). Another paint in its place does
/// not, nor does what is darker.
#[test]
fn a_lamp_adds_the_same_share_of_white_in_each_channel() {
    let (paint, white) = ([0.18, 0.10, 0.05], [0.80, 0.85, 0.90]);
    let adds = |light: [f64; 3], clipped: [bool; 3]| {
        // the finder takes 2.2 as any camera's exponent
        let code = |v: [f64; 3]| v.map(|v: f64| v.max(0.0).powf(1.0 / 2.2));
        let rgb = code(light);
        let raw = [0, 1, 2].map(|c| if clipped[c] { 1.0 } else { rgb[c].min(0.97) });
        glare::adds(&Cell { rgb, raw, even: true }, &code(paint), &code(white))
    };
    let lit = |shares: [f64; 3]| [0, 1, 2].map(|c| paint[c] + shares[c] * white[c]);
    let open = [false; 3];
    for share in [0.05, 0.2, 0.6] {
        assert!(adds(lit([share; 3]), open), "{share}");
        assert!(adds(lit([1.3 * share, share, 0.9 * share]), open), "a lamp a little warmer than the light: {share}");
    }
    assert!(!adds(lit([0.005; 3]), open), "too little to show");
    assert!(!adds(lit([0.06, 0.01, 0.04]), open), "in one channel too little to show");
    assert!(!adds(lit([-0.05; 3]), open), "darker");
    for coloured in [[0.4, 0.0, 0.0], [0.4, 0.4, 0.0], [0.0, 0.1, 0.4], [0.5, 0.2, 0.1], [0.3, 0.3, -0.04]] {
        assert!(!adds(lit(coloured), open), "another paint: {coloured:?}");
    }
    // Of a clipped channel it is known only that it is lighter: less than the others it may seem, but not more.
    assert!(adds(lit([0.2, 0.3, 0.3]), [true, false, false]));
    assert!(!adds(lit([0.9, 0.2, 0.2]), [true, false, false]));
    assert!(adds(lit([0.5; 3]), [true; 3]) && !adds(lit([0.005; 3]), [true; 3]), "clipped throughout, as a white is");
}

/// Two patches, or three in turn, that differ plainly: other cards have the same paints in another order.
#[test]
fn the_chart_with_a_few_patches_in_each_others_place_is_no_chart() {
    let (_, colours) = chart();
    let apart = |a: usize, b: usize| {
        let square = |c: usize| (encoded(colours[a][c]) - encoded(colours[b][c])).powi(2);
        (0..3).map(square).sum::<f64>().sqrt()
    };
    // groups of so many patches, each in turn in the next one's place
    let moved = |dice: &mut Dice, groups: usize, count: usize| loop {
        let places = dice.order(24)[..groups * count].to_vec();
        let next = |k: usize| places[k / count * count + (k + 1) % count];
        if (0..places.len()).all(|k| apart(places[k], next(k)) > 0.4) {
            let mut order: Vec<usize> = (0..24).collect();
            (0..places.len()).for_each(|k| order[places[k]] = next(k));
            return Scene::of(6, order.into_iter().map(|k| colours[k]).collect());
        }
    };
    assert_eq!(finds("two patches exchanged", 2000..2040, |dice| moved(dice, 1, 2)), [0u64; 0]);
    assert_eq!(finds("three patches turned round", 2040..2080, |dice| moved(dice, 1, 3)), [0u64; 0]);
    assert_eq!(finds("two pairs of patches exchanged", 2200..2240, |dice| moved(dice, 2, 2)), [0u64; 0]);
}

/// A card whose second half is its first turned round cannot be told from itself upside down; nor one that is mirrored in
/// itself from itself in a mirror. They are refused with that reason; the chart as it is is found.
#[test]
fn a_card_that_looks_the_same_another_way_round_is_refused() {
    let (_, colours) = chart();
    let (chart, _) = chart();
    let as_card = |order: &[usize]| {
        let lab = order.iter().map(|&k| chart.editions[0].lab[k]).collect();
        let edition = crate::Edition { lab, ..chart.editions[0].clone() };
        Card { editions: vec![edition], ..chart.clone() }
    };
    let turned = |k: usize| if k < 12 { k } else { 23 - k };
    let mirrored = |k: usize| if k % 6 < 3 { k } else { k / 6 * 6 + 5 - k % 6 };
    let order = |of: &dyn Fn(usize) -> usize| (0..24).map(of).collect::<Vec<usize>>();
    for (name, order, is_refused) in
        [("turned", order(&turned), true), ("mirrored", order(&mirrored), true), ("as it is", order(&|k| k), false)]
    {
        let card = as_card(&order);
        for seed in 2100..2106 {
            let dice = &mut Dice::new(seed);
            let scene = Scene::of(6, order.iter().map(|&k| colours[k]).collect());
            let map = random_pose(dice, 5.85, 3.85, 0.3, false);
            let told = search(&scene.drawn(640, 480, &map, dice), std::slice::from_ref(&card));
            assert_eq!(told.found.is_empty(), is_refused, "{name}, seed {seed}: {:?}", told.found);
            let unclear = told.refusals.contains(&Refusal::WayUnclear { card: 0 });
            assert_eq!(unclear, is_refused, "{name}, seed {seed}: {:?}", told.refusals);
        }
    }
}
