//! Camera raw and DNG: what the sensor counted, as linear light in the camera's own colours.
//!
//! Built in with the feature `raw` alone, as its decoder is under the LGPL.

use super::decode::Limits;
use super::stored::Stored;
use crate::Result;

/// Decodes a raw photo: black taken off, colours filled in between the cells of the filter, cropped to what counts. White balance
/// and the camera's colours come with it as a matrix, so that a channel that was full still shows as such.
///
/// # Errors
/// Too large, damaged, grey, or of a sensor or camera that is not read.
#[cfg(feature = "raw")]
pub(super) fn stored(bytes: &[u8], limits: &Limits) -> Result<Stored> {
    use std::panic::{AssertUnwindSafe, catch_unwind};

    use rawler::imgop::develop::{Intermediate, ProcessingStep, RawDevelop};
    use rawler::rawimage::RawPhotometricInterpretation;
    use rawler::{decoders::RawDecodeParams, imgop::sensor::SensorType, rawsource::RawSource};

    use super::stored::{Named, grey};
    use super::{ColourSteps, Kind, Pixels};

    let source = RawSource::new_from_slice(bytes);
    let sketch = rawler::decode_dummy(&source).map_err(broken)?;
    limits.check(Kind::Raw, sketch.width as u64, sketch.height as u64)?;
    let read = match (&sketch.photometric, sketch.cpp) {
        (RawPhotometricInterpretation::Cfa(filter), 1) => {
            filter.cfa.is_rgb() && matches!(filter.sensor, SensorType::Bayer | SensorType::Xtrans)
        }
        (RawPhotometricInterpretation::LinearRaw, 3) => true,
        (_, 1) => return Err(grey()),
        _ => false,
    };
    let to_srgb = matrix::to_srgb(&sketch.color_matrix, sketch.wb_coeffs);
    let (true, Some(to_srgb)) = (read, to_srgb) else { return Err(unread()) };

    let photo = rawler::decode(&source, &RawDecodeParams::default()).map_err(broken)?;
    let steps = [
        ProcessingStep::Rescale,
        ProcessingStep::Demosaic,
        ProcessingStep::FujiRotate,
        ProcessingStep::CropActiveArea,
        ProcessingStep::CropDefault,
    ];
    // The library answers some measures that cannot be with a panic.
    let developed = catch_unwind(AssertUnwindSafe(|| RawDevelop::new_with(&steps).develop_intermediate(&photo)));
    let developed = developed.unwrap_or_else(|_| Err("its measures do not fit together".into())).map_err(broken)?;
    let Intermediate::ThreeColor(picture) = developed else { return Err(unread()) };
    let size = picture.dim();
    let (width, height) = limits.check(Kind::Raw, size.w as u64, size.h as u64)?;
    // Float to integer saturates, so that what lies below black or above white stays at the end of the range.
    let codes = picture.flatten().into_iter().map(|light| (light * f32::from(u16::MAX)).round() as u16).collect();
    Ok(Stored {
        width,
        height,
        orientation: u8::try_from(photo.orientation.to_u16()).unwrap_or(1),
        icc: None,
        exif: matches!(bytes.first_chunk(), Some(b"II" | b"MM")).then(|| bytes.to_vec()),
        named: Named::Camera(to_srgb),
        pixels: Pixels::Sixteen(codes),
        transparent: None,
        colour_steps: ColourSteps::default(),
    })
}

/// Without the feature `raw`: refused.
#[cfg(not(feature = "raw"))]
pub(super) fn stored(_: &[u8], _: &Limits) -> Result<Stored> {
    use super::stored::unsupported;

    Err(unsupported("a camera raw file", "save the photo as a 16-bit TIFF or a full-size JPEG"))
}

#[cfg(feature = "raw")]
fn unread() -> crate::Error {
    use super::stored::unsupported;

    unsupported(
        "a camera raw file of a sensor or camera that is not known",
        "save the photo as a 16-bit TIFF or a full-size JPEG",
    )
}

#[cfg(feature = "raw")]
fn broken(error: rawler::RawlerError) -> crate::Error {
    use super::Kind;
    use super::decode::NO_SENSE;

    match error {
        rawler::RawlerError::Unsupported { .. } => unread(),
        rawler::RawlerError::DecoderFailed(_) => crate::Error::Damaged { kind: Kind::Raw.name(), why: NO_SENSE.into() },
    }
}

#[cfg(feature = "raw")]
mod matrix {
    //! From the camera's own colours to linear sRGB.

    use std::collections::HashMap;

    use nalgebra::{Matrix3, Vector3};
    use rawler::imgop::xyz::Illuminant;

    /// The lights a camera's matrix may be stated for, the best first: daylight, for it is the light of a good photo.
    const LIGHTS: [Illuminant; 7] = [
        Illuminant::D65,
        Illuminant::D55,
        Illuminant::D50,
        Illuminant::Daylight,
        Illuminant::D75,
        Illuminant::Flash,
        Illuminant::A,
    ];
    /// Linear sRGB to XYZ with white D65.
    ///
    /// # Source
    /// IEC 61966-2-1:1999.
    const XYZ_FROM_SRGB: Matrix3<f64> =
        Matrix3::new(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505);

    /// White balance as the camera had it, then its colours: white comes out as (1, 1, 1), and green keeps its size. What is stated
    /// for another light is used as it is; the card sees to the rest. `None` without a matrix of three colours that can be turned
    /// round.
    ///
    /// # Source
    /// The DNG specification 1.7, chapter 6: ColorMatrix maps XYZ to the camera's colours, AsShotNeutral is its white.
    pub(super) fn to_srgb(matrices: &HashMap<Illuminant, Vec<f32>>, balance: [f32; 4]) -> Option<Matrix3<f64>> {
        let camera_from_xyz = LIGHTS.iter().find_map(|light| matrices.get(light)).filter(|matrix| matrix.len() == 9)?;
        let camera_from_xyz = Matrix3::from_row_iterator(camera_from_xyz.iter().map(|value| f64::from(*value)));
        let camera_from_srgb = camera_from_xyz * XYZ_FROM_SRGB;
        let white = camera_from_srgb * Vector3::repeat(1.0);
        if white.iter().any(|value| value.is_nan() || *value <= 0.0) {
            return None;
        }
        let balanced = Matrix3::from_diagonal(&white.map(|value| 1.0 / value)) * camera_from_srgb;
        let mut gains = Vector3::new(balance[0], balance[1], balance[2]).map(f64::from) / f64::from(balance[1]);
        if gains.iter().any(|gain| !gain.is_finite() || *gain <= 0.0) {
            gains = Vector3::repeat(1.0);
        }
        let to_srgb = balanced.try_inverse()? * Matrix3::from_diagonal(&gains);
        to_srgb.iter().all(|value| value.is_finite() && value.abs() < 50.0).then_some(to_srgb)
    }
}
