//! How fast a photo is read: `cargo bench -p card --bench photo`. The photo is rendered, scaled up to 24 megapixels and
//! encoded as a baseline JPEG, its chroma halved each way as cameras store it, when the bench starts: once as a camera
//! held level stores it and once as one held upright does. A JPEG file may be named after `--` in its place.

mod rendered;
mod timing;

use std::hint::black_box;
use std::path::Path;

use anyhow::{Context, Result};
use card::{Limits, Photo, Request, Seconds, decode, read};
use image::imageops;

use rendered::{HEIGHT_PX, Regions, SEED, WIDTH_PX, jpeg, rendered};
use timing::{RUNS, Report, median, ms, reference_job};

/// EXIF with nothing but the orientation 6: stored rows run down the upright photo, from its right side (EXIF 2.32, 4.5).
const HELD_UPRIGHT: &[u8] = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";

type Stage = (&'static str, fn(&Seconds) -> f64);

const STAGES: [Stage; 5] = [
    ("decode", |s| s.decode),
    ("find", |s| s.find),
    ("fit", |s| s.fit - s.left_out),
    ("four regions, warnings", |s| s.regions),
    ("each patch left out, each edition", |s| s.left_out),
];

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
    let level = jpeg(&picture, None, None)?;
    report
        .note(&format!("scene {SEED}, {WIDTH_PX} × {HEIGHT_PX} px, {:.1} MB, held level", level.len() as f64 / 1e6))?;
    std::fs::write(&file, &level)?;
    let photo = stages(&mut report, &file, regions.clone())?;
    report.job("of finding, the small picture", || {
        black_box(photo.preview());
    })?;
    whole_frame(&mut report, &photo)?;
    report.note("the same, held upright")?;
    std::fs::write(&file, jpeg(&imageops::rotate270(&picture), Some(HELD_UPRIGHT), None)?)?;
    stages(&mut report, &file, regions)?;
    Ok(())
}
