//! A Gaussian low-pass over the cells of a region, blind to what lies outside it.

use rayon::prelude::*;

/// The kernel is cut off this many standard deviations out.
const REACH: f64 = 3.0;

/// The light of a region by square cells over its bounding box.
#[derive(Clone, Debug)]
pub(crate) struct Light {
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    /// Side of a cell in photo pixels.
    pub(crate) cell_px: f64,
    /// Top left corner of the first cell in photo pixels.
    pub(crate) origin_px: [f64; 2],
    /// Sums of X, Y and Z over the pixels of the region in the cell, and how many these are.
    pub(crate) cells: Vec<[f32; 4]>,
}

impl Light {
    /// The same over cells `side` times as long.
    pub(super) fn grouped(&self, side: usize) -> Light {
        if side <= 1 {
            return self.clone();
        }
        let (columns, rows) = (self.columns.div_ceil(side), self.rows.div_ceil(side));
        let mut cells = vec![[0f32; 4]; columns * rows];
        for (y, row) in self.cells.chunks(self.columns.max(1)).enumerate() {
            for (x, cell) in row.iter().enumerate() {
                add(&mut cells[y / side * columns + x / side], cell, 1.0);
            }
        }
        Light { columns, rows, cell_px: self.cell_px * side as f64, origin_px: self.origin_px, cells }
    }

    /// The part of it around its middle, at most `most` cells each way.
    pub(super) fn middle(&self, most: usize) -> Light {
        let cut = |length: usize| (length.saturating_sub(most) / 2, length.min(most));
        let ((left, columns), (top, rows)) = (cut(self.columns), cut(self.rows));
        let cells = (top..top + rows).flat_map(|y| self.cells[y * self.columns + left..][..columns].to_vec()).collect();
        Light { columns, rows, cell_px: self.cell_px, origin_px: self.origin_px, cells }
    }

    /// Cells of which at least half lies in the region.
    pub(super) fn inside(&self) -> Vec<bool> {
        let full = self.cells.iter().map(|cell| cell[3]).fold(0.0, f32::max);
        self.cells.iter().map(|cell| cell[3] > 0.0 && 2.0 * cell[3] >= full).collect()
    }
}

/// Standard deviation of the Gaussian whose transmission at the cut-off wavelength is one half; at the spatial frequency
/// f it lets exp(−2π²σ²f²) through.
///
/// # Source
/// ISO 16610-21:2011, 4.1 and 4.2: weights exp(−π(x/αλ)²)/αλ, α = √(ln 2 / π), so that σ = αλ/√(2π) = λ √(ln 2 / 2) / π.
pub(super) fn sigma(cut_off: f64) -> f64 {
    cut_off * (std::f64::consts::LN_2 / 2.0).sqrt() / std::f64::consts::PI
}

/// Sums of light and weight under a Gaussian of `sigma` cells; their quotient is the smoothed light. The width that the
/// cells already have, that of a box one cell wide, is taken off.
pub(super) fn low_pass(light: &Light, sigma: f64) -> Vec<[f32; 4]> {
    let kernel = kernel((sigma * sigma - 1.0 / 12.0).max(0.01).sqrt());
    let columns = light.columns.max(1);
    let reach = kernel.len() / 2;
    let mut along = vec![[0f32; 4]; light.cells.len()];
    along.par_chunks_mut(columns).zip(light.cells.par_chunks(columns)).for_each(|(out, row)| {
        for (k, &weight) in kernel.iter().enumerate() {
            let (from, to) = (reach.saturating_sub(k), k.saturating_sub(reach));
            let length = columns.saturating_sub(from + to);
            for (out, cell) in out[from.min(columns)..].iter_mut().zip(&row[to.min(columns)..]).take(length) {
                add(out, cell, weight);
            }
        }
    });
    let mut both = vec![[0f32; 4]; light.cells.len()];
    both.par_chunks_mut(columns).enumerate().for_each(|(y, out)| {
        for (k, &weight) in kernel.iter().enumerate() {
            let Some(other) = (y + k).checked_sub(reach).filter(|other| *other < light.rows) else { continue };
            for (out, cell) in out.iter_mut().zip(&along[other * columns..][..columns]) {
                add(out, cell, weight);
            }
        }
    });
    both
}

fn add(sum: &mut [f32; 4], cell: &[f32; 4], weight: f32) {
    for (sum, value) in sum.iter_mut().zip(cell) {
        *sum += weight * value;
    }
}

fn kernel(sigma: f64) -> Vec<f32> {
    let reach = (REACH * sigma).ceil().max(1.0) as i32;
    let weights: Vec<f64> = (-reach..=reach).map(|k| (-0.5 * (f64::from(k) / sigma).powi(2)).exp()).collect();
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|weight| (weight / sum) as f32).collect()
}
