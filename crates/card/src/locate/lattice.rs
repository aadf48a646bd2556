//! Regions that lie on one lattice, seen in perspective.

use super::flat::Blob;
use super::homography::Homography;
use super::links::{self, Looseness};
use std::collections::HashMap;

/// A lattice of regions: the map from cells (column, row) to pixels, and the cells in which a region was seen.
#[derive(Debug, Clone)]
pub(crate) struct Lattice {
    pub map: Homography,
    pub cells: HashMap<(i32, i32), usize>,
}

/// Fewest regions that make a lattice.
const FEWEST: usize = 5;

/// How far a region may lie from its cell, in pitches.
const TOLERANCE: f64 = 0.16;

/// Drops regions seen twice (at several thresholds or sizes), keeping the larger.
pub(crate) fn distinct(mut blobs: Vec<Blob>, looseness: Looseness) -> Vec<Blob> {
    blobs.sort_by(|a, b| b.area.total_cmp(&a.area));
    let mut buckets: HashMap<(i32, i32), Vec<usize>> = HashMap::new();
    let mut kept: Vec<Blob> = Vec::new();
    let key = |p: [f64; 2]| ((p[0] / 16.0).floor() as i32, (p[1] / 16.0).floor() as i32);
    for blob in blobs {
        let reach = 0.25 * blob.area.sqrt();
        let (low, high) = (
            key([blob.centre[0] - reach, blob.centre[1] - reach]),
            key([blob.centre[0] + reach, blob.centre[1] + reach]),
        );
        let seen = (low.0..=high.0).any(|i| {
            (low.1..=high.1).any(|j| {
                buckets.get(&(i, j)).is_some_and(|list| {
                    list.iter().any(|&k| {
                        let other = &kept[k];
                        let off = (other.centre[0] - blob.centre[0]).hypot(other.centre[1] - blob.centre[1]);
                        off < 0.25 * blob.area.sqrt() && other.area < 0.88 * looseness.area * blob.area
                    })
                })
            })
        });
        if !seen {
            buckets.entry(key(blob.centre)).or_default().push(kept.len());
            kept.push(blob);
        }
    }
    kept
}

/// Clusters regions into lattices, largest first.
pub(crate) fn lattices(blobs: &[Blob], looseness: Looseness) -> Vec<Lattice> {
    let neighbours = links::neighbours(blobs, looseness);
    let mut taken = vec![false; blobs.len()];
    let mut seeds: Vec<HashMap<(i32, i32), usize>> = Vec::new();
    for start in 0..blobs.len() {
        if !taken[start] {
            let cells = links::grow(start, &neighbours, &mut taken);
            if cells.len() >= FEWEST {
                seeds.push(cells);
            }
        }
    }
    seeds.sort_by_key(|cells| std::cmp::Reverse(cells.len()));
    let mut used = vec![false; blobs.len()];
    let mut found = Vec::new();
    for cells in seeds.into_iter().take(40) {
        let known = cells.values().filter(|&&k| used[k]).count();
        if known * 2 > cells.len() {
            continue;
        }
        if let Some(lattice) = fitted(cells, blobs, looseness) {
            for &k in lattice.cells.values() {
                used[k] = true;
            }
            found.push(lattice);
        }
    }
    found.sort_by_key(|lattice| std::cmp::Reverse(lattice.cells.len()));
    found
}

/// Fits the map, drops what does not lie on it, and takes in other regions that do.
fn fitted(mut cells: HashMap<(i32, i32), usize>, blobs: &[Blob], looseness: Looseness) -> Option<Lattice> {
    let mut map = refit(&mut cells, blobs)?;
    for _ in 0..3 {
        let back = map.inverse()?;
        let (low, high) = bounds(&cells)?;
        let before = cells.len();
        for (k, blob) in blobs.iter().enumerate() {
            let [x, y] = back.apply(blob.centre);
            let cell = (x.round(), y.round());
            let off = (x - cell.0).abs().max((y - cell.1).abs());
            let inside = cell.0 >= f64::from(low.0 - 2)
                && cell.0 <= f64::from(high.0 + 2)
                && cell.1 >= f64::from(low.1 - 2)
                && cell.1 <= f64::from(high.1 + 2);
            let share = blob.area / map.unit_area([x, y]);
            // also refuses NaN
            if !(off < 1.3 * TOLERANCE && inside && (looseness.share..1.15).contains(&share)) {
                continue;
            }
            cells.entry((cell.0 as i32, cell.1 as i32)).or_insert(k);
        }
        map = refit(&mut cells, blobs)?;
        if cells.len() == before {
            break;
        }
    }
    (cells.len() >= FEWEST).then_some(Lattice { map, cells })
}

/// Smallest and largest cell.
pub(crate) fn bounds<T>(cells: &HashMap<(i32, i32), T>) -> Option<((i32, i32), (i32, i32))> {
    let low = (cells.keys().map(|c| c.0).min()?, cells.keys().map(|c| c.1).min()?);
    let high = (cells.keys().map(|c| c.0).max()?, cells.keys().map(|c| c.1).max()?);
    Some((low, high))
}

fn refit(cells: &mut HashMap<(i32, i32), usize>, blobs: &[Blob]) -> Option<Homography> {
    let mut keys: Vec<(i32, i32)> = cells.keys().copied().collect();
    keys.sort_unstable();
    let pairs: Vec<_> =
        keys.iter().map(|key| ([f64::from(key.0), f64::from(key.1)], blobs[cells[key]].centre)).collect();
    let pitch = pitch(cells, blobs)?;
    let (map, kept) = Homography::fit_robust(&pairs, TOLERANCE * pitch)?;
    for (key, keep) in keys.iter().zip(kept) {
        if !keep {
            cells.remove(key);
        }
    }
    let (low, high) = bounds(cells)?;
    (cells.len() >= FEWEST && high.0 > low.0 && high.1 > low.1).then_some(map)
}

/// Median distance of regions in neighbouring cells.
fn pitch(cells: &HashMap<(i32, i32), usize>, blobs: &[Blob]) -> Option<f64> {
    let mut distances: Vec<f64> = Vec::new();
    for (cell, &k) in cells {
        for next in [(cell.0 + 1, cell.1), (cell.0, cell.1 + 1)] {
            if let Some(&other) = cells.get(&next) {
                let (a, b) = (blobs[k].centre, blobs[other].centre);
                distances.push((a[0] - b[0]).hypot(a[1] - b[1]));
            }
        }
    }
    distances.sort_by(f64::total_cmp);
    distances.get(distances.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::super::links::SHARP;
    use super::*;

    /// Six by four regions, 40 px apart, some of them moved by so much to the right.
    fn regions(moved: &[(usize, f64)]) -> Vec<Blob> {
        let region = |k: usize| {
            let by = moved.iter().find(|(at, _)| *at == k).map_or(0.0, |(_, by)| *by);
            let centre = [100.0 + 40.0 * (k % 6) as f64 + by, 100.0 + 40.0 * (k / 6) as f64];
            Blob { centre, sides: [[30.0, 0.0], [0.0, 30.0]], area: 900.0 }
        };
        (0..24).map(region).collect()
    }

    /// The pitch is what most neighbours are apart, whatever a few are.
    #[test]
    fn the_pitch_is_that_of_most_neighbours() {
        for moved in [&[][..], &[(0, 6.0), (8, -6.0), (21, 12.0)]] {
            let cells = (0..24).map(|k| (((k % 6) as i32, (k / 6) as i32), k)).collect();
            let found = pitch(&cells, &regions(moved)).unwrap();
            assert!((found - 40.0).abs() < 1e-9, "{moved:?}: {found}");
        }
    }

    /// A region a quarter of the pitch off its cell is not of the lattice, which allows 0.16; one a twentieth off is.
    #[test]
    fn what_does_not_lie_on_the_lattice_is_no_part_of_it() {
        for (by, kept) in [(2.0, 24), (10.0, 23)] {
            let found = lattices(&regions(&[(9, by)]), SHARP);
            assert_eq!(found.iter().map(|lattice| lattice.cells.len()).collect::<Vec<_>>(), [kept], "{by} px off");
        }
    }
}
