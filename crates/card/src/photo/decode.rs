//! Bytes to a [`Photo`].

use std::io::Cursor;
use std::time::Instant;

use image::codecs::{bmp::BmpDecoder, png::PngDecoder, tiff::TiffDecoder, webp::WebPDecoder};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError};

use super::container::{Kind, check_complete, kind_of, png_size};
use super::orientation::upright;
use super::profile::{self, Way};
use super::stored::{Colours, Named, Stored, colours, unsupported};
use super::{Blocks, ColourSteps, Photo, Pixels, earlier, heic, jpeg, jxl, raw, taken};
use crate::{Error, Result};

/// How large a photo may be. Checked against the file's header before memory is taken for the pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels, in millions.
    pub most_megapixels: u32,
}

impl Default for Limits {
    /// 160 megapixels: above any phone or camera of a shop, and about half a gigabyte of 8-bit pixels.
    fn default() -> Self {
        Self { most_megapixels: 160 }
    }
}

impl Limits {
    /// The size that a header states, when there is something in it and it is not too much.
    pub(super) fn check(&self, kind: Kind, width: u64, height: u64) -> Result<(u32, u32)> {
        let most = u64::from(self.most_megapixels) * 1_000_000;
        let side = |length: u64| u32::try_from(length).unwrap_or(u32::MAX);
        match width.checked_mul(height) {
            Some(0) => Err(Error::Damaged { kind: kind.name(), why: "it has no pixels".into() }),
            Some(pixels) if pixels <= most => Ok((side(width), side(height))),
            _ => Err(Error::TooLarge {
                kind: kind.name(),
                width_px: side(width),
                height_px: side(height),
                most_megapixels: self.most_megapixels,
            }),
        }
    }
}

/// Decodes a photo by its content, whatever its name: JPEG, PNG, TIFF, WebP or BMP, HEIC, JPEG XL and camera raw where they are
/// built in, 8 or 16 bit, in colour.
///
/// It is turned upright and the embedded profile is followed; without one, sRGB is assumed and [`Photo::profile`] says
/// so. A transparent pixel keeps the colour that is stored, but none is to be told by it ([`Photo::transparent`]).
///
/// # Errors
/// One line each for content that is no photo, is cut off, damaged, too large, grey, CMYK or of a kind not read.
pub fn decode(bytes: &[u8], limits: &Limits) -> Result<Photo> {
    let start = Instant::now();
    let kind = kind_of(bytes)?;
    check_complete(kind, bytes)?;
    let stored = match kind {
        Kind::Jpeg => jpeg::stored(bytes, limits),
        Kind::Heic => heic::stored(bytes, limits),
        Kind::JpegXl => jxl::stored(bytes, limits),
        Kind::Raw => raw::stored(bytes, limits),
        Kind::Png => {
            // Its decoder takes memory, and words of its own, for what no picture can be.
            png_size(bytes).map_or(Ok((0, 0)), |(width, height)| limits.check(kind, width.into(), height.into()))?;
            general(kind, PngDecoder::new(Cursor::new(bytes)), limits)
        }
        Kind::Tiff => general(kind, TiffDecoder::new(Cursor::new(bytes)), limits),
        Kind::WebP => general(kind, WebPDecoder::new(Cursor::new(bytes)), limits),
        Kind::Bmp => general(kind, BmpDecoder::new(Cursor::new(bytes)), limits),
    }?;
    let bits = if matches!(stored.pixels, Pixels::Eight(_)) { 8 } else { 16 };
    let exif = stored.exif.and_then(|exif| exif::Reader::new().read_raw(exif).ok());
    let named = match stored.named {
        Named::Nothing if exif.as_ref().is_some_and(says_adobe_rgb) => Named::AdobeRgb,
        named => named,
    };
    let (profile, way) = profile::way(stored.icc.as_deref(), named, 1 << bits);
    let size = (stored.width, stored.height);
    let transparent = stored.transparent.map(|marks| marks_upright(&marks, size, stored.orientation));
    let (pixels, (width_px, height_px)) = match stored.pixels {
        Pixels::Eight(codes) => {
            let (codes, size) = upright(codes, size, stored.orientation);
            (Pixels::Eight(codes), size)
        }
        Pixels::Sixteen(codes) => {
            let (codes, size) = upright(codes, size, stored.orientation);
            (Pixels::Sixteen(codes), size)
        }
    };
    let (pixels, decoding, clipped) = match way {
        Way::Curves(decoding) => (pixels, decoding, None),
        Way::Tables(tables) => {
            let followed = tables.follow(&pixels).ok_or_else(|| Error::Damaged {
                kind: kind.name(),
                why: format!("the tables of its profile '{}' do not hold together", profile.name),
            })?;
            (followed.pixels, tables.decoding, Some(followed.clipped))
        }
    };
    let taken = exif.as_ref().and_then(taken::taken);
    let mut photo = Photo {
        width_px,
        height_px,
        profile,
        kind,
        taken,
        decode_seconds: 0.0,
        bits,
        pixels,
        decoding,
        clipped,
        transparent,
        blocks: None,
        colour_steps: stored.colour_steps,
    };
    photo.blocks = Blocks::of(&photo);
    if photo.colour_steps.are_fine() {
        photo.colour_steps = earlier::colour_steps(&photo).unwrap_or(photo.colour_steps);
    }
    photo.decode_seconds = start.elapsed().as_secs_f64();
    Ok(photo)
}

/// Marks of pixels as the upright photo has them.
fn marks_upright(marks: &[bool], size: (u32, u32), orientation: u8) -> Vec<bool> {
    let three: Vec<u8> = marks.iter().flat_map(|&mark| [u8::from(mark); 3]).collect();
    upright(three, size, orientation).0.chunks_exact(3).map(|three| three[0] == 1).collect()
}

fn general<'a>(
    kind: Kind,
    opened: std::result::Result<impl ImageDecoder + 'a, ImageError>,
    limits: &Limits,
) -> Result<Stored> {
    let decoder = opened.map_err(|error| broken(kind, &error))?;
    from_decoder(kind, Box::new(decoder), limits)
}

/// Decodes through the traits that most decoders share.
fn from_decoder(kind: Kind, mut decoder: Box<dyn ImageDecoder + '_>, limits: &Limits) -> Result<Stored> {
    /// Bytes a decoder may take for each pixel: four channels of 32 bits.
    const BYTES_PER_PIXEL: u64 = 16;
    let (width, height) = decoder.dimensions();
    limits.check(kind, width.into(), height.into())?;
    let mut allowed = image::Limits::no_limits();
    allowed.max_alloc = Some(u64::from(width) * u64::from(height) * BYTES_PER_PIXEL + (64 << 20));
    decoder.set_limits(allowed).map_err(|error| broken(kind, &error))?;
    let icc = decoder.icc_profile().ok().flatten();
    let exif = decoder.exif_metadata().ok().flatten();
    let orientation = decoder.orientation().map_or(1, Orientation::to_exif);
    let picture = DynamicImage::from_decoder(decoder).map_err(|error| broken(kind, &error))?;
    let Colours { pixels, transparent } = colours(picture)?;
    Ok(Stored {
        width,
        height,
        orientation,
        icc,
        exif,
        named: Named::Nothing,
        pixels,
        transparent,
        colour_steps: ColourSteps::default(),
    })
}

/// The orientation that EXIF data state, 1 to 8.
pub(super) fn exif_orientation(exif: &[u8]) -> u8 {
    Orientation::from_exif_chunk(exif).map_or(1, Orientation::to_exif)
}

/// Whether the camera says 'Adobe RGB' in the way of the file-system standard for cameras: interoperability index R03.
///
/// # Source
/// CIPA DC-009 (DCF 2.0), optional colour space; EXIF tag 0x0001 of the interoperability directory.
fn says_adobe_rgb(exif: &exif::Exif) -> bool {
    exif.get_field(exif::Tag::InteroperabilityIndex, exif::In::PRIMARY)
        .is_some_and(|field| matches!(&field.value, exif::Value::Ascii(text) if text.first().is_some_and(|text| text.starts_with(b"R03"))))
}

/// What is said of data that a decoder makes no sense of: its own words are for those who build decoders.
pub(super) const NO_SENSE: &str = "its picture data make no sense";

/// A decoder's complaint as one line of ours.
fn broken(kind: Kind, error: &ImageError) -> Error {
    match error {
        ImageError::Unsupported(_) => unsupported(
            format!("a {} of a sort that is not known here", kind.name()),
            "save it as a full-size JPEG or a 16-bit TIFF",
        ),
        ImageError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => {
            Error::Truncated { kind: kind.name(), detail: "its end is missing".into() }
        }
        _ => Error::Damaged { kind: kind.name(), why: NO_SENSE.into() },
    }
}
