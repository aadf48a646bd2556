//! Laying a card on a lattice: every window, rotation and reflection, judged by colour.

use super::cell::Cell;
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
    /// Patches of the card in whose cell a region was seen.
    pub seen: usize,
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

/// Share of a card's patches whose middle must lie in the picture.
pub(crate) const LEAST_IN_SIGHT: f64 = 0.6;

/// Fewest patches in sight of a card that is cut by the frame: fewer agree by chance.
pub(crate) const FEWEST_IN_SIGHT: usize = 10;

/// Fewest patches in sight from which a card is laid at all, were it only to say that it is cut off.
const FEWEST_LAID: usize = 9;

/// Ways to lay the card on one lattice that are kept.
const KEPT: usize = 4;

/// The best few ways to lay the card on the lattice, best first.
pub(crate) fn placements(
    picture: &Preview,
    lattice: &Lattice,
    reference: &Reference,
    least_seen: f64,
) -> Vec<Placement> {
    let Some((low, high)) = bounds(&lattice.cells) else { return Vec::new() };
    let mut cells: HashMap<(i32, i32), Option<Cell>> = HashMap::new();
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
                if let Some(best) = best_way(picture, lattice, reference, [x, y, wide, tall], &mut cells)
                    .map(|best| Placement { seen, ..best })
                {
                    found.push(best);
                }
            }
        }
    }
    found.sort_by(|a, b| b.agreement.whole.total_cmp(&a.agreement.whole));
    found.truncate(KEPT);
    found
}

fn best_way(
    picture: &Preview,
    lattice: &Lattice,
    reference: &Reference,
    [x, y, wide, tall]: [i32; 4],
    cells: &mut HashMap<(i32, i32), Option<Cell>>,
) -> Option<Placement> {
    let corners = [(x, y), (x + wide - 1, y), (x, y + tall - 1), (x + wide - 1, y + tall - 1)];
    // a window that reaches the vanishing line is none
    let facing = corners.iter().map(|c| depth(&lattice.map, *c)).collect::<Vec<_>>();
    if !(facing.iter().all(|d| *d > 0.0) || facing.iter().all(|d| *d < 0.0)) {
        return None;
    }
    let mut best: Option<Placement> = None;
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
                measured.push(
                    *cells
                        .entry(cell)
                        .or_insert_with(|| Cell::of(picture, &lattice.map, [f64::from(cell.0), f64::from(cell.1)])),
                );
            }
        }
        if measured.iter().flatten().count() < FEWEST_LAID.min(measured.len()) {
            return None;
        }
        let agreement = reference.quick_agreement(&measured);
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
            best = Some(Placement { map, mirrored: hand < 0.0, agreement, seen: 0 });
        }
    }
    best
}

/// Whether enough of a card's patches lie in the picture.
pub(crate) fn in_sight(measured: &[Option<Cell>]) -> bool {
    let count = measured.iter().flatten().count();
    count == measured.len() || (count >= FEWEST_IN_SIGHT && count as f64 >= LEAST_IN_SIGHT * measured.len() as f64)
}

fn depth(map: &Homography, cell: (i32, i32)) -> f64 {
    let m = map.matrix();
    m[(2, 0)] * f64::from(cell.0) + m[(2, 1)] * f64::from(cell.1) + m[(2, 2)]
}
