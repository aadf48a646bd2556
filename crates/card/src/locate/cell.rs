//! What the picture shows in one cell of a lattice.

use super::homography::Homography;
use super::preview::Preview;

/// Samples along a side of the middle of a cell, and their distance in pitches.
const SIDE: i32 = 5;
const APART: f64 = 0.11;

/// Samples within this of the median, encoded, are like it.
const LIKE: f32 = 0.05;

/// Share of the samples that must be like the median in an even patch.
const EVEN_SHARE: f64 = 0.7;

/// The middle of a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cell {
    /// Median colour, encoded, and what it was before any correction for shade.
    pub rgb: [f64; 3],
    pub raw: [f64; 3],
    /// Whether it is of one colour, as paint is.
    pub even: bool,
}

impl Cell {
    /// Looks at the middle of a cell; `None` where it lies outside the picture.
    pub(crate) fn of(picture: &Preview, map: &Homography, cell: [f64; 2]) -> Option<Cell> {
        if !picture.holds(map.apply(cell)) {
            return None;
        }
        let mut samples: Vec<[f32; 3]> = Vec::with_capacity((SIDE * SIDE) as usize);
        let offset = |k: i32| f64::from(k - SIDE / 2) * APART;
        for k in 0..SIDE * SIDE {
            let p = map.apply([cell[0] + offset(k % SIDE), cell[1] + offset(k / SIDE)]);
            if picture.holds(p) {
                samples.push(picture.rgb[p[1] as usize * picture.width + p[0] as usize]);
            }
        }
        let mut median = [0f32; 3];
        for (c, out) in median.iter_mut().enumerate() {
            let mut channel: Vec<f32> = samples.iter().map(|rgb| rgb[c]).collect();
            let middle = channel.len() / 2;
            *out = *channel.select_nth_unstable_by(middle, f32::total_cmp).1;
        }
        let like = samples.iter().filter(|rgb| (0..3).all(|c| (rgb[c] - median[c]).abs() < LIKE)).count();
        let rgb = median.map(f64::from);
        Some(Cell { rgb, raw: rgb, even: like as f64 >= EVEN_SHARE * samples.len() as f64 })
    }
}
