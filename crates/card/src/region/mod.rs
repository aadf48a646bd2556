//! Regions: a polygon of wood to its colour, the spread of its grain and how well its mean is known.
//!
//! Each pixel is fitted, the XYZ averaged, and the average taken to Lab: that is the light the eye gathers from a
//! distance. Averages are formed over square cells first, and the cells serve for all that concerns the grain.

mod blocks;
mod cells;
mod grain;
mod over_card;
mod polygon;
mod table;

use colour::calibration::Fit;
use colour::{Lab, Xyz, lab_from_xyz};
use nalgebra::Matrix3;

use crate::Photo;
use crate::board::Relative;
use crate::evenness::{self, Evenness};
use crate::grid::Grid;
use crate::photo::Area;

pub(crate) use over_card::{OverCard, over_card};
pub use polygon::Polygon;

use cells::{Cell, Cells, Frame, Spans, extent};
use table::Table;

/// A region of which less than this lies in the photo was not meant as it was drawn: own judgement.
const LEAST_INSIDE: f64 = 0.5;
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
    /// Whether a photo of a board evened the light.
    pub light_evened: bool,
    /// Variance of the mean blueness and redness of a JPEG's blocks, in squares of codes of 255 ([`blocks::colour_variance`]).
    pub(crate) block_colour_variance: [f64; 2],
    /// Pixels in it.
    pub pixels: usize,
    /// Share of pixels with a channel at the top of its range.
    pub clipped_share: f64,
    /// Area, where the card's size is known.
    pub area_mm2: Option<f64>,
    /// Share of the drawn area that was left out of the colour, 0..1.
    pub left_out_share: f64,
    /// How even it is, spots included; none where it is too small for that.
    pub evenness: Option<Evenness>,
    /// Direction in which the grain runs, degrees from the photo's width towards its foot, 0..180; none where it is not
    /// clear.
    pub grain_direction_deg: Option<f64>,
}

/// Why a region was not measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmeasured {
    /// Fewer than three corners, or a corner that is no number.
    NoPolygon,
    /// Its corners lie on one line.
    NoArea,
    /// Its sides cross.
    CrossesItself,
    /// It lies beside the photo.
    Outside,
    /// The larger part of it lies beside the photo.
    MostlyOutside {
        /// Whole per cent of it that lies in the photo.
        percent_inside: u32,
    },
    /// Transparent pixels lie in it.
    Transparent {
        /// Share of its pixels, 1 to 100 per cent.
        percent: u32,
    },
    /// Sides of a place that is left out of it cross.
    LeftOutCrosses,
    /// What is left out of it leaves too few pixels.
    NothingLeft {
        /// Pixels that remain.
        pixels: usize,
    },
    /// Too few pixels.
    TooSmall {
        /// Pixels in it.
        pixels: usize,
    },
}

/// How to measure.
pub(crate) struct How<'a> {
    /// The card's patch pitch, where known.
    pub(crate) pitch_mm: Option<f64>,
    /// Colour and grain are those of what lies outside the spots of the region's evenness.
    pub(crate) leave_spots_out: bool,
    /// The light as a board shows it, in place of the slope that the card's patches lead to expect.
    pub(crate) board: Option<Relative<'a>>,
}

/// Measures a polygon given in upright photo pixels.
///
/// The light's slope is taken at the middle of what of the region lies in the photo.
pub(crate) fn measure(
    photo: &Photo,
    polygon: &Polygon,
    grid: &Grid,
    fit: &Fit,
    how: &How<'_>,
) -> Result<Measured, Unmeasured> {
    polygon.check_shape()?;
    let area = polygon.area_in(photo.width_px, photo.height_px).ok_or(Unmeasured::Outside)?;
    polygon.check_left_out(&area)?;
    let &How { pitch_mm, leave_spots_out, ref board } = how;
    let inside = polygon.share_inside(photo.width_px, photo.height_px);
    if inside < LEAST_INSIDE && polygon.reaches_beyond(photo.width_px, photo.height_px) {
        return Err(Unmeasured::MostlyOutside { percent_inside: (100.0 * inside).round() as u32 });
    }
    let spans = polygon.spans(&area);
    let too_few = |pixels: usize| match polygon.pixels_drawn(&area) < FEWEST_PIXELS {
        true => Unmeasured::TooSmall { pixels },
        false => Unmeasured::NothingLeft { pixels },
    };
    let middle = middle_of(&spans, &area).ok_or_else(|| too_few(0))?;
    if let Some(percent) = photo.has_transparent().then(|| transparent_percent(photo, &spans, &area)).flatten() {
        return Err(Unmeasured::Transparent { percent });
    }
    let px_per_mm = pitch_mm.map(|pitch| 1.0 / (grid.pixel_area(middle).sqrt() * pitch));
    let side = area.width.max(area.height);
    let plain = side.div_ceil(CELLS);
    let cell_px = px_per_mm.map_or(plain, |scale| (CELL_MM * scale).round().clamp(1.0, f64::from(side)) as u32);
    let cell_px = cell_px.max(side.div_ceil(MOST_CELLS)).max(1);
    let place_of = |pixel: [f64; 2]| grid.unit_from_card(grid.card_from_photo(pixel));
    let place = place_of(middle);

    // Where a board evens the light, that at the card's middle holds everywhere.
    let lit = if board.is_some() { [0.0; 2] } else { place };
    let frame = Frame::new(&area, cell_px, board.as_ref());
    let (low, high) = frame.evened_extent(extent(photo, &spans, area.y));
    let table = Table::new(low, high, |device| fit.xyz_beside(device, lit));
    let mut cells = Cells::gather(photo, &spans, &frame, &table);
    let pixels = cells.total().count as usize;
    if pixels < FEWEST_PIXELS {
        return Err(too_few(pixels));
    }
    let slope = if board.is_some() { [0.0; 2] } else { light_slope(fit, &cells.total(), place) };
    let light = cells.light(|pixel| {
        let there = place_of(pixel);
        (slope[0] * (there[0] - place[0]) + slope[1] * (there[1] - place[1])).exp()
    });
    let cut_off_px = px_per_mm.map_or(evenness::CUT_OFF_SHARE * f64::from(side), |scale| evenness::CUT_OFF_MM * scale);
    let evenness = evenness::study(&light, cut_off_px, px_per_mm.map(|scale| 1.0 / scale), evenness::tolerance_de00());
    let spots_share = match &evenness {
        Some(evenness) if leave_spots_out => {
            cells.leave_out(|pixel| evenness.map.in_spot(pixel, evenness.spot_from_de00))
        }
        _ => 0.0,
    };

    let total = cells.total();
    let pixels = total.count as usize;
    if pixels < FEWEST_PIXELS {
        return Err(too_few(pixels));
    }
    let coarse = px_per_mm.map_or(f64::from(area.height.min(area.width)) / 6.0, |scale| COARSE_MM * scale);
    let grain = grain::study(&cells.lab_map(), (coarse / f64::from(cell_px)).max(3.0));
    let n = f64::from(total.count);
    Ok(Measured {
        lab: lab_of(total.xyz.map(|sum| sum / n)),
        device_linear_rgb: total.device.map(|sum| sum / n),
        own: grain.covariance_of_mean,
        grains: grain.grains,
        grain_sd: grain.spread,
        place,
        light_evened: board.is_some(),
        block_colour_variance: blocks::colour_variance(&cells, photo.colour_steps.block_px),
        pixels,
        clipped_share: f64::from(total.clipped) / n,
        area_mm2: pitch_mm.map(|pitch| area_pitches(&cells, grid) * pitch * pitch),
        left_out_share: 1.0 - (1.0 - polygon.left_out_share(&area)) * (1.0 - spots_share),
        evenness,
        grain_direction_deg: grain.direction_deg,
    })
}

/// Share of the pixels of the spans that are transparent, in whole per cent and at least 1; none where all are opaque.
fn transparent_percent(photo: &Photo, spans: &Spans, area: &Area) -> Option<u32> {
    let pixels = (area.y..).zip(spans).flat_map(|(y, row)| {
        let columns = row.iter().flat_map(|&(from, to)| from..to);
        columns.map(move |x| (x, y))
    });
    let (transparent, all) = pixels.fold((0usize, 0usize), |(transparent, all), (x, y)| {
        (transparent + usize::from(photo.transparent(x, y)), all + 1)
    });
    (transparent > 0).then(|| (100.0 * transparent as f64 / all as f64).round().max(1.0) as u32)
}

/// Mean place of the pixels of the spans, which begin at the top of the area; none where there are none.
fn middle_of(spans: &Spans, area: &Area) -> Option<[f64; 2]> {
    let (mut count, mut sum) = (0.0, [0.0; 2]);
    for (y, (from, to)) in (area.y..).zip(spans).flat_map(|(y, row)| row.iter().map(move |&span| (y, span))) {
        let pixels = f64::from(to - from);
        count += pixels;
        sum[0] += pixels * f64::from(from + to) / 2.0;
        sum[1] += pixels * (f64::from(y) + 0.5);
    }
    (count > 0.0).then(|| sum.map(|sum| sum / count))
}

/// Change of log luminance that the fit sees per unit of place on the card's plane, for the mean of a region.
fn light_slope(fit: &Fit, total: &Cell, place: [f64; 2]) -> [f64; 2] {
    const STEP: f64 = 0.1;
    let device = total.device.map(|sum| sum / f64::from(total.count.max(1)));
    let log_y = |axis: usize, by: f64| {
        let mut at = place;
        at[axis] += by;
        fit.xyz_beside(device, at).y.max(1e-9).ln()
    };
    [0, 1].map(|axis| (log_y(axis, STEP) - log_y(axis, -STEP)) / (2.0 * STEP))
}

/// Area of the card's plane under the region's pixels, in square pitches.
fn area_pitches(cells: &Cells, grid: &Grid) -> f64 {
    let area = |cell: &Cell| {
        let n = f64::from(cell.count);
        if cell.count > 0 { n * grid.pixel_area([cell.at[0] / n, cell.at[1] / n]) } else { 0.0 }
    };
    cells.cells.iter().map(area).sum()
}

fn lab_of([x, y, z]: [f64; 3]) -> Lab {
    lab_from_xyz(Xyz::new(x, y, z))
}

#[cfg(test)]
mod tests {
    use colour::calibration::{Prior, Sample, Working, fit};

    use super::*;

    /// The chart under light that rises by a third of its logarithm from middle to edge, across or down: seen from elsewhere the
    /// same light is a colour that much darker, by as much of the slope as the fit carries beside the card, and only that way.
    #[test]
    fn the_light_slopes_the_way_it_does_on_the_card() {
        let chart = &crate::layout::known()[0];
        let lab = &chart.editions[0].lab;
        let prior = Prior::parse(include_str!("../../../../assets/calibration-prior.csv")).unwrap();
        for (axis, rises) in [(0, 0.3f64), (1, 0.3), (0, -0.3), (1, -0.3)] {
            let sample = |k: usize| {
                let pitch_place = [(k % 6) as f64, (k / 6) as f64];
                let place = [(pitch_place[0] - 2.5) / 3.0, (pitch_place[1] - 1.5) / 2.0];
                let light = 0.5 * (rises * place[axis]).exp();
                let device = colour::rgb::linear_srgb_from_xyz(colour::xyz_from_lab(lab[k])).map(|v| v * light);
                Sample { device, clipped: [false; 3], lab: lab[k], place, pitch_place, glared: false }
            };
            let samples: Vec<Sample> = (0..24).map(sample).collect();
            let fit = fit(&samples, &Working::srgb(), &prior).unwrap();
            let region = Cell { count: 10, device: [1.5, 1.2, 0.9], ..Cell::default() };
            let slope = light_slope(&fit, &region, [1.5, 0.5]);
            assert!(slope[axis] * rises < 0.0 && slope[axis].abs() > 0.05, "{axis} {rises}: {slope:?}");
            assert!((slope[axis] + fit.light.beside[axis]).abs() < 0.05, "{slope:?} {:?}", fit.light);
            assert!(slope[1 - axis].abs() < 0.03, "{axis} {rises}: {slope:?}");
        }
    }
}
