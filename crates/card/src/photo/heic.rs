//! HEIC: pictures coded by HEVC in an ISO base media file (ISO/IEC 23008-12).

use super::decode::Limits;
use super::stored::{Stored, unsupported};
use crate::Result;

/// Decodes a HEIC photo; the turns and crops that its file asks for are applied.
///
/// # Errors
/// Too large, cut off, damaged, grey, in a high dynamic range, or coded in a way that is not read.
#[cfg(feature = "heic")]
pub(super) fn stored(bytes: &[u8], limits: &Limits) -> Result<Stored> {
    use heic_decoder::RgbOptions;

    use super::stored::grey;
    use super::{ColourSteps, Kind, Pixels};

    let seen = heic_decoder::probe(bytes).map_err(broken)?;
    limits.check(Kind::Heic, seen.coded_width as u64, seen.coded_height as u64)?;
    let (width, height) = limits.check(Kind::Heic, seen.width as u64, seen.height as u64)?;
    if seen.chroma_format_idc == 0 {
        return Err(grey());
    }
    let picture = heic_decoder::decode(bytes).map_err(broken)?;
    let named = named(picture.color_info)?;
    let options = RgbOptions { color: Some(coding(picture.color_info)), ..RgbOptions::default() };
    let pixels = if picture.bit_depth_luma > 8 {
        Pixels::Sixteen(picture.to_rgb16_with_options(&options).map_err(broken)?.data)
    } else {
        Pixels::Eight(picture.to_rgb8_with_options(&options).map_err(broken)?.data)
    };
    Ok(Stored {
        width,
        height,
        orientation: 1,
        icc: picture.metadata.icc_profile,
        exif: picture.metadata.exif,
        named,
        pixels,
        transparent: None,
        colour_steps: ColourSteps::default(),
    })
}

/// Without the feature `heic`: refused.
#[cfg(not(feature = "heic"))]
pub(super) fn stored(_: &[u8], _: &Limits) -> Result<Stored> {
    Err(unsupported(
        "a HEIC photo (this program was built without HEIC)",
        "save it as a full-size JPEG, or set the phone to take JPEG photos",
    ))
}

/// How the picture's luma and chroma turn into RGB. What the file leaves open is BT.601 at full range.
///
/// # Source
/// ITU-T H.273 (2 is 'unspecified'); the reference library takes the same for what is left open, which the files in
/// `tests/data` show.
#[cfg(feature = "heic")]
fn coding(info: Option<heic_decoder::ColorInfo>) -> heic_decoder::ColorInfo {
    const UNSPECIFIED: u16 = 2;
    const BT_601: u16 = 6;
    let open = heic_decoder::ColorInfo {
        color_primaries: UNSPECIFIED,
        transfer_characteristics: UNSPECIFIED,
        matrix_coefficients: UNSPECIFIED,
        full_range: true,
    };
    let mut info = info.unwrap_or(open);
    if info.matrix_coefficients == UNSPECIFIED {
        info.matrix_coefficients = BT_601;
    }
    info
}

/// The colours that the file names by number, for when it embeds no profile.
///
/// # Source
/// ITU-T H.273: primaries 1 BT.709, 9 BT.2020, 12 P3 with white D65; transfer 16 PQ, 18 HLG.
#[cfg(feature = "heic")]
fn named(info: Option<heic_decoder::ColorInfo>) -> Result<super::stored::Named> {
    use super::stored::Named;

    let Some(info) = info else { return Ok(Named::Nothing) };
    match (info.color_primaries, info.transfer_characteristics) {
        (_, 16 | 18) => Err(unsupported("a HEIC photo in a high dynamic range", "switch HDR photos off in the camera")),
        (1, _) => Ok(Named::Srgb),
        (12, _) => Ok(Named::DisplayP3),
        _ => Ok(Named::Nothing),
    }
}

#[cfg(feature = "heic")]
fn broken(error: heic_decoder::HeifError) -> crate::Error {
    use heic_decoder::HeifError;

    use super::Kind;
    use super::decode::NO_SENSE;
    use crate::Error;

    let kind = Kind::Heic.name();
    match error {
        HeifError::Truncated { .. } => Error::Truncated { kind, detail: "its end is missing".into() },
        HeifError::Unsupported(_) => unsupported(
            "a HEIC photo of a sort that is not known here",
            "save it as a full-size JPEG, or set the phone to take JPEG photos",
        ),
        _ => Error::Damaged { kind, why: NO_SENSE.into() },
    }
}
