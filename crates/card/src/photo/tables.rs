//! Profiles made of tables: each pixel is taken through them once, into codes of a wide space with a matrix and curves.

use std::sync::Arc;

use moxcms::{ColorProfile, Layout, LutType, LutWarehouse, RenderingIntent, TransformExecutor, TransformOptions};
use rayon::prelude::*;

use super::{Pixels, clipped_from, profile::Decoding, profile::matrix_shaper};

/// Pixels taken through the tables at once.
const RUN: usize = 1 << 14;

/// The way through a profile's tables.
#[derive(Clone)]
pub(super) struct Tables {
    to_wide: Arc<dyn TransformExecutor<u16> + Send + Sync>,
    /// Of the wide space's 16-bit codes.
    pub(super) decoding: Decoding,
}

/// Pixels that went through it.
pub(super) struct Followed {
    /// Codes of the wide space.
    pub(super) pixels: Pixels,
    /// For each pixel the channels that were at the top of their range as stored, red in the lowest bit.
    pub(super) clipped: Vec<u8>,
}

impl Tables {
    /// The relative colorimetric table of a profile for RGB, in its absence the perceptual one; `None` where it has neither or
    /// they are damaged. The profile comes with its bytes.
    ///
    /// The wide space is ROMM RGB, whose primaries hold the colours of wood and of any card; its curve is near that of lightness, so
    /// that little is lost between the points of a table and nothing that can be seen in 16-bit codes.
    ///
    /// # Source
    /// ICC.1:2022, 8.10.2 (which table goes before which, and tables before the matrix), ISO 22028-2 (ROMM RGB).
    pub(super) fn of(profile: &ColorProfile, icc: &[u8]) -> Option<Self> {
        let table = profile.lut_a_to_b_colorimetric.clone().or(profile.lut_a_to_b_perceptual.clone())?;
        let mut tables = ColorProfile::new_from_slice(&with_version_of(&table, icc)).ok()?;
        tables.lut_a_to_b_colorimetric = Some(table);
        let wide = ColorProfile::new_pro_photo_rgb();
        let options =
            TransformOptions { rendering_intent: RenderingIntent::RelativeColorimetric, ..TransformOptions::default() };
        let to_wide = tables.create_transform_16bit(Layout::Rgb, &wide, Layout::Rgb, options).ok()?;
        Some(Self { to_wide, decoding: matrix_shaper(&wide, 1 << 16)? })
    }

    /// Takes pixels through; `None` where the tables cannot be used after all.
    pub(super) fn follow(&self, pixels: &Pixels) -> Option<Followed> {
        match pixels {
            // The same share of the range in 16 bits: 255 · 257 = 65 535.
            Pixels::Eight(codes) => self.follow_codes(codes, u8::MAX.into(), |code| u16::from(code) * 257),
            Pixels::Sixteen(codes) => self.follow_codes(codes, u16::MAX.into(), |code| code),
        }
    }

    fn follow_codes<T: Copy + Into<usize> + Sync>(
        &self,
        codes: &[T],
        top: usize,
        widened: impl Fn(T) -> u16 + Sync,
    ) -> Option<Followed> {
        let from = clipped_from(top);
        let mut wide = vec![0u16; codes.len()];
        let mut clipped = vec![0u8; codes.len() / 3];
        let runs = wide.par_chunks_mut(3 * RUN).zip(clipped.par_chunks_mut(RUN)).zip(codes.par_chunks(3 * RUN));
        runs.try_for_each(|((wide, clipped), codes)| {
            for (flags, pixel) in clipped.iter_mut().zip(codes.chunks_exact(3)) {
                *flags = (0..3).map(|channel| u8::from(pixel[channel].into() >= from) << channel).sum();
            }
            let codes: Vec<u16> = codes.iter().map(|&code| widened(code)).collect();
            self.to_wide.transform(&codes, wide).ok()
        })?;
        Some(Followed { pixels: Pixels::Sixteen(wide), clipped })
    }
}

/// The profile's bytes with the version by which the library decodes CIELAB as the type of the table wants it.
///
/// CIELAB is encoded by the type: `lut16Type` keeps the legacy encoding in version 4 too, and `lut8Type` never had it. The library
/// goes by the version alone; left to that, colours would be off by up to one unit.
///
/// # Source
/// ICC.1:2022, 6.3.4.2 and 10.10 (legacy 16-bit encoding), 10.11; the version is byte 8 of the header (7.2.4).
fn with_version_of(table: &LutWarehouse, icc: &[u8]) -> Vec<u8> {
    const VERSION: usize = 8;
    let version = match table {
        LutWarehouse::Lut(table) if table.lut_type == LutType::Lut16 => 2,
        _ => 4,
    };
    let mut bytes = icc.to_vec();
    if let Some(byte) = bytes.get_mut(VERSION) {
        *byte = version;
    }
    bytes
}
