//! How fast pictures are worked on: `cargo bench -p card --bench pictures`.

mod timing;

use std::hint::black_box;

use colour::Lab;
use colour::bulk::{De2000To, ToLab};
use rayon::prelude::*;

use timing::Report;

/// A photo of 24 megapixels.
const PIXELS: usize = 6000 * 4000;
/// Pixels per task.
const BLOCK: usize = 1 << 16;

/// Pixels of a wood-like range of codes, by a fixed rule.
fn codes() -> Vec<[u8; 3]> {
    (0..PIXELS).map(|k| [90 + (k * 7 % 97) as u8, 60 + (k * 11 % 83) as u8, 30 + (k * 13 % 71) as u8]).collect()
}

fn rate(report: &mut Report, ms: f64) -> std::io::Result<()> {
    report.note(&format!("    {:.0} Mpixel/s", PIXELS as f64 / ms / 1e3))
}

fn main() -> std::io::Result<()> {
    let mut report = Report::new("24 megapixels")?;
    let codes = codes();
    let to_lab = ToLab::srgb();
    let to = De2000To::new(Lab::new(52.0, 12.0, 26.0));
    let mut lab = vec![[0f32; 3]; PIXELS];
    let mut de00 = vec![0f32; PIXELS];
    let ms = report.job("8-bit sRGB to Lab", || {
        codes.par_chunks(BLOCK).zip(lab.par_chunks_mut(BLOCK)).for_each(|(from, to)| to_lab.lab_from_srgb8(from, to));
    })?;
    rate(&mut report, ms)?;
    let ms = report.job("8-bit sRGB to ΔE2000 to one colour", || {
        let pairs = codes.par_chunks(BLOCK).zip(de00.par_chunks_mut(BLOCK));
        pairs.for_each(|(from, de00)| to.de2000_from_srgb8(&to_lab, from, de00));
    })?;
    rate(&mut report, ms)?;
    let ms = report.job("Lab to ΔE2000 to one colour", || {
        lab.par_chunks(BLOCK).zip(de00.par_chunks_mut(BLOCK)).for_each(|(from, de00)| to.de2000(from, de00));
    })?;
    rate(&mut report, ms)?;
    black_box(&de00);
    Ok(())
}
