//! How fast a photo is read: `cargo bench -p card --bench photo`. The photo is rendered, scaled up to 24 megapixels and
//! encoded as a baseline JPEG when the bench starts; a JPEG file may be named after `--` in its place.

mod timing;

use std::hint::black_box;

use anyhow::{Context, Result};
use card::{Limits, PhotoReading, Request, decode, read};
use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder, imageops};

use timing::{RUNS, Report, median, ms, reference_job};

const WIDTH_PX: u32 = 6000;
const HEIGHT_PX: u32 = 4000;
const SEED: u64 = 101;
const QUALITY: u8 = 92;

type Regions = Vec<(String, Vec<[f64; 2]>)>;

/// A baseline JPEG of 24 megapixels and four regions on its wood.
fn rendered() -> Result<(Vec<u8>, Regions)> {
    let mut scene = scene::draw(SEED)?;
    scene.width_px = scene.height_px * WIDTH_PX / HEIGHT_PX;
    let picture = scene::render(&scene)?;
    let (width, height) = (scene.width_px, scene.height_px);
    let small = image::RgbImage::from_raw(width, height, picture.rgb).context("a picture of another size")?;
    let large = imageops::resize(&small, WIDTH_PX, HEIGHT_PX, imageops::FilterType::Triangle);
    let scale = [f64::from(WIDTH_PX) / f64::from(width), f64::from(HEIGHT_PX) / f64::from(height)];
    let panels = picture.truth.panels.iter().cycle().take(4).enumerate();
    let regions = panels.map(|(k, panel)| {
        let corners = panel.polygon_px.iter().map(|[x, y]| [x * scale[0], y * scale[1]]).collect();
        (format!("region {k}"), corners)
    });
    let regions = regions.collect();
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY).write_image(
        &large,
        WIDTH_PX,
        HEIGHT_PX,
        ExtendedColorType::Rgb8,
    )?;
    Ok((jpeg, regions))
}

/// File to card, fit and regions.
fn whole(path: &std::path::Path, request: &Request) -> Result<PhotoReading> {
    let photo = decode(&std::fs::read(path)?, &Limits::default())?;
    Ok(read(&photo, request, &|_| true)?)
}

fn main() -> Result<()> {
    let named = std::env::args().skip(1).find(|argument| !argument.starts_with("--"));
    let (jpeg, regions) = match &named {
        Some(path) => (std::fs::read(path).with_context(|| format!("{path}: name a JPEG file"))?, Vec::new()),
        None => rendered()?,
    };
    let mut report = Report::new(&format!("a JPEG of {:.1} MB", jpeg.len() as f64 / 1e6))?;
    let decode_ms = report.job("decode", || {
        black_box(decode(&jpeg, &Limits::default()).is_ok());
    })?;
    let photo = decode(&jpeg, &Limits::default())?;
    report.note(&format!("{} × {} px, {} regions, scene {SEED}", photo.width_px, photo.height_px, regions.len()))?;
    report.job("preview", || {
        black_box(photo.preview());
    })?;

    let request = Request { regions, ..Request::default() };
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("photo.jpg");
    std::fs::write(&path, &jpeg)?;
    let (mut reference, mut total) = (Vec::new(), Vec::new());
    let mut stages = [const { Vec::new() }; 3];
    for _ in 0..RUNS {
        reference.push(ms(reference_job));
        let mut reading = None;
        total.push(ms(|| reading = whole(&path, &request).ok()));
        let reading = reading.context("the photo could not be read")?;
        anyhow::ensure!(reading.card.is_some(), "no card was found in the bench's photo");
        let seconds = reading.seconds;
        for (stage, seconds) in stages.iter_mut().zip([seconds.find, seconds.fit, seconds.regions]) {
            stage.push(seconds * 1e3);
        }
    }
    let reference = median(reference);
    for (name, times) in ["find", "fit, every patch left out, each edition", "regions"].iter().zip(stages) {
        report.line(name, median(times), reference)?;
    }
    let total = median(total);
    report.line("file to card, fit and regions", total, reference)?;
    report.note(&format!("of that, decoding {:.0} %", 100.0 * decode_ms / total))?;

    let (width, height) = (f64::from(photo.width_px), f64::from(photo.height_px));
    let frame = vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    let request = Request { regions: vec![("frame".into(), frame)], ..Request::default() };
    let mut whole_frame = Vec::new();
    for _ in 0..RUNS {
        let reading = read(&photo, &request, &|_| true)?;
        anyhow::ensure!(reading.regions.len() == 1, "the whole frame could not be measured");
        whole_frame.push(reading.seconds.regions * 1e3);
    }
    report.line("colour, grain and evenness of the frame", median(whole_frame), reference)?;
    Ok(())
}
