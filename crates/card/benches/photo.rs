//! How fast a photo is read: `cargo bench -p card --bench photo`. The photo is rendered, scaled up to 24 megapixels and
//! encoded as a baseline JPEG, its chroma halved each way as cameras store it, when the bench starts: once as a camera
//! held level stores it and once as one held upright does. A JPEG file may be named after `--` in its place.

mod timing;

use std::hint::black_box;
use std::path::Path;

use anyhow::{Context, Result};
use card::{Limits, Photo, Request, Seconds, decode, read};
use image::{RgbImage, imageops};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use timing::{RUNS, Report, median, ms, reference_job};

const WIDTH_PX: u32 = 6000;
const HEIGHT_PX: u32 = 4000;
const SEED: u64 = 101;
const QUALITY: u8 = 92;
/// EXIF with nothing but the orientation 6: stored rows run down the upright photo, from its right side (EXIF 2.32, 4.5).
const HELD_UPRIGHT: &[u8] = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";

type Regions = Vec<(String, Vec<[f64; 2]>)>;

type Stage = (&'static str, fn(&Seconds) -> f64);

const STAGES: [Stage; 5] = [
    ("decode", |s| s.decode),
    ("find", |s| s.find),
    ("fit", |s| s.fit - s.left_out),
    ("four regions, warnings", |s| s.regions),
    ("each patch left out, each edition", |s| s.left_out),
];

/// A picture of 24 megapixels and four regions on its wood.
fn rendered() -> Result<(RgbImage, Regions)> {
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

fn jpeg(picture: &RgbImage, exif: Option<&[u8]>) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    if let Some(exif) = exif {
        encoder.add_app_segment(1, exif)?;
    }
    let (width, height) = (u16::try_from(picture.width())?, u16::try_from(picture.height())?);
    encoder.encode(picture.as_raw(), width, height, ColorType::Rgb)?;
    Ok(bytes)
}

/// Times of a photo's stages, file to card, fit and regions.
fn stages(report: &mut Report, path: &Path, regions: Regions) -> Result<Photo> {
    let request = Request { regions, ..Request::default() };
    let (mut reference, mut seconds) = (Vec::new(), Vec::new());
    let decoded = || -> Result<Photo> { Ok(decode(&std::fs::read(path)?, &Limits::default())?) };
    for _ in 0..RUNS {
        reference.push(ms(reference_job));
        let reading = read(&decoded()?, &request, &|_| true)?;
        anyhow::ensure!(reading.card.is_some(), "no card was found in the bench's photo");
        anyhow::ensure!(reading.regions.len() == request.regions.len(), "not all regions could be measured");
        seconds.push(reading.seconds);
    }
    let reference = median(reference);
    let of = |stage: fn(&Seconds) -> f64| median(seconds.iter().map(|seconds| stage(seconds) * 1e3).collect());
    for (name, stage) in STAGES {
        report.line(name, of(stage), reference)?;
    }
    report.line("all but the left-out fits", of(|s| s.total - s.left_out), reference)?;
    decoded()
}

/// The whole frame as a region.
fn whole_frame(report: &mut Report, photo: &Photo) -> Result<()> {
    let (width, height) = (f64::from(photo.width_px), f64::from(photo.height_px));
    let frame = vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    let request = Request { regions: vec![("frame".into(), frame)], ..Request::default() };
    let (mut reference, mut times) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        reference.push(ms(reference_job));
        let reading = read(photo, &request, &|_| true)?;
        anyhow::ensure!(reading.regions.len() == 1, "the whole frame could not be measured");
        times.push(reading.seconds.regions * 1e3);
    }
    report.line("evenness, colour and grain of the frame", median(times), median(reference))?;
    Ok(())
}

fn main() -> Result<()> {
    let named = std::env::args().skip(1).find(|argument| !argument.starts_with("--"));
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("photo.jpg");
    let mut report = Report::new("a baseline JPEG to a reading")?;
    if let Some(path) = named {
        let photo =
            stages(&mut report, Path::new(&path), Vec::new()).with_context(|| format!("{path}: name a JPEG"))?;
        return whole_frame(&mut report, &photo);
    }
    let (picture, regions) = rendered()?;
    let level = jpeg(&picture, None)?;
    report
        .note(&format!("scene {SEED}, {WIDTH_PX} × {HEIGHT_PX} px, {:.1} MB, held level", level.len() as f64 / 1e6))?;
    std::fs::write(&file, &level)?;
    let photo = stages(&mut report, &file, regions.clone())?;
    report.job("of finding, the small picture", || {
        black_box(photo.preview());
    })?;
    whole_frame(&mut report, &photo)?;
    report.note("the same, held upright")?;
    std::fs::write(&file, jpeg(&imageops::rotate270(&picture), Some(HELD_UPRIGHT))?)?;
    stages(&mut report, &file, regions)?;
    Ok(())
}
