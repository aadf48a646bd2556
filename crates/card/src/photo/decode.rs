//! Bytes to a [`Photo`].

use std::io::Cursor;
use std::time::Instant;

use image::codecs::{bmp::BmpDecoder, jpeg::JpegDecoder, png::PngDecoder, tiff::TiffDecoder, webp::WebPDecoder};
use image::{DynamicImage, ImageDecoder, ImageError};

use super::container::{Kind, check_complete, jpeg_components, kind_of};
use super::{Photo, Pixels, Upright, profile};
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

/// Decodes a photo by its content, whatever its name: JPEG, PNG, TIFF, WebP or BMP, 8 or 16 bit, in colour.
///
/// The EXIF orientation is applied, the embedded profile followed; without one, sRGB is assumed and
/// [`Photo::profile`] says so. Transparency is ignored.
///
/// # Errors
/// One line each for content that is no photo, is cut off, damaged, too large, grey, CMYK or of a kind not read.
pub fn decode(bytes: &[u8], limits: &Limits) -> Result<Photo> {
    let start = Instant::now();
    let kind = kind_of(bytes)?;
    check_complete(kind, bytes)?;
    let opened = match kind {
        Kind::Jpeg => {
            if jpeg_components(bytes) == Some(4) {
                return Err(unsupported("a CMYK JPEG", "it was made for print; use the photo as the camera saved it"));
            }
            JpegDecoder::new(Cursor::new(bytes)).map(boxed)
        }
        Kind::Png => PngDecoder::new(Cursor::new(bytes)).map(boxed),
        Kind::Tiff => TiffDecoder::new(Cursor::new(bytes)).map(boxed),
        Kind::WebP => WebPDecoder::new(Cursor::new(bytes)).map(boxed),
        Kind::Bmp => BmpDecoder::new(Cursor::new(bytes)).map(boxed),
    };
    let decoder = opened.map_err(|error| broken(kind, &error))?;
    from_decoder(kind, decoder, limits, start)
}

fn boxed<'a>(decoder: impl ImageDecoder + 'a) -> Box<dyn ImageDecoder + 'a> {
    Box::new(decoder)
}

fn from_decoder(kind: Kind, mut decoder: Box<dyn ImageDecoder + '_>, limits: &Limits, start: Instant) -> Result<Photo> {
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > u64::from(limits.most_megapixels) * 1_000_000 {
        return Err(Error::TooLarge {
            kind: kind.name(),
            width_px: width,
            height_px: height,
            most_megapixels: limits.most_megapixels,
        });
    }
    if pixels == 0 {
        return Err(Error::Damaged { kind: kind.name(), why: "it has no pixels".into() });
    }
    let mut allowed = image::Limits::no_limits();
    allowed.max_alloc = Some(pixels * 16 + (64 << 20));
    decoder.set_limits(allowed).map_err(|error| broken(kind, &error))?;

    let icc = decoder.icc_profile().ok().flatten();
    let exif = decoder.exif_metadata().ok().flatten();
    let orientation = decoder.orientation().map_or(1, image::metadata::Orientation::to_exif);
    let picture = DynamicImage::from_decoder(decoder).map_err(|error| broken(kind, &error))?;
    let pixels = colour_pixels(picture)?;
    let codes = if matches!(pixels, Pixels::Eight(_)) { 1 << 8 } else { 1 << 16 };
    let (profile, decoding) = profile::decoding(icc.as_deref(), exif.is_some_and(says_adobe_rgb), codes)?;
    let upright = Upright::new(width, height, orientation);
    Ok(Photo {
        width_px: upright.width_px,
        height_px: upright.height_px,
        profile,
        kind,
        decode_seconds: start.elapsed().as_secs_f64(),
        upright,
        pixels,
        decoding,
    })
}

/// The colour channels of a decoded picture, without transparency and without a second copy.
fn colour_pixels(picture: DynamicImage) -> Result<Pixels> {
    match picture {
        DynamicImage::ImageRgb8(picture) => Ok(Pixels::Eight(picture.into_raw())),
        DynamicImage::ImageRgba8(picture) => Ok(Pixels::Eight(three_of_four(picture.into_raw()))),
        DynamicImage::ImageRgb16(picture) => Ok(Pixels::Sixteen(picture.into_raw())),
        DynamicImage::ImageRgba16(picture) => Ok(Pixels::Sixteen(three_of_four(picture.into_raw()))),
        DynamicImage::ImageRgb32F(_) | DynamicImage::ImageRgba32F(_) => {
            Err(unsupported("a picture in floating-point numbers", "save it as a 16-bit TIFF or PNG"))
        }
        _ => Err(unsupported("a grey photo", "colour needs a colour photo; switch the camera from black and white")),
    }
}

fn three_of_four<T: Copy>(mut pixels: Vec<T>) -> Vec<T> {
    let count = pixels.len() / 4;
    for pixel in 0..count {
        pixels.copy_within(4 * pixel..4 * pixel + 3, 3 * pixel);
    }
    pixels.truncate(3 * count);
    pixels.shrink_to_fit();
    pixels
}

/// Whether the camera says 'Adobe RGB' in the way of the file-system standard for cameras: interoperability index R03.
///
/// # Source
/// CIPA DC-009 (DCF 2.0), optional colour space; EXIF tag 0x0001 of the interoperability directory.
fn says_adobe_rgb(exif: Vec<u8>) -> bool {
    exif::Reader::new().read_raw(exif).is_ok_and(|exif| {
        exif.get_field(exif::Tag::InteroperabilityIndex, exif::In::PRIMARY)
            .is_some_and(|field| matches!(&field.value, exif::Value::Ascii(text) if text.first().is_some_and(|text| text.starts_with(b"R03"))))
    })
}

fn unsupported(what: &str, instead: &str) -> Error {
    Error::Unsupported { what: what.into(), instead: instead.into() }
}

/// A decoder's complaint as one line of ours.
fn broken(kind: Kind, error: &ImageError) -> Error {
    let why: String = error.to_string().split_whitespace().collect::<Vec<_>>().join(" ");
    let why: String = why.chars().take(160).collect();
    match error {
        ImageError::Unsupported(_) => Error::Unsupported {
            what: format!("a {} of this sort ({why})", kind.name()),
            instead: "save it as a full-size JPEG or a 16-bit TIFF".into(),
        },
        ImageError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => {
            Error::Truncated { kind: kind.name(), detail: "its end is missing".into() }
        }
        _ => Error::Damaged { kind: kind.name(), why },
    }
}
