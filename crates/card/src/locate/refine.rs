//! Edges of patches, to better the map and to measure the gap.

use super::homography::Homography;
use super::preview::Preview;

/// A map from the card's cells (column, row) to pixels, with half the side of a patch in pitches.
#[derive(Debug, Clone)]
pub(crate) struct Grid {
    pub map: Homography,
    pub half: f64,
    /// For each patch, whether its four edges were seen in their places.
    pub edged: Vec<bool>,
}

/// Where an edge is looked for, in pitches from the patch's middle.
const REACH: std::ops::Range<f64> = 0.24..0.60;

/// Lines across each edge, in pitches from the patch's middle.
const LINES: [f64; 3] = [-0.2, 0.0, 0.2];

/// Weakest step that counts as an edge, in encoded units.
const WEAKEST: f32 = 0.025;

/// Weakest step that counts beside a stronger one further out, as a share of it.
const MARKED: f32 = 0.22;

/// How far half a patch's side may lie from that of the others, in pitches.
const LIKE: f64 = 0.05;

/// How far a patch's middle may lie from the map, in pitches, round by round.
const TOLERANCES: [f64; 4] = [0.07, 0.05, 0.04, 0.03];

/// Betters the map of `columns` × `rows` cells from the edges of the patches.
pub(crate) fn refine(picture: &Preview, start: Homography, columns: usize, rows: usize, half: f64) -> Grid {
    let mut grid = Grid { map: start, half, edged: vec![false; rows * columns] };
    let cells = (0..rows * columns).map(|k| [(k % columns) as f64, (k / columns) as f64]);
    for tolerance in TOLERANCES {
        let mut sides: Vec<_> = cells.clone().filter_map(|cell| patch(picture, &grid.map, cell)).collect();
        if sides.is_empty() {
            return grid;
        }
        sides.sort_by(|a, b| a.half.total_cmp(&b.half));
        let half = sides[sides.len() / 2].half;
        sides.retain(|side| (side.half - half).abs() < LIKE);
        let pairs: Vec<_> = sides.iter().map(|side| (side.cell, grid.map.apply(side.middle))).collect();
        let enough = |count: usize| count >= 6 && count * 4 >= rows * columns;
        if !enough(pairs.len()) {
            return grid;
        }
        let middle = [(columns as f64 - 1.0) / 2.0, (rows as f64 - 1.0) / 2.0];
        let pitch = grid.map.unit_area(middle).sqrt();
        let Some((map, kept)) = Homography::fit_robust(&pairs, tolerance * pitch) else { return grid };
        let count = kept.iter().filter(|keep| **keep).count();
        if !enough(count) || !spread(&pairs, &kept) {
            return grid;
        }
        let mut edged = vec![false; rows * columns];
        for (side, _) in sides.iter().zip(&kept).filter(|(_, keep)| **keep) {
            edged[side.cell[1] as usize * columns + side.cell[0] as usize] = true;
        }
        grid = Grid { map, half: half.clamp(0.25, 0.5), edged };
    }
    grid
}

/// A patch whose four edges were seen: its cell, its middle and half its side, in pitches.
struct Patch {
    cell: [f64; 2],
    middle: [f64; 2],
    half: f64,
}

fn patch(picture: &Preview, map: &Homography, cell: [f64; 2]) -> Option<Patch> {
    let east = edge(picture, map, cell, [1.0, 0.0])?;
    let south = edge(picture, map, cell, [0.0, 1.0])?;
    let west = edge(picture, map, cell, [-1.0, 0.0])?;
    let north = edge(picture, map, cell, [0.0, -1.0])?;
    let square = ((east + west) - (north + south)).abs() < 4.0 * LIKE;
    square.then_some(Patch {
        cell,
        middle: [cell[0] + (east - west) / 2.0, cell[1] + (south - north) / 2.0],
        half: (east + west + north + south) / 4.0,
    })
}

/// Whether the kept pairs fill more than one row and one column.
fn spread(pairs: &[([f64; 2], [f64; 2])], kept: &[bool]) -> bool {
    let range = |k: usize| {
        let values = pairs.iter().zip(kept).filter(|(_, keep)| **keep).map(|(pair, _)| pair.0[k]);
        values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
    };
    range(0) >= 1.0 && range(1) >= 1.0
}

/// Distance, in pitches, from the middle of a cell to its patch's edge in one of the four directions.
fn edge(picture: &Preview, map: &Homography, cell: [f64; 2], way: [f64; 2]) -> Option<f64> {
    let centre = map.apply(cell);
    let far = map.apply([cell[0] + way[0], cell[1] + way[1]]);
    let pitch = (far[0] - centre[0]).hypot(far[1] - centre[1]);
    if !pitch.is_finite() || pitch < 4.0 {
        return None;
    }
    let step = (0.5 / pitch).clamp(0.01, 0.05);
    let count = ((REACH.end - REACH.start) / step).ceil() as usize + 1;
    // steps over about a pixel and a half, so that a soft edge is one peak
    let apart = ((1.5 / pitch).max(0.03) / step).round().max(1.0) as usize;
    let mut strength = vec![0.0f32; count.saturating_sub(apart)];
    let mut light = strength.clone();
    for line in LINES {
        let profile: Vec<[f32; 3]> = (0..count)
            .map(|k| {
                let s = REACH.start + k as f64 * step;
                let p = map.apply([cell[0] + way[0] * s + way[1] * line, cell[1] + way[1] * s + way[0] * line]);
                picture.at(p[0], p[1])
            })
            .collect();
        for (k, (strength, light)) in strength.iter_mut().zip(&mut light).enumerate() {
            let (a, b) = (profile[k], profile[k + apart]);
            *strength += (0..3).map(|c| (a[c] - b[c]).abs()).fold(0.0, f32::max) / LINES.len() as f32;
            *light += (0..3).map(|c| (a[c] * a[c] - b[c] * b[c]).abs()).fold(0.0, f32::max);
        }
    }
    let most = strength.iter().copied().fold(0.0, f32::max);
    if most < WEAKEST {
        return None;
    }
    // the first marked peak from inside is the patch's own edge; one further out may be its neighbour's
    let peak = (1..strength.len().saturating_sub(1)).find(|&k| {
        strength[k] >= WEAKEST.max(MARKED * most)
            && strength[k] >= strength[k - 1]
            && strength[k] >= strength[k + 1]
            && strength[k..(k + apart + 1).min(strength.len())].iter().all(|&other| other <= strength[k])
    })?;
    // Blur mixes light, not encoded values, whose steepest place lies off the edge towards the dark: the place is
    // taken from the squares, which are nearly linear light, as the middle of what is above half the peak.
    let near = peak.saturating_sub(2 * apart)..(peak + apart + 1).min(light.len());
    let top = near.max_by(|&a, &b| light[a].total_cmp(&light[b]))?;
    let half = 0.5 * light[top];
    let first = (0..=top).rev().take_while(|&k| light[k] >= half).last()?;
    let last = (top..light.len()).take_while(|&k| light[k] >= half).last()?;
    let weight: f32 = light[first..=last].iter().sum();
    let place = (first..=last).map(|k| k as f64 * f64::from(light[k])).sum::<f64>() / f64::from(weight);
    Some(REACH.start + (place + apart as f64 / 2.0) * step)
}
