//! The photo that the benches read: rendered, scaled up to 24 megapixels.

use anyhow::{Context, Result};
use image::{RgbImage, imageops};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

/// Its size, as a camera held level stores it.
pub(crate) const WIDTH_PX: u32 = 6000;
/// As above.
pub(crate) const HEIGHT_PX: u32 = 4000;
/// Seed of the scene.
pub(crate) const SEED: u64 = 101;
const QUALITY: u8 = 92;

/// Names and polygons in pixels.
pub(crate) type Regions = Vec<(String, Vec<[f64; 2]>)>;

/// A picture of 24 megapixels and four regions on its wood.
pub(crate) fn rendered() -> Result<(RgbImage, Regions)> {
    let mut scene = scene::draw(SEED)?;
    scene.width_px = scene.height_px * WIDTH_PX / HEIGHT_PX;
    let picture = scene::render(&scene)?;
    let (width, height) = (scene.width_px, scene.height_px);
    let small = RgbImage::from_raw(width, height, picture.rgb).context("a picture of another size")?;
    let large = imageops::resize(&small, WIDTH_PX, HEIGHT_PX, imageops::FilterType::Triangle);
    let scale = [f64::from(WIDTH_PX) / f64::from(width), f64::from(HEIGHT_PX) / f64::from(height)];
    let panels = picture.truth.panels.iter().cycle().take(4).enumerate();
    let regions = panels.map(|(k, panel)| {
        let corners = panel.polygon_px.iter().map(|[x, y]| [x * scale[0], y * scale[1]]).collect();
        (format!("region {k}"), corners)
    });
    Ok((large, regions.collect()))
}

/// Its baseline JPEG, the chroma halved each way as cameras store it, with EXIF data and a profile.
pub(crate) fn jpeg(picture: &RgbImage, exif: Option<&[u8]>, icc: Option<&[u8]>) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    if let Some(exif) = exif {
        encoder.add_app_segment(1, exif)?;
    }
    if let Some(icc) = icc {
        encoder.add_icc_profile(icc)?;
    }
    let (width, height) = (u16::try_from(picture.width())?, u16::try_from(picture.height())?);
    encoder.encode(picture.as_raw(), width, height, ColorType::Rgb)?;
    Ok(bytes)
}
