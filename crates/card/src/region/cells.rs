//! The light of a region, gathered over square cells.

use colour::bulk::ToLab;
use nalgebra::Matrix3;
use rayon::prelude::*;

use super::grain;
use super::table::Table;
use crate::Photo;
use crate::board::Relative;
use crate::evenness::Light;
use crate::photo::Area;

/// Columns, from and up to, of the region's pixels in each row of its bounding box.
pub(super) type Spans = Vec<Vec<(u32, u32)>>;

/// Longest run of pixels fitted as one, their light averaged: no camera's own sharpness goes further, and within it the
/// fit is straight.
const RUN: u32 = 4;
/// Rows of a cell that are read, at least; of taller cells an even part, each row standing for those around it: a cell
/// is smoothed further before anything is told of it.
const ROWS_OF_CELL: u32 = 4;
/// Pixels of a region whose extent is looked up one by one; of larger ones an even part.
const EXTENT_PIXELS: usize = 1 << 17;
/// Cells worked on by one thread at a time.
const BLOCK: usize = 1 << 14;
/// How much wider than the extent of that part the extent of all may be.
const EXTENT_ROOM: f32 = 0.05;

/// Sums over the pixels of a cell, each row counted for those it stands for.
#[derive(Clone, Copy, Default)]
pub(super) struct Cell {
    pub(super) count: u32,
    pub(super) clipped: u32,
    pub(super) xyz: [f64; 3],
    pub(super) device: [f64; 3],
    pub(super) at: [f64; 2],
}

/// Sums over a run of pixels of one row.
struct Run {
    /// Column of the first, and their row.
    x: u32,
    y: u32,
    /// Rows it stands for.
    rows: u32,
    count: u32,
    clipped: u32,
    light: [f32; 3],
}

/// The cells of a region, row by row over its bounding box.
pub(super) struct Cells {
    pub(super) columns: usize,
    pub(super) rows: usize,
    pub(super) cell_px: u32,
    pub(super) origin_px: [f64; 2],
    pub(super) cells: Vec<Cell>,
}

/// The cells laid over a region's bounding box, and what evens the light in each.
pub(super) struct Frame<'a> {
    area: &'a Area,
    columns: usize,
    rows: usize,
    cell_px: u32,
    /// What light is divided by in each cell; none: nothing.
    light: Option<Vec<[f32; 3]>>,
}

impl<'a> Frame<'a> {
    pub(super) fn new(area: &'a Area, cell_px: u32, board: Option<&Relative<'_>>) -> Self {
        let (columns, rows) = (area.width.div_ceil(cell_px) as usize, area.height.div_ceil(cell_px) as usize);
        let middle = |index: usize, from: u32| f64::from(from) + (index as f64 + 0.5) * f64::from(cell_px);
        let light = board.map(|board| {
            let of = |k: usize| board.light_at([middle(k % columns, area.x), middle(k / columns, area.y)]);
            (0..columns * rows).into_par_iter().map(|k| of(k).map(|light| light as f32)).collect()
        });
        Self { area, columns, rows, cell_px, light }
    }

    /// The extent of the evened light, from that of the light as it is.
    pub(super) fn evened_extent(&self, (mut low, mut high): ([f32; 3], [f32; 3])) -> ([f32; 3], [f32; 3]) {
        let light = self.light.iter().flatten();
        let none = ([f32::INFINITY; 3], [0f32; 3]);
        let (least, most) = light.fold(none, |(least, most), light| {
            ([0, 1, 2].map(|k| least[k].min(light[k])), [0, 1, 2].map(|k| most[k].max(light[k])))
        });
        if self.light.is_some() {
            for channel in 0..3 {
                low[channel] = (low[channel] / most[channel]).min(low[channel] / least[channel]);
                high[channel] /= least[channel];
            }
        }
        (low, high)
    }
}

/// Smallest and largest linear light of the region, per channel.
pub(super) fn extent(photo: &Photo, spans: &Spans, top: u32) -> ([f32; 3], [f32; 3]) {
    let none = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    let wider = |(mut low, mut high): ([f32; 3], [f32; 3]), (l, h): ([f32; 3], [f32; 3])| {
        for channel in 0..3 {
            low[channel] = low[channel].min(l[channel]);
            high[channel] = high[channel].max(h[channel]);
        }
        (low, high)
    };
    let pixels: usize = spans.iter().flatten().map(|(from, to)| (to - from) as usize).sum();
    let step = (pixels.div_ceil(EXTENT_PIXELS) as f64).sqrt().ceil().max(1.0) as usize;
    let of_row = |(row, spans): (usize, &Vec<(u32, u32)>)| {
        let pixels = spans.iter().flat_map(|&(from, to)| (from..to).step_by(step));
        pixels.map(|x| photo.linear(x, top + row as u32)).fold(none, |sum, light| wider(sum, (light, light)))
    };
    let (low, high) = spans.par_iter().enumerate().step_by(step).map(of_row).reduce(|| none, wider);
    if step == 1 {
        return (low, high);
    }
    let room = |channel: usize| EXTENT_ROOM * (high[channel] - low[channel]);
    ([0, 1, 2].map(|k| (low[k] - room(k)).max(low[k].min(0.0))), [0, 1, 2].map(|k| high[k] + room(k)))
}

impl Cells {
    /// Gathers the pixels of the spans into cells of `cell_px`, each fitted by the table.
    pub(super) fn gather(photo: &Photo, spans: &Spans, frame: &Frame<'_>, table: &Table) -> Self {
        let &Frame { area, columns, rows, cell_px, ref light } = frame;
        let mut cells = vec![Cell::default(); columns * rows];
        let step = (cell_px / ROWS_OF_CELL).max(1);
        cells.par_chunks_mut(columns).zip(spans.par_chunks(cell_px as usize)).enumerate().for_each(
            |(block, (line, spans))| {
                let over = |column: usize| match light {
                    Some(light) => light[block * columns + column].map(|light| 1.0 / light),
                    None => [1.0; 3],
                };
                for (group, rows) in spans.chunks(step as usize).enumerate() {
                    let middle = rows.len() / 2;
                    let y = area.y + block as u32 * cell_px + group as u32 * step + middle as u32;
                    let run_at = |x: u32| Run { x, y, rows: rows.len() as u32, count: 0, clipped: 0, light: [0.0; 3] };
                    for &(from, to) in &rows[middle] {
                        let column_at = |x: u32| ((x - area.x) / cell_px) as usize;
                        let end_of = |x: u32| to.min(x + RUN).min(area.x + (column_at(x) as u32 + 1) * cell_px);
                        let (mut run, mut end) = (run_at(from), end_of(from));
                        photo.row(y, from..to, |light, clipped| {
                            run.take(light, clipped);
                            if run.x + run.count == end {
                                let column = column_at(run.x);
                                line[column].take(&run, over(column), table);
                                (run, end) = (run_at(end), end_of(end));
                            }
                        });
                    }
                }
            },
        );
        let origin_px = [f64::from(area.x), f64::from(area.y)];
        Self { columns, rows, cell_px, origin_px, cells }
    }

    /// Sums over all of them.
    pub(super) fn total(&self) -> Cell {
        self.cells.iter().fold(Cell::default(), |sum, cell| sum.with(cell))
    }

    /// Empties the cells whose middle is told, and says what share of the pixels went with them.
    pub(super) fn leave_out(&mut self, left_out: impl Fn([f64; 2]) -> bool) -> f64 {
        let before = self.total().count;
        let (columns, side) = (self.columns, f64::from(self.cell_px));
        for (k, cell) in self.cells.iter_mut().enumerate() {
            let middle = |index: usize, axis: usize| self.origin_px[axis] + (index as f64 + 0.5) * side;
            if left_out([middle(k % columns, 0), middle(k / columns, 1)]) {
                *cell = Cell::default();
            }
        }
        1.0 - f64::from(self.total().count) / f64::from(before.max(1))
    }

    /// The Lab of each cell of which more than half lies in the region.
    pub(super) fn lab_map(&self) -> grain::Map {
        let full = self.cell_px * self.cell_px;
        let to_lab = ToLab::new(&Matrix3::identity());
        let mut cells = vec![None; self.cells.len()];
        cells.par_chunks_mut(BLOCK).zip(self.cells.par_chunks(BLOCK)).for_each(|(out, cells)| {
            let mean = |cell: &Cell| cell.xyz.map(|sum| (sum / f64::from(cell.count.max(1))) as f32);
            let xyz: Vec<[f32; 3]> = cells.iter().map(mean).collect();
            let mut lab = vec![[0f32; 3]; xyz.len()];
            to_lab.lab(&xyz, &mut lab);
            for ((out, cell), lab) in out.iter_mut().zip(cells).zip(lab) {
                *out = (2 * cell.count > full).then_some(lab);
            }
        });
        grain::Map { columns: self.columns, rows: self.rows, cells }
    }

    /// The light by cell, each brought to the light of one place by the factor for its own.
    pub(super) fn light(&self, factor: impl Fn([f64; 2]) -> f64 + Sync) -> Light {
        let cell = |cell: &Cell| {
            let n = f64::from(cell.count);
            let factor = if cell.count > 0 { factor([cell.at[0] / n, cell.at[1] / n]) } else { 0.0 };
            let [x, y, z] = cell.xyz.map(|sum| (sum * factor) as f32);
            [x, y, z, cell.count as f32]
        };
        Light {
            columns: self.columns,
            rows: self.rows,
            cell_px: f64::from(self.cell_px),
            origin_px: self.origin_px,
            cells: self.cells.par_iter().map(cell).collect(),
        }
    }
}

impl Run {
    fn take(&mut self, light: [f32; 3], clipped: bool) {
        self.count += 1;
        self.clipped += u32::from(clipped);
        for (sum, light) in self.light.iter_mut().zip(light) {
            *sum += light;
        }
    }
}

impl Cell {
    fn take(&mut self, run: &Run, over: [f32; 3], table: &Table) {
        let (along, weight) = (f64::from(run.count), f64::from(run.count * run.rows));
        let mut mean = run.light;
        for channel in 0..3 {
            mean[channel] *= over[channel] / run.count as f32;
        }
        let xyz = table.xyz(mean);
        for channel in 0..3 {
            self.xyz[channel] += weight * f64::from(xyz[channel]);
            self.device[channel] += weight * f64::from(mean[channel]);
        }
        self.at[0] += weight * (f64::from(run.x) + along / 2.0);
        self.at[1] += weight * (f64::from(run.y) + 0.5);
        self.count += run.count * run.rows;
        self.clipped += run.clipped * run.rows;
    }

    pub(super) fn with(mut self, other: &Cell) -> Self {
        self.count += other.count;
        self.clipped += other.clipped;
        for channel in 0..3 {
            self.xyz[channel] += other.xyz[channel];
            self.device[channel] += other.device[channel];
        }
        for axis in 0..2 {
            self.at[axis] += other.at[axis];
        }
        self
    }
}
