//! How a photo is stored.

use crate::{Error, Rendered};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use nalgebra::Matrix3;

/// Colour space a photo is stored in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// sRGB, no profile embedded.
    Plain,
    /// Wide primaries of phones (SMPTE EG 432-1 primaries, D65, the sRGB curve), with an embedded ICC profile.
    Wide,
}

impl Profile {
    /// CIE 1931 chromaticities of red, green, blue.
    pub(crate) const fn primaries(self) -> [[f64; 2]; 3] {
        match self {
            Self::Plain => [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]],
            Self::Wide => [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]],
        }
    }
}

/// How a photo is stored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FileOptions {
    /// JPEG quality, 1–100.
    pub quality: u8,
    /// EXIF orientation, 1–8; the stored pixels are turned so that it makes them upright again. 1 writes no EXIF.
    pub orientation: u8,
    /// Colour space.
    pub profile: Profile,
}

/// The photo as the bytes of a JPEG file.
///
/// # Errors
/// [`Error::Image`] when the encoder refuses it.
pub fn jpeg(rendered: &Rendered, options: &FileOptions) -> Result<Vec<u8>, Error> {
    let (width, height, rgb) = turned(rendered, options.orientation);
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, options.quality);
    if options.profile == Profile::Wide {
        encoder.set_icc_profile(icc(options.profile)).map_err(image::ImageError::Unsupported)?;
    }
    if options.orientation > 1 {
        encoder.set_exif_metadata(exif(options.orientation)).map_err(image::ImageError::Unsupported)?;
    }
    encoder.write_image(&rgb, width, height, ExtendedColorType::Rgb8)?;
    Ok(bytes)
}

/// The pixels as stored, so that the EXIF orientation turns them upright.
///
/// # Source
/// CIPA DC-008 (Exif 2.32), tag 0x0112: which side of the picture the stored row 0 and column 0 are.
fn turned(rendered: &Rendered, orientation: u8) -> (u32, u32, Vec<u8>) {
    let (w, h) = (rendered.width_px as usize, rendered.height_px as usize);
    let swapped = orientation >= 5;
    let (sw, sh) = if swapped { (h, w) } else { (w, h) };
    let mut out = Vec::with_capacity(rendered.rgb.len());
    for r in 0..sh {
        for c in 0..sw {
            let (x, y) = match orientation {
                2 => (w - 1 - c, r),
                3 => (w - 1 - c, h - 1 - r),
                4 => (c, h - 1 - r),
                5 => (r, c),
                6 => (w - 1 - r, c),
                7 => (w - 1 - r, h - 1 - c),
                8 => (r, h - 1 - c),
                _ => (c, r),
            };
            let at = (y * w + x) * 3;
            out.extend_from_slice(rendered.rgb.get(at..at + 3).unwrap_or(&[0; 3]));
        }
    }
    (sw as u32, sh as u32, out)
}

/// A TIFF structure with the one tag Orientation.
fn exif(orientation: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    tiff.extend_from_slice(&[orientation, 0, 0, 0, 0, 0, 0, 0]);
    tiff
}

/// A matrix profile with the sRGB curve.
///
/// # Source
/// ICC.1:2022 (version 4): header 7.2, rXYZ 9.2, parametric curve type 3 10.18, chromatic adaptation 9.2.15.
fn icc(profile: Profile) -> Vec<u8> {
    let d50 = [0.9642, 1.0, 0.8249];
    let to_xyz = crate::colorimetry::xyz_from_rgb(profile.primaries(), [0.3127, 0.3290]);
    let white = to_xyz * nalgebra::Vector3::new(1.0, 1.0, 1.0);
    let adapt = crate::colorimetry::adaptation(white.into(), d50);
    let colorants: Matrix3<f64> = adapt * to_xyz;
    let fixed = |v: f64| ((v * 65536.0).round() as i32).to_be_bytes();
    let typed = |kind: &[u8; 4], values: &[f64]| {
        let mut tag = kind.to_vec();
        tag.extend_from_slice(&[0; 4]);
        values.iter().for_each(|v| tag.extend_from_slice(&fixed(*v)));
        tag
    };
    let text = |words: &str| {
        let mut tag = b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenGB".to_vec();
        tag.extend_from_slice(&(words.len() as u32 * 2).to_be_bytes());
        tag.extend_from_slice(&28u32.to_be_bytes());
        words.encode_utf16().for_each(|unit| tag.extend_from_slice(&unit.to_be_bytes()));
        tag
    };
    let mut curve = b"para\0\0\0\0\0\x03\0\0".to_vec();
    [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045].iter().for_each(|v| curve.extend_from_slice(&fixed(*v)));
    let adapt_rows: Vec<f64> = adapt.transpose().iter().copied().collect();
    let column = |i: usize| typed(b"XYZ ", &[colorants[(0, i)], colorants[(1, i)], colorants[(2, i)]]);
    let tags: Vec<(&[u8; 4], Vec<u8>)> = vec![
        (b"desc", text("Wide test RGB")),
        (b"cprt", text("No copyright, for tests")),
        (b"wtpt", typed(b"XYZ ", &d50)),
        (b"chad", typed(b"sf32", &adapt_rows)),
        (b"rXYZ", column(0)),
        (b"gXYZ", column(1)),
        (b"bXYZ", column(2)),
        (b"rTRC", curve.clone()),
        (b"gTRC", curve.clone()),
        (b"bTRC", curve),
    ];
    let mut directory = (tags.len() as u32).to_be_bytes().to_vec();
    let mut data: Vec<u8> = Vec::new();
    let first = 128 + 4 + 12 * tags.len();
    for (name, tag) in &tags {
        directory.extend_from_slice(*name);
        directory.extend_from_slice(&((first + data.len()) as u32).to_be_bytes());
        directory.extend_from_slice(&(tag.len() as u32).to_be_bytes());
        data.extend_from_slice(tag);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    let mut profile = vec![0u8; 128];
    profile[0..4].copy_from_slice(&((first + data.len()) as u32).to_be_bytes());
    profile[8..12].copy_from_slice(&[4, 0x40, 0, 0]);
    profile[12..24].copy_from_slice(b"mntrRGB XYZ ");
    profile[24..36].copy_from_slice(&[7, 230, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0]);
    profile[36..40].copy_from_slice(b"acsp");
    for (i, v) in d50.iter().enumerate() {
        profile[68 + 4 * i..72 + 4 * i].copy_from_slice(&fixed(*v));
    }
    profile.extend(directory);
    profile.extend(data);
    profile
}
