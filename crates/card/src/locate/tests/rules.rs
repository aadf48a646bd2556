//! Single rules of the finder, each where it alone decides.

use super::super::cell::Cell;
use super::super::colours::Reference;
use super::super::{Refusal, evidence, exchange, glare, search};
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

/// Columns or rows moved along, those that leave at one end coming in at the other, and halves turned round: the lay moved
/// along with them agrees in all that is left of it, and what is beside it looks like no more than what lies on a card. Every
/// one of them, in frames and gaps, on grounds and under lights of its own.
#[test]
fn the_chart_with_its_rows_or_columns_moved_along_is_no_chart() {
    let (_, colours) = chart();
    let mut orders: Vec<(String, Vec<usize>)> = Vec::new();
    let mut add = |name: String, columns: &[usize], rows: &[usize]| {
        orders.push((name, rows.iter().flat_map(|row| columns.iter().map(move |column| row * 6 + column)).collect()));
    };
    for by in 1..6 {
        add(format!("columns moved by {by}"), &[0, 1, 2, 3, 4, 5].map(|k| (k + by) % 6), &[0, 1, 2, 3]);
    }
    for by in 1..4 {
        add(format!("rows moved by {by}"), &[0, 1, 2, 3, 4, 5], &[0, 1, 2, 3].map(|k| (k + by) % 4));
    }
    for columns in [[2, 1, 0, 3, 4, 5], [0, 1, 2, 5, 4, 3], [2, 1, 0, 5, 4, 3], [1, 2, 3, 4, 0, 5], [2, 3, 0, 1, 4, 5]]
    {
        add(format!("columns {columns:?}"), &columns, &[0, 1, 2, 3]);
    }
    // along the greys alone, a step of which looks like shade
    for by in 1..6 {
        let greys = |k: usize| if k < 18 { k } else { 18 + (k + by) % 6 };
        orders.push((format!("the last row moved by {by}"), (0..24).map(greys).collect()));
    }
    for (name, order) in &orders {
        let moved = |dice: &mut Dice| {
            let mut scene = Scene::of(6, order.iter().map(|&k| colours[k]).collect());
            scene.gap = dice.within(0.05, 0.28);
            scene.frame = [dice.within(0.0, 0.1); 3];
            let (exposure, warm, ground) = (dice.within(0.3, 1.0), dice.within(0.7, 1.7), dice.within(0.03, 0.9));
            scene.light = [exposure * warm.sqrt(), exposure, exposure / warm.sqrt()];
            (scene.falloff, scene.texture) = (dice.within(0.7, 1.3), dice.within(0.0, 0.15));
            scene.ground = [ground, ground * dice.within(0.7, 1.0), ground * dice.within(0.4, 1.0)];
            scene
        };
        assert_eq!(finds(name, 2300..2312, moved), [0u64; 0], "{name}");
    }
}

/// The chart's patches as cells, seen in their own colours.
fn cells(colours: &[[f64; 3]]) -> Vec<Option<Cell>> {
    colours
        .iter()
        .map(|colour| {
            let rgb = colour.map(encoded);
            Some(Cell { rgb, raw: rgb, even: true })
        })
        .collect()
}

/// What covers one patch may look more like another than like the paint below it. The two did not change places, for the
/// other is where it should be; where both are wrong, they may have.
#[test]
fn a_patch_that_is_where_it_should_be_did_not_change_places() {
    let (card, colours) = chart();
    let reference = Reference::of(&card);
    let gain = |cells: &[Option<Cell>]| {
        let patches = exchange::Patches { reference: &reference, measured: cells, kept: cells, lamp: false };
        exchange::best(&patches, &reference.fit(cells)).gain
    };
    let own = cells(&colours);
    for (i, j) in (0..24).flat_map(|i| (0..24).map(move |j| (i, j))).filter(|(i, j)| i != j) {
        let (a, b) = (colours[i].map(encoded), colours[j].map(encoded));
        if (0..3).map(|c| (a[c] - b[c]).powi(2)).sum::<f64>().sqrt() < 0.4 {
            continue;
        }
        // a cover on the one, of the colour of the other and half as far beyond it
        let cover = [0, 1, 2].map(|c| (b[c] + 0.5 * (b[c] - a[c])).clamp(0.0, 0.97));
        let mut covered = own.clone();
        covered[i] = Some(Cell { rgb: cover, raw: cover, even: true });
        let mut exchanged = own.clone();
        exchanged.swap(i, j);
        // from 0.012 of the variance on it is another card
        assert!(gain(&covered) < 0.012, "{i} covered, {j} as it is: {}", gain(&covered));
        assert!(gain(&exchanged) > 0.04, "{i} and {j} exchanged: {}", gain(&exchanged));
    }
}

/// Six greys under one cloth, a little lighter here than there, beside patches that are each off by a few codes: of the cloth, some is
/// nearer to another patch's colour than to the grey below it. None of it changed places.
#[test]
fn what_lies_on_a_row_did_not_change_places_with_it() {
    let (card, colours) = chart();
    let reference = Reference::of(&card);
    for cloth in [[0.50, 0.28, 0.20], [0.03, 0.03, 0.03], [0.30, 0.18, 0.09], [0.05, 0.12, 0.35]] {
        let off = |k: usize, c: usize| 0.04 * (((5 * k + 3 * c) % 7) as f64 - 3.0) / 3.0;
        let mut seen = cells(&colours);
        for (k, cell) in seen.iter_mut().flatten().enumerate() {
            let under = if k < 18 { cell.rgb } else { cloth.map(encoded) };
            let rgb = [0, 1, 2].map(|c| (under[c] + off(k, c)).clamp(0.0, 0.97));
            *cell = Cell { rgb, raw: rgb, even: true };
        }
        let kept: Vec<Option<Cell>> = seen.iter().enumerate().map(|(k, cell)| cell.filter(|_| k < 18)).collect();
        let patches = exchange::Patches { reference: &reference, measured: &seen, kept: &kept, lamp: false };
        let fit = reference.fit(&kept);
        let bound = 0.012f64.max(0.15 * (1.0 - fit.agreement.whole));
        let gain = exchange::best(&patches, &fit).gain;
        assert!(gain < bound, "{cloth:?}: {gain}");
    }
}

/// One lamp lights patches side by side. Of two patches apart, to which light was added as by a lamp, only one is spared: two
/// lighter paints among others are another card.
#[test]
fn a_lamp_lights_patches_side_by_side() {
    let (card, colours) = chart();
    let reference = Reference::of(&card);
    let spared = |lit: [usize; 2]| {
        let mut colours = colours.clone();
        lit.into_iter().for_each(|k| colours[k] = colours[k].map(|v| v + 0.3));
        let evidence = evidence::glared(&reference, &cells(&colours), &[true; 24]);
        (0..24).filter(|&k| evidence.spared[k]).collect::<Vec<usize>>()
    };
    for beside in [[12, 13], [3, 9], [8, 15]] {
        assert_eq!(spared(beside), beside, "beside each other");
    }
    for apart in [[0, 3], [12, 17], [2, 14]] {
        let spared = spared(apart);
        assert!(spared.len() == 1 && apart.contains(&spared[0]), "{apart:?} apart: {spared:?}");
    }
}

/// Three patches under stickers of their size: too many to be sure of the card, and nothing shows that they are none of it.
/// What is said names the card and how much of it agrees. Of a chart with two patches in each other's
/// place, or a row moved along, it is not said.
#[test]
fn a_card_with_something_on_it_that_is_refused_is_said_to_be_so() {
    let (card, colours) = chart();
    let told = |colours: Vec<[f64; 3]>, seed: u64| {
        let dice = &mut Dice::new(seed);
        let scene = Scene::of(6, colours);
        let map = random_pose(dice, 5.85, 3.85, 0.3, false);
        search(&scene.drawn(640, 480, &map, dice), std::slice::from_ref(&card))
    };
    for seed in 2400..2406 {
        let mut covered = colours.clone();
        for (place, sticker) in [(2, [0.7, 0.1, 0.6]), (8, [0.1, 0.6, 0.7]), (15, [0.05, 0.1, 0.5])] {
            covered[place] = sticker;
        }
        let told_of = told(covered, seed);
        assert!(told_of.found.is_empty(), "seed {seed}");
        assert_eq!(told_of.refusals, [Refusal::Disturbed { card: 0, agreeing: 21 }], "seed {seed}");
        let mut exchanged = colours.clone();
        exchanged.swap(2, 15);
        let mut moved = colours.clone();
        moved[..6].rotate_left(2);
        for (name, colours) in [("exchanged", exchanged), ("moved", moved)] {
            let told_of = told(colours, seed);
            let disturbed = told_of.refusals.iter().any(|refusal| matches!(refusal, Refusal::Disturbed { .. }));
            assert!(told_of.found.is_empty() && !disturbed, "{name}, seed {seed}: {told_of:?}");
        }
    }
}
