//! Laying a card on a lattice: every window, rotation and reflection, judged by colour.

use super::colours::{Agreement, Reference};
use super::homography::Homography;
use super::lattice::{Lattice, bounds};
use super::preview::Preview;
use nalgebra::Matrix3;
use std::collections::HashMap;

/// A card laid on a lattice.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placement {
    /// From the card's cells (column, row) to pixels.
    pub map: Homography,
    pub mirrored: bool,
    pub agreement: Agreement,
    /// Best share of variance explained by the card laid any other way round in the same window.
    pub runner_up: f64,
    /// Patches of the card in whose cell a region was seen.
    pub seen: usize,
}

/// The median colour of the middle of a cell, in encoded values; `None` where its middle is outside the picture.
pub(crate) fn cell_colour(picture: &Preview, map: &Homography, cell: [f64; 2]) -> Option<[f64; 3]> {
    const SIDE: i32 = 5;
    if !picture.holds(map.apply(cell)) {
        return None;
    }
    let mut channels: [Vec<f32>; 3] = Default::default();
    for i in 0..SIDE {
        for j in 0..SIDE {
            let offset = |k: i32| f64::from(k - SIDE / 2) * 0.11;
            let p = map.apply([cell[0] + offset(i), cell[1] + offset(j)]);
            if picture.holds(p) {
                let rgb = picture.rgb[p[1] as usize * picture.width + p[0] as usize];
                channels.iter_mut().zip(rgb).for_each(|(list, v)| list.push(v));
            }
        }
    }
    let mut rgb = [0.0; 3];
    for (out, list) in rgb.iter_mut().zip(&mut channels) {
        if list.is_empty() {
            return None;
        }
        list.sort_by(f32::total_cmp);
        *out = f64::from(list[list.len() / 2]);
    }
    Some(rgb)
}

/// One way to lay a card: its own (column, row) to lattice steps.
#[derive(Clone, Copy)]
struct Way {
    /// Lattice step per column and per row of the card.
    column: (i32, i32),
    row: (i32, i32),
}

const WAYS: [Way; 8] = [
    Way { column: (1, 0), row: (0, 1) },
    Way { column: (0, 1), row: (-1, 0) },
    Way { column: (-1, 0), row: (0, -1) },
    Way { column: (0, -1), row: (1, 0) },
    Way { column: (-1, 0), row: (0, 1) },
    Way { column: (0, 1), row: (1, 0) },
    Way { column: (1, 0), row: (0, -1) },
    Way { column: (0, -1), row: (-1, 0) },
];

/// The best few ways to lay the card on the lattice, best first.
pub(crate) fn placements(
    picture: &Preview,
    lattice: &Lattice,
    reference: &Reference,
    least_seen: f64,
) -> Vec<Placement> {
    let Some((low, high)) = bounds(&lattice.cells) else { return Vec::new() };
    let mut colours: HashMap<(i32, i32), Option<[f64; 3]>> = HashMap::new();
    let (rows, columns) = (reference.rows as i32, reference.columns as i32);
    let count = reference.rows * reference.columns;
    let mut found: Vec<Placement> = Vec::new();
    for upright in [true, false] {
        let (wide, tall) = if upright { (columns, rows) } else { (rows, columns) };
        for x in low.0 - wide + 1..=high.0 {
            for y in low.1 - tall + 1..=high.1 {
                let seen = lattice
                    .cells
                    .keys()
                    .filter(|c| (x..x + wide).contains(&c.0) && (y..y + tall).contains(&c.1))
                    .count();
                if (seen as f64) < least_seen * count as f64 {
                    continue;
                }
                if let Some(best) = best_way(picture, lattice, reference, [x, y, wide, tall], seen, &mut colours) {
                    found.push(best);
                }
            }
        }
    }
    found.sort_by(|a, b| b.agreement.whole.total_cmp(&a.agreement.whole));
    found.truncate(3);
    found
}

fn best_way(
    picture: &Preview,
    lattice: &Lattice,
    reference: &Reference,
    [x, y, wide, tall]: [i32; 4],
    seen: usize,
    colours: &mut HashMap<(i32, i32), Option<[f64; 3]>>,
) -> Option<Placement> {
    let corners = [(x, y), (x + wide - 1, y), (x, y + tall - 1), (x + wide - 1, y + tall - 1)];
    // a window that reaches the vanishing line is none
    let facing = corners.iter().map(|c| depth(&lattice.map, *c)).collect::<Vec<_>>();
    if !(facing.iter().all(|d| *d > 0.0) || facing.iter().all(|d| *d < 0.0)) {
        return None;
    }
    let (mut best, mut runner_up): (Option<Placement>, f64) = (None, f64::MIN);
    // handedness of the lattice's own axes on screen: a card seen unmirrored has its rows clockwise of its columns
    let [dx, dy] = lattice.map.jacobian([f64::from(x), f64::from(y)]);
    let lattice_hand = (dx[0] * dy[1] - dx[1] * dy[0]).signum();
    for way in WAYS {
        let across = if way.column.0 != 0 { wide } else { tall };
        if across != reference.columns as i32 {
            continue;
        }
        let origin = (
            if way.column.0 + way.row.0 > 0 { x } else { x + wide - 1 },
            if way.column.1 + way.row.1 > 0 { y } else { y + tall - 1 },
        );
        let mut measured = Vec::with_capacity(reference.rows * reference.columns);
        for r in 0..reference.rows as i32 {
            for c in 0..reference.columns as i32 {
                let cell = (origin.0 + c * way.column.0 + r * way.row.0, origin.1 + c * way.column.1 + r * way.row.1);
                let colour = *colours
                    .entry(cell)
                    .or_insert_with(|| cell_colour(picture, &lattice.map, [f64::from(cell.0), f64::from(cell.1)]));
                measured.push(colour?);
            }
        }
        let agreement = reference.agreement(&measured);
        let hand = lattice_hand * f64::from(way.column.0 * way.row.1 - way.column.1 * way.row.0);
        let steps = Matrix3::new(
            f64::from(way.column.0),
            f64::from(way.row.0),
            f64::from(origin.0),
            f64::from(way.column.1),
            f64::from(way.row.1),
            f64::from(origin.1),
            0.0,
            0.0,
            1.0,
        );
        let map = lattice.map.after(&Homography::from_matrix(steps));
        if best.is_none_or(|b| agreement.whole > b.agreement.whole) {
            runner_up = runner_up.max(best.map_or(f64::MIN, |b| b.agreement.whole));
            best = Some(Placement { map, mirrored: hand < 0.0, agreement, runner_up, seen });
        } else {
            runner_up = runner_up.max(agreement.whole);
        }
    }
    best.map(|placement| Placement { runner_up, ..placement })
}

fn depth(map: &Homography, cell: (i32, i32)) -> f64 {
    let m = map.matrix();
    m[(2, 0)] * f64::from(cell.0) + m[(2, 1)] * f64::from(cell.1) + m[(2, 2)]
}
