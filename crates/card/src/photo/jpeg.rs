//! JPEG.

use std::borrow::Cow;

use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::{bytestream::ZCursor, colorspace::ColorSpace, options::DecoderOptions};

use super::container::{JpegFrame, jpeg_frame};
use super::decode::{Limits, NO_SENSE, exif_orientation};
use super::stored::{Named, Stored, grey, unsupported};
use super::{Kind, Pixels};
use crate::{Error, Result};

/// Decodes a JPEG.
///
/// Headers are taken as they come, as cameras put odd bytes between them; the picture itself is decoded strictly: where
/// its data break off or make no sense, the rest would be filled with grey, and grey is a colour. An end-of-image marker
/// proves nothing of that, as it may have been put there by a program that mends files. So a picture coded in one go is
/// decoded without its marker, with a few bytes in its place for a decoder that reads ahead: where rows are missing, it
/// runs out of bytes and says so.
///
/// # Errors
/// [`Error::Unsupported`] for grey and CMYK; too large, damaged.
pub(super) fn stored(bytes: &[u8], limits: &Limits) -> Result<Stored> {
    /// Bytes that a decoder reads ahead at most.
    const AHEAD: usize = 16;
    let frame = jpeg_frame(bytes);
    let JpegFrame { components, sequential, end, .. } = frame;
    match components {
        1 => return Err(grey()),
        4 => {
            return Err(unsupported("a CMYK JPEG", "it was made for print; use the photo as the camera saved it"));
        }
        _ => {}
    }
    let bytes: Cow<'_, [u8]> = match end {
        Some(end) if sequential => [&bytes[..end], &[0; AHEAD]].concat().into(),
        _ => bytes.into(),
    };
    let options = DecoderOptions::default()
        .set_strict_mode(false)
        .set_max_width(usize::MAX)
        .set_max_height(usize::MAX)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(&bytes[..]), options);
    decoder.decode_headers().map_err(|error| broken(&error))?;
    let (width, height) = decoder.dimensions().unwrap_or_default();
    let (width, height) = limits.check(Kind::Jpeg, width as u64, height as u64)?;
    let exif = decoder.exif().cloned();
    decoder.set_options(options.set_strict_mode(true));
    let mut pixels = vec![0; decoder.output_buffer_size().unwrap_or_default()];
    decoder.decode_into(&mut pixels).map_err(|error| broken(&error))?;
    Ok(Stored {
        width,
        height,
        orientation: exif.as_deref().map_or(1, exif_orientation),
        icc: decoder.icc_profile(),
        exif,
        named: Named::Nothing,
        pixels: Pixels::Eight(pixels),
        transparent: None,
        colour_steps: frame.colour_steps(),
    })
}

fn broken(error: &DecodeErrors) -> Error {
    match error {
        DecodeErrors::Unsupported(_) => unsupported(
            "a JPEG of a sort that is not known here",
            "save it as a baseline JPEG at full size or as a 16-bit TIFF",
        ),
        // Its end is there, as `check_complete` has seen.
        DecodeErrors::ExhaustedData => {
            Error::Damaged { kind: Kind::Jpeg.name(), why: "part of its picture data is lost or altered".into() }
        }
        _ => Error::Damaged { kind: Kind::Jpeg.name(), why: NO_SENSE.into() },
    }
}

#[cfg(test)]
mod tests {
    use image::codecs::jpeg::JpegEncoder;

    use super::*;

    /// The table of colour in ITU-T T.81, annex K, table K.2 begins with 17 at half quality; a tenth of quality takes five times that
    /// (the practice of the Independent JPEG Group's encoder). The mean of a block is an eighth of its first coefficient (A.3.3).
    #[test]
    fn the_steps_of_colour_are_those_of_its_tables() {
        for (quality, first) in [(50, 17.0), (10, 85.0)] {
            let mut bytes = Vec::new();
            let picture = image::RgbImage::from_pixel(16, 16, image::Rgb([120, 90, 60]));
            JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(&picture).unwrap();
            let stored = stored(&bytes, &Limits::default()).unwrap();
            assert_eq!(stored.colour_steps.codes, [first / 8.0; 2], "quality {quality}");
        }
    }

    /// A frame header as in ITU-T T.81, B.2.2: luma sampled twice as often across as colour, or also down, or as often (A.1.1).
    #[test]
    fn a_block_of_colour_is_as_large_as_its_sampling_says() {
        for (luma, block_px) in [(0x11, 8), (0x21, 16), (0x22, 16), (0x41, 32)] {
            let header = [0xFF, 0xC0, 0, 17, 8, 0, 16, 0, 16, 3, 1, luma, 0, 2, 0x11, 1, 3, 0x11, 1];
            let bytes = [&[0xFF, 0xD8][..], &header, &[0xFF, 0xD9]].concat();
            assert_eq!(jpeg_frame(&bytes).colour_steps().block_px, block_px, "{luma:x}");
        }
    }
}
