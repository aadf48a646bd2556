//! Regions that lie on one lattice, seen in perspective.

use super::flat::Blob;
use super::homography::Homography;
use std::collections::{HashMap, VecDeque};

/// A lattice of regions: the map from cells (column, row) to pixels, and the cells in which a region was seen.
#[derive(Debug, Clone)]
pub(crate) struct Lattice {
    pub map: Homography,
    pub cells: HashMap<(i32, i32), usize>,
}

/// Fewest regions that make a lattice.
const FEWEST: usize = 5;

/// Most cells along one side.
const LONGEST: i32 = 60;

/// How far a region may lie from its cell, in pitches.
const TOLERANCE: f64 = 0.16;

/// How far neighbouring regions may differ and lie apart.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Looseness {
    /// Largest ratio of two neighbours' areas.
    area: f64,
    /// Largest distance of two middles over the side between.
    along: f64,
    /// Largest difference of two neighbours' sides over the longer.
    sides: f64,
    /// Area over that of the cell, at least.
    share: f64,
}

/// Patches seen nearly whole.
pub(crate) const SHARP: Looseness = Looseness { area: 2.5, along: 2.0, sides: 0.45, share: 0.15 };

/// Patches of a blurred picture, of which only the middle is flat, more of it the less they stand out.
pub(crate) const BLURRED: Looseness = Looseness { area: 6.0, along: 3.6, sides: 0.75, share: 0.03 };

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
    let neighbours = neighbours(blobs, looseness);
    let mut taken = vec![false; blobs.len()];
    let mut seeds: Vec<HashMap<(i32, i32), usize>> = Vec::new();
    for start in 0..blobs.len() {
        if !taken[start] {
            let cells = grow(start, &neighbours, &mut taken);
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

/// A neighbour: its index and the turn (in quarters) that brings its sides to ours.
#[derive(Clone, Copy)]
struct Link {
    to: usize,
    turn: usize,
}

/// For every region its neighbours in the directions +u, +v, −u, −v of its own sides.
fn neighbours(blobs: &[Blob], looseness: Looseness) -> Vec<[Option<Link>; 4]> {
    let mut order: Vec<usize> = (0..blobs.len()).collect();
    order.sort_by(|&a, &b| blobs[a].centre[0].total_cmp(&blobs[b].centre[0]));
    let mut links = vec![[None; 4]; blobs.len()];
    for (position, &i) in order.iter().enumerate() {
        let blob = &blobs[i];
        let reach = 1.05
            * looseness.along
            * (blob.sides[0][0].hypot(blob.sides[0][1])).max(blob.sides[1][0].hypot(blob.sides[1][1]));
        let mut best = [f64::INFINITY; 4];
        let mut look = |j: usize| {
            let Some((direction, cost, turn)) = step(blob, &blobs[j], looseness) else { return };
            if cost < best[direction] {
                best[direction] = cost;
                links[i][direction] = Some(Link { to: j, turn });
            }
        };
        let near = |j: usize| (blobs[j].centre[0] - blob.centre[0]).abs() <= reach;
        order[..position].iter().rev().take_while(|&&j| near(j)).for_each(|&j| look(j));
        order[position + 1..].iter().take_while(|&&j| near(j)).for_each(|&j| look(j));
    }
    links
}

/// Whether the other region may be the next one, in which direction, how well, and how its sides are turned.
fn step(blob: &Blob, other: &Blob, looseness: Looseness) -> Option<(usize, f64, usize)> {
    let ratio = other.area / blob.area;
    if ratio > looseness.area || ratio * looseness.area < 1.0 {
        return None;
    }
    let [u, v] = blob.sides;
    let d = [other.centre[0] - blob.centre[0], other.centre[1] - blob.centre[1]];
    let cross = u[0] * v[1] - u[1] * v[0];
    let s = (d[0] * v[1] - d[1] * v[0]) / cross;
    let t = (u[0] * d[1] - u[1] * d[0]) / cross;
    let (along, across, direction) = if s.abs() > t.abs() {
        (s.abs(), t.abs(), if s > 0.0 { 0 } else { 2 })
    } else {
        (t.abs(), s.abs(), if t > 0.0 { 1 } else { 3 })
    };
    if !(0.9..looseness.along).contains(&along) || across > 0.28 * along {
        return None;
    }
    let off = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let size = |a: [f64; 2]| a[0].hypot(a[1]);
    let (mut best, mut turn) = (f64::INFINITY, 0);
    for quarter in 0..4 {
        let [a, b] = turned(other.sides, quarter);
        let miss = (off(a, u) / size(u).max(size(a))).max(off(b, v) / size(v).max(size(b)));
        if miss < best {
            (best, turn) = (miss, quarter);
        }
    }
    (best < looseness.sides).then_some((direction, along + 2.0 * across + best, turn))
}

fn turned(sides: [[f64; 2]; 2], quarters: usize) -> [[f64; 2]; 2] {
    let [u, v] = sides;
    let minus = |a: [f64; 2]| [-a[0], -a[1]];
    match quarters {
        0 => [u, v],
        1 => [v, minus(u)],
        2 => [minus(u), minus(v)],
        _ => [minus(v), u],
    }
}

/// Walks from neighbour to neighbour, giving each region its cell.
fn grow(start: usize, links: &[[Option<Link>; 4]], taken: &mut [bool]) -> HashMap<(i32, i32), usize> {
    const STEPS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];
    let mut cells = HashMap::from([((0, 0), start)]);
    let mut queue = VecDeque::from([(start, (0, 0), 0usize)]);
    taken[start] = true;
    while let Some((k, cell, turn)) = queue.pop_front() {
        // `turn`: quarters by which this region's sides must be turned to be the start's
        for (direction, by) in STEPS.iter().enumerate() {
            let own = (direction + turn) % 4;
            let Some(link) = links[k][own] else { continue };
            let back = (own + 2 + link.turn) % 4;
            let mutual = links[link.to][back].is_some_and(|other| other.to == k);
            let next = (cell.0 + by.0, cell.1 + by.1);
            if !mutual || taken[link.to] || cells.contains_key(&next) || next.0.abs().max(next.1.abs()) > LONGEST {
                continue;
            }
            taken[link.to] = true;
            cells.insert(next, link.to);
            queue.push_back((link.to, next, (turn + link.turn) % 4));
        }
    }
    cells
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
