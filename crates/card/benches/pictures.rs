//! How fast pictures are worked on: `cargo bench -p card --bench pictures`. Median of 20 runs, beside a reference job in
//! the same run (a sum over the same bytes on the same threads), so that a busy machine shows.

use std::{hint::black_box, io::Write, time::Instant};

use colour::Lab;
use colour::bulk::{De2000To, ToLab};
use rayon::prelude::*;

const RUNS: usize = 20;
/// A photo of 24 megapixels.
const PIXELS: usize = 6000 * 4000;
/// Pixels per task.
const BLOCK: usize = 1 << 16;

fn median_ms(mut job: impl FnMut()) -> f64 {
    job();
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            job();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    (times[RUNS / 2 - 1] + times[RUNS / 2]) / 2.0
}

/// Pixels of a wood-like range of codes, by a fixed rule.
fn codes() -> Vec<[u8; 3]> {
    (0..PIXELS).map(|k| [90 + (k * 7 % 97) as u8, 60 + (k * 11 % 83) as u8, 30 + (k * 13 % 71) as u8]).collect()
}

fn main() -> std::io::Result<()> {
    let mut output = std::io::stdout().lock();
    let codes = codes();
    let reference = median_ms(|| {
        let sum: u64 =
            codes.par_chunks(BLOCK).map(|block| block.as_flattened().iter().map(|&c| u64::from(c)).sum::<u64>()).sum();
        black_box(sum);
    });
    writeln!(output, "threads {}, {PIXELS} pixels, median of {RUNS}", rayon::current_num_threads())?;
    let mut report = |name: &str, ms: f64| {
        let rate = PIXELS as f64 / ms / 1e3;
        writeln!(output, "{name:<40} {ms:>7.1} ms {rate:>7.0} Mpixel/s {:>6.1} × reference", ms / reference)
    };
    report("reference: sum of bytes", reference)?;

    let to_lab = ToLab::srgb();
    let to = De2000To::new(Lab::new(52.0, 12.0, 26.0));
    let mut lab = vec![[0f32; 3]; PIXELS];
    let mut de00 = vec![0f32; PIXELS];
    let ms = median_ms(|| {
        codes.par_chunks(BLOCK).zip(lab.par_chunks_mut(BLOCK)).for_each(|(from, to)| to_lab.lab_from_srgb8(from, to));
    });
    report("8-bit sRGB to Lab", ms)?;
    let ms = median_ms(|| {
        let pairs = codes.par_chunks(BLOCK).zip(de00.par_chunks_mut(BLOCK));
        pairs.for_each(|(from, de00)| to.de2000_from_srgb8(&to_lab, from, de00));
    });
    report("8-bit sRGB to ΔE2000 to one colour", ms)?;
    let ms = median_ms(|| {
        lab.par_chunks(BLOCK).zip(de00.par_chunks_mut(BLOCK)).for_each(|(from, de00)| to.de2000(from, de00));
    });
    report("Lab to ΔE2000 to one colour", ms)?;
    black_box(&de00);
    Ok(())
}
