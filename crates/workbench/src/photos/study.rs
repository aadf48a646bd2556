//! How even a region is, ready to be drawn over its photo: lines of equal difference, joined from point to point.

use std::collections::BTreeMap;

use card::{Evenness, RegionReading, evenness::Map};
use piece::Region;

use super::Made;

/// Lines are drawn where a spot begins, and at these times that.
const LEVELS: [f64; 2] = [1.0, 2.0];
/// Ends of pieces nearer than this are one point, photo pixels: far under a cell.
const SAME_PX: f64 = 1e-3;

/// What a region's light showed.
#[derive(Clone, Debug)]
pub struct Study {
    /// The region it is of.
    pub of: Region,
    /// How it was made.
    pub made: Made,
    /// How even it is; none where it is too small to tell.
    pub evenness: Option<Evenness>,
    /// The lines to draw.
    pub contours: Vec<Contour>,
    /// Share of the drawn area that was left out of the colour, 0..=1.
    pub left_out_share: f64,
}

/// A line along which the difference to the region's median is the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Whether the places within are lighter than the median; else darker.
    pub lighter: bool,
    /// Whether it is where a spot begins; else it lies further up.
    pub outer: bool,
    /// From point to point, upright photo pixels.
    pub points_px: Vec<[f64; 2]>,
}

impl Study {
    /// Of a region as it was read.
    pub fn new(of: Region, made: Made, reading: &RegionReading) -> Self {
        let evenness = reading.evenness.clone();
        let contours = evenness.as_ref().map_or_else(Vec::new, contours);
        Self { of, made, evenness, contours, left_out_share: reading.left_out_share }
    }
}

fn contours(evenness: &Evenness) -> Vec<Contour> {
    let at = |times: f64| {
        let pieces = evenness.map.contours((evenness.spot_from_de00 * times) as f32);
        let lines = joined(&pieces).into_iter();
        let line = |points_px: Vec<[f64; 2]>| {
            let lighter = points_px.first().is_some_and(|at| is_lighter(&evenness.map, *at));
            Contour { lighter, outer: times <= 1.0, points_px }
        };
        lines.map(line).collect::<Vec<_>>()
    };
    LEVELS.into_iter().flat_map(at).collect()
}

/// Whether the place that a line runs about is lighter: the cell that differs most of those round the point says it.
fn is_lighter(map: &Map, at: [f64; 2]) -> bool {
    let cell = |axis: usize| ((at[axis] - map.origin_px[axis]) / map.cell_px - 0.5).floor().max(0.0) as usize;
    let (column, row) = (cell(0), cell(1));
    let near = [[0, 0], [1, 0], [0, 1], [1, 1]].map(|[x, y]| [column + x, row + y]);
    let inside = near.into_iter().filter(|[x, y]| *x < map.columns && *y < map.rows);
    let values = inside.map(|[x, y]| map.signed_de00[y * map.columns + x]).filter(|value| !value.is_nan());
    values.max_by(|a, b| a.abs().total_cmp(&b.abs())).is_some_and(|value| value > 0.0)
}

/// Pieces of lines joined where their ends meet; a closed line ends where it begins.
fn joined(pieces: &[[[f64; 2]; 2]]) -> Vec<Vec<[f64; 2]>> {
    let key = |at: [f64; 2]| at.map(|v| (v / SAME_PX).round() as i64);
    let mut ends: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
    for (place, piece) in pieces.iter().enumerate() {
        piece.iter().for_each(|end| ends.entry(key(*end)).or_default().push(place));
    }
    let mut used = vec![false; pieces.len()];
    // The next point after `at`, along a piece that was not gone along yet.
    let next = |at: [f64; 2], used: &mut Vec<bool>| {
        let place = ends.get(&key(at))?.iter().copied().find(|place| !used[*place])?;
        used[place] = true;
        let [a, b] = pieces[place];
        Some(if key(a) == key(at) { b } else { a })
    };
    let mut lines = Vec::new();
    for start in 0..pieces.len() {
        if used[start] {
            continue;
        }
        used[start] = true;
        let [first, second] = pieces[start];
        let mut line = vec![first, second];
        while let Some(at) = line.last().and_then(|end| next(*end, &mut used)) {
            line.push(at);
        }
        // An open line may have begun in its middle.
        let mut before = Vec::new();
        let mut at = first;
        while let Some(earlier) = next(at, &mut used) {
            before.push(earlier);
            at = earlier;
        }
        before.reverse();
        before.extend(line);
        lines.push(before);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A board of 20 × 20 cells with a light hill left and a dark one right, as |difference| falls linearly to 0.
    fn hills() -> Map {
        let (columns, rows) = (20, 20);
        let hill = |x: f64, y: f64, at: f64| (6.0 - (x - at).hypot(y - 10.0) * 1.5).max(0.0);
        let value = |i: usize| {
            let (x, y) = ((i % columns) as f64, (i / columns) as f64);
            (hill(x, y, 5.0) - hill(x, y, 15.0)) as f32
        };
        let signed_de00 = (0..columns * rows).map(value).collect();
        Map { columns, rows, cell_px: 2.0, origin_px: [100.0, 50.0], signed_de00 }
    }

    #[test]
    fn each_hill_has_one_closed_line_that_knows_light_from_dark() {
        let map = hills();
        let lines = joined(&map.contours(3.0));
        assert_eq!(lines.len(), 2, "{lines:?}");
        for line in &lines {
            assert_eq!(line.first(), line.last());
            // The hill falls from 6 to 3 over two cells: its line runs round a middle four photo pixels away.
            let light = is_lighter(&map, line[0]);
            let middle = [100.0 + 2.0 * (if light { 5.0 } else { 15.0 } + 0.5), 50.0 + 2.0 * 10.5];
            for at in line {
                let distance = (at[0] - middle[0]).hypot(at[1] - middle[1]);
                assert!((distance - 4.0).abs() < 0.5, "{light} {at:?}: {distance}");
            }
        }
        assert!(is_lighter(&map, lines[0][0]) != is_lighter(&map, lines[1][0]));
    }

    #[test]
    fn an_open_line_is_one_line_wherever_it_was_begun() {
        let at = |x: i32| [f64::from(x), 0.0];
        let lines = joined(&[[at(2), at(3)], [at(1), at(2)], [at(3), at(4)], [at(0), at(1)]]);
        assert_eq!(lines, [[0, 1, 2, 3, 4].map(at).to_vec()]);
    }
}
