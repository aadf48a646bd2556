//! Regions: a polygon of wood to its colour, the spread of its grain and how well its mean is known.
//!
//! Each pixel is fitted, the XYZ averaged, and the average taken to Lab: that is the light the eye gathers from a
//! distance. Averages are formed over square cells first, and the cells serve for all that concerns the grain.

mod grain;
mod polygon;
mod table;

use colour::calibration::Fit;
use colour::{Lab, Xyz, lab_from_xyz};
use nalgebra::Matrix3;
use rayon::prelude::*;

use crate::Photo;
use crate::grid::Grid;

pub use polygon::Polygon;

use table::Table;

/// Fewest pixels a region may have.
pub const FEWEST_PIXELS: usize = 64;
/// Side of a cell where the card's size is known: pores and noise below it are not grain one sees.
const CELL_MM: f64 = 0.5;
/// Above this scale unevenness is no grain.
const COARSE_MM: f64 = 10.0;
/// Cells along the longer side of a region where the card's size is not known.
const CELLS: u32 = 200;
/// Most cells along a side.
const MOST_CELLS: u32 = 1200;

/// A measured region, before its error is split.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Colour of the average light.
    pub lab: Lab,
    /// Mean linear working RGB.
    pub device_linear_rgb: [f64; 3],
    /// Covariance of the mean from the grain: the pixels' covariance over the effective number of grains.
    pub own: Matrix3<f64>,
    /// Effective number of independent grains.
    pub grains: f64,
    /// Standard deviation of the grain in L, a, b: between 0.5 and 10 mm where the card's size is known, else of all
    /// that is finer than a sixth of the region.
    pub grain_sd: [f64; 3],
    /// Middle of the region on the card's plane, -1..=1 across the card.
    pub place: [f64; 2],
    /// Pixels in it.
    pub pixels: usize,
    /// Share of pixels with a channel at the top of its range.
    pub clipped_share: f64,
    /// Area, where the card's size is known.
    pub area_mm2: Option<f64>,
}

/// Why a region was not measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmeasured {
    /// Fewer than three corners, or a corner that is no number.
    NoPolygon,
    /// It lies beside the photo.
    Outside,
    /// Too few pixels.
    TooSmall {
        /// Pixels in it.
        pixels: usize,
    },
}

/// Sums over the pixels of a cell.
#[derive(Clone, Copy, Default)]
struct Cell {
    count: u32,
    clipped: u32,
    xyz: [f64; 3],
    device: [f64; 3],
    at: [f64; 2],
}

/// The cells of a region, row by row over its bounding box.
struct Cells {
    columns: usize,
    rows: usize,
    cells: Vec<Cell>,
}

/// Measures a polygon given in upright photo pixels. `pitch_mm` is the card's patch pitch, where known.
///
/// The light's slope is taken at the region's middle.
pub fn measure(
    photo: &Photo,
    polygon: &Polygon,
    grid: &Grid,
    fit: &Fit,
    pitch_mm: Option<f64>,
) -> Result<Measured, Unmeasured> {
    let area = polygon.area_in(photo.width_px, photo.height_px).ok_or(Unmeasured::Outside)?;
    let middle = polygon.middle();
    let px_per_mm = pitch_mm.map(|pitch| 1.0 / (grid.pixel_area(middle).sqrt() * pitch));
    let side = area.width.max(area.height);
    let plain = side.div_ceil(CELLS);
    let cell_px = px_per_mm.map_or(plain, |scale| (CELL_MM * scale).round().clamp(1.0, f64::from(side)) as u32);
    let cell_px = cell_px.max(side.div_ceil(MOST_CELLS)).max(1);
    let place = grid.unit_from_card(grid.card_from_photo(middle));

    let spans = polygon.spans(&area);
    let (low, high) = extent(photo, &spans, area.y);
    let table = Table::new(low, high, |device| fit.xyz_beside(device, place));
    let cells = gather(photo, &spans, &area, cell_px, &table);

    let mut total = Cell::default();
    let mut area_pitches = 0.0;
    for cell in &cells.cells {
        total.add(cell);
        if cell.count > 0 && pitch_mm.is_some() {
            let n = f64::from(cell.count);
            area_pitches += n * grid.pixel_area([cell.at[0] / n, cell.at[1] / n]);
        }
    }
    let pixels = total.count as usize;
    if pixels < FEWEST_PIXELS {
        return Err(Unmeasured::TooSmall { pixels });
    }
    let coarse = px_per_mm.map_or(side.min(area.height.min(area.width)) as f64 / 6.0, |scale| COARSE_MM * scale);
    let map = cells.lab_map(cell_px);
    let grain = grain::study(&map, (coarse / f64::from(cell_px)).max(3.0));
    let n = f64::from(total.count);
    Ok(Measured {
        lab: lab_of(total.xyz.map(|sum| sum / n)),
        device_linear_rgb: total.device.map(|sum| sum / n),
        own: grain.covariance_of_mean,
        grains: grain.grains,
        grain_sd: grain.spread,
        place,
        pixels,
        clipped_share: f64::from(total.clipped) / n,
        area_mm2: pitch_mm.map(|pitch| area_pitches * pitch * pitch),
    })
}

fn lab_of([x, y, z]: [f64; 3]) -> Lab {
    lab_from_xyz(Xyz::new(x, y, z))
}

/// Smallest and largest linear light of the region, per channel.
fn extent(photo: &Photo, spans: &[Vec<(u32, u32)>], top: u32) -> ([f32; 3], [f32; 3]) {
    let none = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    let wider = |(mut low, mut high): ([f32; 3], [f32; 3]), (l, h): ([f32; 3], [f32; 3])| {
        for channel in 0..3 {
            low[channel] = low[channel].min(l[channel]);
            high[channel] = high[channel].max(h[channel]);
        }
        (low, high)
    };
    let of_row = |(row, spans): (usize, &Vec<(u32, u32)>)| {
        let pixels = spans.iter().flat_map(|&(from, to)| from..to);
        pixels.map(|x| photo.linear(x, top + row as u32)).fold(none, |sum, light| wider(sum, (light, light)))
    };
    spans.par_iter().enumerate().map(of_row).reduce(|| none, wider)
}

fn gather(photo: &Photo, spans: &[Vec<(u32, u32)>], area: &crate::photo::Area, cell_px: u32, table: &Table) -> Cells {
    let columns = area.width.div_ceil(cell_px) as usize;
    let rows = area.height.div_ceil(cell_px) as usize;
    let mut cells = vec![Cell::default(); columns * rows];
    cells.par_chunks_mut(columns).zip(spans.par_chunks(cell_px as usize)).enumerate().for_each(
        |(block, (line, spans))| {
            for (row, spans) in spans.iter().enumerate() {
                let y = area.y + block as u32 * cell_px + row as u32;
                for x in spans.iter().flat_map(|&(from, to)| from..to) {
                    line[((x - area.x) / cell_px) as usize].take(photo, x, y, table);
                }
            }
        },
    );
    Cells { columns, rows, cells }
}

impl Cell {
    fn take(&mut self, photo: &Photo, x: u32, y: u32, table: &Table) {
        let light = photo.linear(x, y);
        let xyz = table.xyz(light);
        for channel in 0..3 {
            self.xyz[channel] += xyz[channel];
            self.device[channel] += f64::from(light[channel]);
        }
        self.at[0] += f64::from(x) + 0.5;
        self.at[1] += f64::from(y) + 0.5;
        self.count += 1;
        self.clipped += u32::from(photo.clipped(x, y).contains(&true));
    }

    fn add(&mut self, other: &Cell) {
        self.count += other.count;
        self.clipped += other.clipped;
        for channel in 0..3 {
            self.xyz[channel] += other.xyz[channel];
            self.device[channel] += other.device[channel];
        }
    }
}

impl Cells {
    /// The Lab of each cell of which more than half lies in the region.
    fn lab_map(&self, cell_px: u32) -> grain::Map {
        let full = cell_px * cell_px;
        let lab = |cell: &Cell| {
            (2 * cell.count > full).then(|| {
                let lab = lab_of(cell.xyz.map(|sum| sum / f64::from(cell.count)));
                [lab.l, lab.a, lab.b]
            })
        };
        grain::Map { columns: self.columns, rows: self.rows, cells: self.cells.iter().map(lab).collect() }
    }
}
