//! Edges of patches, to better the map and to measure the gap.

use super::homography::Homography;
use super::preview::Preview;

/// A map from the card's cells (column, row) to pixels, with half the side of a patch in pitches.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Grid {
    pub map: Homography,
    pub half: f64,
    /// Patches whose four edges were seen.
    pub edged: usize,
}

/// Where an edge is looked for, in pitches from the patch's middle.
const REACH: std::ops::Range<f64> = 0.24..0.60;

/// Lines across each edge, in pitches from the patch's middle.
const LINES: [f64; 3] = [-0.2, 0.0, 0.2];

/// Weakest step that counts as an edge, in encoded units.
const WEAKEST: f32 = 0.02;

/// Betters the map of `columns` × `rows` cells from the edges of the patches.
pub(crate) fn refine(picture: &Preview, start: Homography, columns: usize, rows: usize, half: f64) -> Grid {
    let mut grid = Grid { map: start, half, edged: 0 };
    for _ in 0..3 {
        let mut pairs = Vec::new();
        let mut halves = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let cell = [column as f64, row as f64];
                let [east, south, west, north] =
                    [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]].map(|way| edge(picture, &grid.map, cell, way));
                if let (Some(e), Some(s), Some(w), Some(n)) = (east, south, west, north)
                    && ((e + w) / (n + s)).ln().abs() < 0.25
                {
                    let middle = [cell[0] + (e - w) / 2.0, cell[1] + (s - n) / 2.0];
                    pairs.push((cell, grid.map.apply(middle)));
                    halves.push((e + w + n + s) / 4.0);
                }
            }
        }
        if pairs.len() < 6 || pairs.len() * 4 < rows * columns {
            return grid;
        }
        let middle = [(columns as f64 - 1.0) / 2.0, (rows as f64 - 1.0) / 2.0];
        let pitch = grid.map.unit_area(middle).sqrt();
        let Some((map, kept)) = Homography::fit_robust(&pairs, 0.07 * pitch) else { return grid };
        let count = kept.iter().filter(|keep| **keep).count();
        if count < 6 || count * 4 < rows * columns || !spread(&pairs, &kept) {
            return grid;
        }
        halves.sort_by(f64::total_cmp);
        grid = Grid { map, half: halves[halves.len() / 2].clamp(0.25, 0.5), edged: count };
    }
    grid
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
    for line in LINES {
        let profile: Vec<[f32; 3]> = (0..count)
            .map(|k| {
                let s = REACH.start + k as f64 * step;
                let p = map.apply([cell[0] + way[0] * s + way[1] * line, cell[1] + way[1] * s + way[0] * line]);
                picture.at(p[0], p[1])
            })
            .collect();
        for k in 0..strength.len() {
            let (a, b) = (profile[k], profile[k + apart]);
            let jump = (0..3).map(|c| (a[c] - b[c]).abs()).fold(0.0, f32::max);
            strength[k] += jump / LINES.len() as f32;
        }
    }
    let most = strength.iter().copied().fold(0.0, f32::max);
    if most < WEAKEST {
        return None;
    }
    // the first marked peak from inside is the patch's own edge; one further out may be its neighbour's
    let peak = (1..strength.len().saturating_sub(1)).find(|&k| {
        strength[k] >= 0.45 * most
            && strength[k] >= strength[k - 1]
            && strength[k] >= strength[k + 1]
            && strength[k..(k + apart + 1).min(strength.len())].iter().all(|&other| other <= strength[k])
    })?;
    let (a, b, c) = (f64::from(strength[peak - 1]), f64::from(strength[peak]), f64::from(strength[peak + 1]));
    let bend = a - 2.0 * b + c;
    let shift = if bend < -1e-9 { (0.5 * (a - c) / bend).clamp(-0.5, 0.5) } else { 0.0 };
    Some(REACH.start + (peak as f64 + shift + apart as f64 / 2.0) * step)
}
