//! Which regions are neighbours, and the cells that follow from walking over them.

use super::flat::Blob;
use std::collections::{HashMap, VecDeque};

/// Most cells along one side.
const LONGEST: i32 = 60;

/// How far neighbouring regions may differ and lie apart.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Looseness {
    /// Largest ratio of two neighbours' areas.
    pub(super) area: f64,
    /// Largest distance of two middles over the side between.
    along: f64,
    /// Largest difference of two neighbours' sides over the longer.
    sides: f64,
    /// Area over that of the cell, at least.
    pub(super) share: f64,
}

/// Patches seen nearly whole.
pub(crate) const SHARP: Looseness = Looseness { area: 2.5, along: 2.0, sides: 0.45, share: 0.15 };

/// Patches of a blurred picture, of which only the middle is flat, more of it the less they stand out.
pub(crate) const BLURRED: Looseness = Looseness { area: 6.0, along: 3.6, sides: 0.75, share: 0.03 };

/// A neighbour: its index and the turn (in quarters) that brings its sides to ours.
#[derive(Clone, Copy)]
pub(super) struct Link {
    to: usize,
    turn: usize,
}

/// For every region its neighbours in the directions +u, +v, −u, −v of its own sides.
pub(super) fn neighbours(blobs: &[Blob], looseness: Looseness) -> Vec<[Option<Link>; 4]> {
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
pub(super) fn grow(start: usize, links: &[[Option<Link>; 4]], taken: &mut [bool]) -> HashMap<(i32, i32), usize> {
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
