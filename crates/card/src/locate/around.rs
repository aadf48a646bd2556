//! What lies round a card as it was laid. Where patches like its own lie beyond one side of it, and those along the other side
//! are not to be seen, it was laid on another card's patches, moved along: the lattice alone may not have held them all.

use super::flat::Blob;
use super::refine::Grid;

/// How far a patch beyond the card may lie from the middles of its outermost ones, in pitches.
const BEYOND: std::ops::Range<f64> = 0.5..1.6;

/// Area of a region over that of a patch.
const LIKE: std::ops::Range<f64> = 0.4..1.5;

/// Whether a card of `columns` × `rows` was laid beside where its patches lie.
pub(crate) fn moved_along(blobs: &[Blob], grid: &Grid, columns: usize, rows: usize) -> bool {
    let Some(back) = grid.map.inverse() else { return false };
    let places: Vec<[f64; 2]> = blobs
        .iter()
        .map(|blob| (blob, back.apply(blob.centre)))
        .filter(|(blob, place)| {
            let patch = grid.map.unit_area(*place) * (2.0 * grid.half).powi(2);
            LIKE.contains(&(blob.area / patch))
        })
        .map(|(_, place)| place)
        .collect();
    let count = [columns, rows];
    (0..2).any(|axis| {
        let last = |axis: usize| count[axis] as f64 - 1.0;
        let along = 1 - axis;
        // half of a line of patches
        let many = |seen: usize| seen * 2 >= count[along];
        let edged = |line: usize| {
            let of_line = |k: &usize| [k % columns, k / columns][axis] == line;
            (0..columns * rows).filter(of_line).filter(|&k| grid.edged[k]).count()
        };
        let beside = |place: &&[f64; 2]| (-0.5..last(along) + 0.5).contains(&place[along]);
        let before = places.iter().filter(beside).filter(|place| BEYOND.contains(&-place[axis])).count();
        let after = places.iter().filter(beside).filter(|place| BEYOND.contains(&(place[axis] - last(axis)))).count();
        (many(before) && !many(edged(count[axis] - 1))) || (many(after) && !many(edged(0)))
    })
}
