//! Smaller pictures of a photo, averaged in linear light.

use colour::rgb::srgb_from_linear;
use rayon::prelude::*;

use crate::locate::{LONG_SIDE_PX, Preview};

use super::{Photo, Pixels};

/// A rectangle of an upright photo, in whole pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// First column.
    pub x: u32,
    /// First row.
    pub y: u32,
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

/// A picture to show: sRGB, 8 bit, three bytes per pixel, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Photo pixels per picture pixel.
    pub factor: u32,
    /// The bytes.
    pub rgb: Vec<u8>,
}

/// Linear light averaged over blocks.
pub(crate) struct Averaged {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Linear working RGB, row by row.
    pub(crate) linear: Vec<[f32; 3]>,
}

impl Photo {
    /// The whole photo as an area.
    pub fn whole(&self) -> Area {
        Area { x: 0, y: 0, width: self.width_px, height: self.height_px }
    }

    /// A picture of part of the photo for the screen: no side longer than `most_px`, blocks of pixels averaged in
    /// linear light, colours outside sRGB cut. What lies outside the photo is left out; `None` where nothing remains.
    pub fn picture(&self, area: Area, most_px: u32) -> Option<Picture> {
        let area = self.inside(area)?;
        let factor = area.width.max(area.height).div_ceil(most_px.max(1)).max(1);
        let averaged = self.averaged(area, factor, 1);
        const STEPS: usize = 1 << 14;
        let table: Vec<u8> =
            (0..=STEPS).map(|i| (255.0 * srgb_from_linear(i as f64 / STEPS as f64)).round() as u8).collect();
        let code = |light: f32| table[(light.clamp(0.0, 1.0) * STEPS as f32).round() as usize];
        let rgb = averaged.linear.par_iter().flat_map_iter(|pixel| pixel.map(code)).collect();
        Some(Picture { width: averaged.width as u32, height: averaged.height as u32, factor, rgb })
    }

    /// The small picture in which a card is looked for: encoded as sRGB, cut to 0..=1. Of large photos every second row,
    /// or fewer, is looked at.
    pub fn preview(&self) -> Preview {
        let factor = self.width_px.max(self.height_px).div_ceil(LONG_SIDE_PX).max(1);
        let whole = self.averaged(self.whole(), factor, (factor / 2).max(1));
        Preview::of_linear(whole.width, whole.height, 1.0 / f64::from(factor), whole.linear)
    }

    fn inside(&self, area: Area) -> Option<Area> {
        let (x, y) = (area.x.min(self.width_px), area.y.min(self.height_px));
        let width = area.width.min(self.width_px - x);
        let height = area.height.min(self.height_px - y);
        (width > 0 && height > 0).then_some(Area { x, y, width, height })
    }

    /// Averages of blocks of `factor` × `factor` pixels of an area inside the photo, counted from its upright top
    /// left; the last blocks of a row and column may be smaller. Of each block's rows the first is read and every `step`-th
    /// after it.
    pub(crate) fn averaged(&self, area: Area, factor: u32, step: u32) -> Averaged {
        let (factor, step) = (factor.max(1) as usize, step.max(1) as usize);
        match &self.pixels {
            Pixels::Eight(codes) => self.averaged_of(codes, area, factor, step),
            Pixels::Sixteen(codes) => self.averaged_of(codes, area, factor, step),
        }
    }

    fn averaged_of<T: Copy + Into<usize> + Sync>(
        &self,
        codes: &[T],
        area: Area,
        factor: usize,
        step: usize,
    ) -> Averaged {
        let columns = blocks(area.x, area.width, factor);
        let rows = blocks(area.y, area.height, factor);
        let [red, green, blue] = &self.decoding.curves;
        let stride = self.width_px as usize;
        let mut linear = vec![[0f32; 3]; columns.len() * rows.len()];
        linear.par_chunks_mut(columns.len()).zip(&rows).for_each(|(line, &(top, bottom))| {
            for y in (top..bottom).step_by(step) {
                let row = &codes[3 * y * stride..3 * (y + 1) * stride];
                for (sum, &(left, right)) in line.iter_mut().zip(&columns) {
                    let mut part = [0f32; 3];
                    for pixel in row[3 * left..3 * right].chunks_exact(3) {
                        part[0] += red[pixel[0].into()];
                        part[1] += green[pixel[1].into()];
                        part[2] += blue[pixel[2].into()];
                    }
                    for channel in 0..3 {
                        sum[channel] += part[channel];
                    }
                }
            }
            for (sum, &(left, right)) in line.iter_mut().zip(&columns) {
                let count = ((right - left) * (bottom - top).div_ceil(step)) as f32;
                *sum = self.to_working(sum.map(|channel| channel / count));
            }
        });
        Averaged { width: columns.len(), height: rows.len(), linear }
    }
}

/// Ranges of the blocks along one axis.
fn blocks(start: u32, length: u32, factor: usize) -> Vec<(usize, usize)> {
    let (start, end) = (start as usize, (start + length) as usize);
    (start..end).step_by(factor).map(|from| (from, (from + factor).min(end))).collect()
}
