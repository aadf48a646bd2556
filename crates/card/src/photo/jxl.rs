//! JPEG XL (ISO/IEC 18181).

use super::decode::Limits;
use super::stored::{Stored, unsupported};
use crate::Result;

/// Decodes the first picture of a JPEG XL. Its own header turns it upright; what its EXIF data say of that does not count.
///
/// # Errors
/// Too large, cut off, damaged, grey, CMYK or in floating-point numbers.
#[cfg(feature = "jxl")]
pub(super) fn stored(bytes: &[u8], limits: &Limits) -> Result<Stored> {
    use super::stored::{Named, grey};
    use super::{ColourSteps, Kind, Pixels};
    use crate::Error;

    /// Bits above which samples are floating-point numbers.
    const MOST_BITS: u32 = 16;

    let (mut picture, mut fed) = opened(bytes, limits)?;
    let (width, height) = limits.check(Kind::JpegXl, picture.width().into(), picture.height().into())?;
    let format = picture.pixel_format();
    if format.is_grayscale() {
        return Err(grey());
    }
    if format.has_black() {
        return Err(unsupported("a CMYK picture", "it was made for print; use the photo as the camera saved it"));
    }
    let bits = picture.image_header().metadata.bit_depth.bits_per_sample();
    if bits > MOST_BITS {
        return Err(unsupported("a picture in floating-point numbers", "save it as a 16-bit TIFF or PNG"));
    }
    while fed < bytes.len() && !picture.is_loading_done() {
        match picture.feed_bytes(&bytes[fed..]).map_err(broken)? {
            0 => break,
            taken => fed += taken,
        }
    }
    if !picture.is_loading_done() {
        return Err(Error::Truncated { kind: Kind::JpegXl.name(), detail: "its end is missing".into() });
    }
    let icc = picture.rendered_icc();
    let render = picture.render_frame(0).map_err(broken)?;
    let samples = 3 * width as usize * height as usize;
    let mut stream = render.stream_no_alpha();
    let pixels = if bits > 8 {
        let mut pixels = vec![0u16; samples];
        stream.write_to_buffer(&mut pixels);
        Pixels::Sixteen(pixels)
    } else {
        let mut pixels = vec![0u8; samples];
        stream.write_to_buffer(&mut pixels);
        Pixels::Eight(pixels)
    };
    Ok(Stored {
        width,
        height,
        orientation: 1,
        icc: Some(icc),
        exif: None,
        named: Named::Nothing,
        pixels,
        transparent: None,
        colour_steps: ColourSteps::default(),
    })
}

/// The picture as far as its header, and how many bytes that took: its size is known before the rest is looked at.
#[cfg(feature = "jxl")]
fn opened(bytes: &[u8], limits: &Limits) -> Result<(jxl_oxide::JxlImage, usize)> {
    use jxl_oxide::{AllocTracker, InitializeResult, JxlImage};

    use super::Kind;
    use crate::Error;

    /// Bytes fed at a time while the header is looked for, once it is plain that it is no short one.
    const STEP: usize = 4096;
    /// So many bytes are fed one by one, so that a short header is done before a frame begins: the size that it states can
    /// then be refused as such, not as a damaged frame.
    const ONE_BY_ONE: usize = 64;
    /// Bytes the decoder may take for each pixel: samples and coefficients of 32 bits, several times over.
    const BYTES_PER_PIXEL: usize = 96;

    let most_bytes = (limits.most_megapixels as usize * 1_000_000).saturating_mul(BYTES_PER_PIXEL);
    let mut header = JxlImage::builder().alloc_tracker(AllocTracker::with_limit(most_bytes)).build_uninit();
    let mut fed = 0;
    for end in (1..ONE_BY_ONE).chain((ONE_BY_ONE..bytes.len() + STEP).step_by(STEP)) {
        let end = end.min(bytes.len());
        fed += header.feed_bytes(bytes.get(fed..end).unwrap_or_default()).map_err(broken)?;
        header = match header.try_init().map_err(broken)? {
            InitializeResult::NeedMoreData(header) => header,
            InitializeResult::Initialized(picture) => return Ok((picture, fed)),
        };
    }
    Err(Error::Truncated { kind: Kind::JpegXl.name(), detail: "it ends within its header".into() })
}

#[cfg(feature = "jxl")]
fn broken(_: Box<dyn std::error::Error + Send + Sync>) -> crate::Error {
    crate::Error::Damaged { kind: super::Kind::JpegXl.name(), why: super::decode::NO_SENSE.into() }
}

/// Without the feature `jxl`: refused.
#[cfg(not(feature = "jxl"))]
pub(super) fn stored(_: &[u8], _: &Limits) -> Result<Stored> {
    Err(unsupported(
        "a JPEG XL picture (this program was built without JPEG XL)",
        "save it as a full-size JPEG or as PNG",
    ))
}
