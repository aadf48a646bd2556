//! A photo: decoded by content, upright, its profile followed, its pixels kept as they came.
//!
//! Pixels stay 8 or 16 bit; a table per channel turns a code into linear light, and a matrix, where the photo's
//! primaries are not those of sRGB, into the working RGB: the sRGB primaries, linear and unbounded. Where the profile is made
//! of tables, pixels are taken through them once and kept as 16-bit codes of a wide space. Pixel (0, 0) is at the top left of
//! the upright photo; its centre lies at (0.5, 0.5) in photo pixels.

mod blocks;
mod container;
mod decode;
mod earlier;
mod heic;
mod jpeg;
mod jxl;
mod orientation;
mod profile;
mod raw;
mod reduce;
mod stored;
mod tables;
mod taken;

use std::ops::Range;

use colour::calibration::Working;

pub use container::Kind;
pub use decode::{Limits, decode};
pub use profile::{Profile, ProfileOrigin};
pub use reduce::{Area, Picture};

pub(crate) use blocks::Blocks;
pub(crate) use earlier::COLOUR_BY_RGB;
use profile::Decoding;

/// Share of the code range from which on a channel counts as clipped: cameras and JPEG leave the last codes ragged.
const CLIPPED_FROM: f64 = 0.99;

/// A decoded photo.
#[derive(Clone, Debug)]
pub struct Photo {
    /// Width of the upright photo.
    pub width_px: u32,
    /// Height of the upright photo.
    pub height_px: u32,
    /// The colour profile that was followed.
    pub profile: Profile,
    /// What kind of file it was.
    pub kind: Kind,
    /// When it was taken, as the camera's clock had it: `2026-03-05T14:02:11`, with its offset from UTC where that is noted.
    pub taken: Option<String>,
    /// Seconds it took to decode.
    pub decode_seconds: f64,
    bits: u8,
    pixels: Pixels,
    decoding: Decoding,
    /// Which channels of each pixel are at the top of their range, red in the lowest bit; none where the codes say so.
    clipped: Option<Vec<u8>>,
    /// Which pixels are transparent, wholly or by more than a fiftieth; none where all are opaque.
    transparent: Option<Vec<bool>>,
    /// Its blocks, if it has any.
    pub(crate) blocks: Option<Blocks>,
    /// How coarsely its colour is stored, or was when it was a JPEG before.
    pub(crate) colour_steps: ColourSteps,
}

/// How coarsely the colour of a JPEG is stored; nothing in other files.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ColourSteps {
    /// Codes, of 255, between two values that the blueness and the redness of a block can have on average (Cb and Cr).
    pub(crate) codes: [f64; 2],
    /// Longer side of such a block, in pixels of the picture.
    pub(crate) block_px: u32,
}

impl ColourSteps {
    /// Whether what is rounded off matters so little that an earlier rounding may have been coarser.
    fn are_fine(self) -> bool {
        self.codes.into_iter().all(|step| step < earlier::FINEST)
    }
}

/// Three channels per pixel, in the codes that the decoding is for, row by row of the upright photo.
#[derive(Clone, Debug)]
enum Pixels {
    Eight(Vec<u8>),
    Sixteen(Vec<u16>),
}

impl Photo {
    /// Bits per channel as stored: 8 or 16.
    pub fn bits(&self) -> u8 {
        self.bits
    }

    /// The space [`Photo::linear`] is in: linear sRGB at D50.
    pub fn working(&self) -> Working {
        Working::srgb()
    }

    /// The pixel at upright column `x` and row `y` in linear working RGB; outside the photo the nearest pixel.
    pub fn linear(&self, x: u32, y: u32) -> [f32; 3] {
        let codes = self.codes(x, y);
        let light = [0, 1, 2].map(|channel| self.decoding.curves[channel][codes[channel]]);
        self.to_working(light)
    }

    /// Luma of that pixel as a share of its range, as JPEG reckons it from the codes: what is stored with less detail, the colour,
    /// has no part in it. None where a channel is within a hundredth of an end of its range.
    ///
    /// # Source
    /// ITU-R BT.601 (weights), as in ITU-T T.871.
    pub(crate) fn luma(&self, x: u32, y: u32) -> Option<f32> {
        const END: f32 = 0.01;
        let top = self.range() as f32;
        let [red, green, blue] = self.codes(x, y).map(|code| code as f32 / top);
        let whole = [red, green, blue].iter().all(|code| (END..=1.0 - END).contains(code));
        whole.then_some(0.299 * red + 0.587 * green + 0.114 * blue)
    }

    /// Which channels of that pixel are at the top of their range, as stored.
    pub fn clipped(&self, x: u32, y: u32) -> [bool; 3] {
        if let Some(clipped) = &self.clipped {
            let flags = clipped[self.index(x, y)];
            return [0, 1, 2].map(|channel| flags >> channel & 1 == 1);
        }
        let from = self.clipped_from();
        self.codes(x, y).map(|code| code >= from)
    }

    /// Whether that pixel is transparent, wholly or by more than a fiftieth: the colour that is stored for it is none that was seen.
    pub fn transparent(&self, x: u32, y: u32) -> bool {
        self.transparent.as_ref().is_some_and(|marks| marks[self.index(x, y)])
    }

    /// Whether any pixel is.
    pub(crate) fn has_transparent(&self) -> bool {
        self.transparent.is_some()
    }

    /// Share of pixels that are transparent.
    pub(crate) fn transparent_share(&self) -> f64 {
        let marks = self.transparent.as_deref().unwrap_or_default();
        marks.iter().filter(|mark| **mark).count() as f64 / marks.len().max(1) as f64
    }

    /// Share of pixels of which a channel is at the top of its range, by every seventh pixel of every seventh row.
    pub(crate) fn clipped_share(&self) -> f64 {
        const STEP: usize = 7;
        let rows = (0..self.height_px).step_by(STEP);
        let pixels = rows.flat_map(|y| (0..self.width_px).step_by(STEP).map(move |x| (x, y)));
        let (clipped, all) = pixels.fold((0usize, 0usize), |(clipped, all), (x, y)| {
            (clipped + usize::from(self.clipped(x, y).contains(&true)), all + 1)
        });
        clipped as f64 / all.max(1) as f64
    }

    /// Calls `each` with the linear working RGB of the pixels of one upright row from left to right, and whether a channel
    /// of it is at the top of its range. The columns must lie inside the photo.
    pub(crate) fn row(&self, y: u32, columns: Range<u32>, each: impl FnMut([f32; 3], bool)) {
        match &self.pixels {
            Pixels::Eight(codes) => self.row_of(codes, y, columns, each),
            Pixels::Sixteen(codes) => self.row_of(codes, y, columns, each),
        }
    }

    fn row_of<T: Copy + Into<usize>>(
        &self,
        codes: &[T],
        y: u32,
        columns: Range<u32>,
        mut each: impl FnMut([f32; 3], bool),
    ) {
        let first = y as usize * self.width_px as usize + columns.start as usize;
        let from = self.clipped_from();
        let [red, green, blue] = &self.decoding.curves;
        let flags = self.clipped.as_deref().map(|flags| &flags[first..]);
        for (k, pixel) in codes[3 * first..][..3 * columns.len()].chunks_exact(3).enumerate() {
            let pixel: [usize; 3] = [pixel[0].into(), pixel[1].into(), pixel[2].into()];
            let light = self.to_working([red[pixel[0]], green[pixel[1]], blue[pixel[2]]]);
            let clipped = match flags {
                Some(flags) => flags[k] != 0,
                None => pixel[0].max(pixel[1]).max(pixel[2]) >= from,
            };
            each(light, clipped);
        }
    }

    fn index(&self, x: u32, y: u32) -> usize {
        y.min(self.height_px - 1) as usize * self.width_px as usize + x.min(self.width_px - 1) as usize
    }

    fn codes(&self, x: u32, y: u32) -> [usize; 3] {
        let at = 3 * self.index(x, y);
        match &self.pixels {
            Pixels::Eight(codes) => [codes[at], codes[at + 1], codes[at + 2]].map(usize::from),
            Pixels::Sixteen(codes) => [codes[at], codes[at + 1], codes[at + 2]].map(usize::from),
        }
    }

    /// The largest code.
    fn range(&self) -> usize {
        self.decoding.curves[0].len() - 1
    }

    fn clipped_from(&self) -> usize {
        clipped_from(self.range())
    }

    #[inline]
    fn to_working(&self, light: [f32; 3]) -> [f32; 3] {
        match &self.decoding.to_working {
            Some(matrix) => (matrix * nalgebra::Vector3::from(light)).into(),
            None => light,
        }
    }
}

/// The first code that counts as clipped in a range up to `top`.
fn clipped_from(top: usize) -> usize {
    (top as f64 * CLIPPED_FROM).ceil() as usize
}
