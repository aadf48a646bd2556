//! A picture as its file stores it, before it is turned upright and its colours are followed.

use image::DynamicImage;

use super::{ColourSteps, Pixels};
use crate::{Error, Result};

/// What a decoder hands over.
pub(super) struct Stored {
    /// Columns as stored.
    pub(super) width: u32,
    /// Rows as stored.
    pub(super) height: u32,
    /// EXIF orientation, 1 to 8; 1 where the decoder has turned the picture already.
    pub(super) orientation: u8,
    /// An embedded ICC profile.
    pub(super) icc: Option<Vec<u8>>,
    /// EXIF data from their TIFF header on.
    pub(super) exif: Option<Vec<u8>>,
    /// Colours named in another way than by a profile.
    pub(super) named: Named,
    /// Three channels per pixel.
    pub(super) pixels: Pixels,
    /// Which pixels are transparent, wholly or by more than a fiftieth; none where all are opaque.
    pub(super) transparent: Option<Vec<bool>>,
    /// As in [`super::Photo::colour_steps`].
    pub(super) colour_steps: ColourSteps,
}

/// Colours that a file names in place of a profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Named {
    /// It names none.
    Nothing,
    /// Adobe RGB (1998), by the EXIF data.
    AdobeRgb,
    /// sRGB.
    #[cfg(feature = "heic")]
    Srgb,
    /// Display P3: the primaries of SMPTE EG 432-1, white D65, the sRGB curve.
    #[cfg(feature = "heic")]
    DisplayP3,
    /// The camera's own colours, linear, and the matrix that takes them to linear sRGB.
    #[cfg(feature = "raw")]
    Camera(nalgebra::Matrix3<f64>),
}

/// A decoded picture's colours, and where there are none.
pub(super) struct Colours {
    pub(super) pixels: Pixels,
    pub(super) transparent: Option<Vec<bool>>,
}

/// The colour channels of a decoded picture, without a second copy, and which pixels are not opaque.
pub(super) fn colours(picture: DynamicImage) -> Result<Colours> {
    let opaque = |pixels| Colours { pixels, transparent: None };
    match picture {
        DynamicImage::ImageRgb8(picture) => Ok(opaque(Pixels::Eight(picture.into_raw()))),
        DynamicImage::ImageRgba8(picture) => {
            let (pixels, transparent) = three_of_four(picture.into_raw(), 250);
            Ok(Colours { pixels: Pixels::Eight(pixels), transparent })
        }
        DynamicImage::ImageRgb16(picture) => Ok(opaque(Pixels::Sixteen(picture.into_raw()))),
        DynamicImage::ImageRgba16(picture) => {
            let (pixels, transparent) = three_of_four(picture.into_raw(), 250 * 257);
            Ok(Colours { pixels: Pixels::Sixteen(pixels), transparent })
        }
        DynamicImage::ImageRgb32F(_) | DynamicImage::ImageRgba32F(_) => {
            Err(unsupported("a picture in floating-point numbers", "save it as a 16-bit TIFF or PNG"))
        }
        _ => Err(grey()),
    }
}

/// The colours, and which pixels are transparent: opaque by less than `opaque_from`, 250 of 255. Editing leaves pixels at 254 or so that
/// show nothing of what lies behind, and whose colour is stored as it was; own judgement.
fn three_of_four<T: Copy + PartialOrd>(mut pixels: Vec<T>, opaque_from: T) -> (Vec<T>, Option<Vec<bool>>) {
    let marks: Vec<bool> = pixels.chunks_exact(4).map(|pixel| pixel[3] < opaque_from).collect();
    let count = pixels.len() / 4;
    for pixel in 0..count {
        pixels.copy_within(4 * pixel..4 * pixel + 3, 3 * pixel);
    }
    pixels.truncate(3 * count);
    pixels.shrink_to_fit();
    let any = marks.contains(&true);
    (pixels, any.then_some(marks))
}

pub(super) fn grey() -> Error {
    unsupported("a grey photo", "colour needs a colour photo; switch the camera from black and white")
}

pub(super) fn unsupported(what: impl Into<String>, instead: &str) -> Error {
    Error::Unsupported { what: what.into(), instead: instead.into() }
}
