//! What storing has done to the picture: blocks of heavy compression, and enlargement.
//!
//! Both leave the sharpness periodic. The mean size of second differences along the rows, column by column, of a picture
//! that came from a camera has no period; interpolated samples lie on straight or bent lines between true ones, and 8 × 8
//! blocks have their steps at their edges.
//!
//! # Source
//! Gallagher 2005, Detection of linear and cubic interpolation in JPEG compressed images (second differences and their
//! period); ISO/IEC 10918-1:1994 (blocks of 8 × 8).

use super::Warning;
use crate::Photo;

/// Lines looked at each way.
const LINES: u32 = 96;
/// Longest stretch of a line that is looked at, and the shortest that tells.
const LENGTH: std::ops::RangeInclusive<u32> = 240..=2048;
/// Slowest period looked for, per pixel: below, the picture itself has periods.
const SLOWEST: f64 = 0.17;
/// A period stands out when it is this many times the median of all.
const STANDS_OUT: f64 = 9.0;
/// Blocks show when the sharpness changes by this share with a period of 8 px. Photos as cameras save them reach 0.45.
const BLOCKS: f64 = 0.6;
/// The photo is enlarged when the sharpness changes by this share with another period, both ways. It shows while noise
/// survives the compression; enlargement to exactly twice the size has no period of its own and stays unseen.
const ENLARGED: f64 = 0.03;

/// Changes of sharpness with a period, relative to its mean.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Periods {
    /// Of eight pixels.
    blocks: f64,
    /// Of any other length.
    other: f64,
}

/// What there is to say.
pub(super) fn of_pixels(photo: &Photo) -> Option<Warning> {
    let (across, down) = rayon::join(|| periods(photo, false), || periods(photo, true));
    let (across, down) = (across.unwrap_or_default(), down.unwrap_or_default());
    if across.blocks.min(down.blocks) > BLOCKS {
        return Some(Warning::new(
            "compressed",
            "The photo is so heavily compressed that its 8 × 8 blocks show: use the file as the camera saved it, not a copy sent by message.",
        ));
    }
    (across.other.min(down.other) > ENLARGED).then(|| {
        Warning::new(
            "enlarged",
            "The photo was enlarged after it was taken, so its pixels are partly made up: use the file as the camera saved it.",
        )
    })
}

/// Along the rows, or down the columns.
fn periods(photo: &Photo, down: bool) -> Option<Periods> {
    let size = if down { [photo.height_px, photo.width_px] } else { [photo.width_px, photo.height_px] };
    let length = size[0].min(*LENGTH.end()) & !7;
    if length < *LENGTH.start() || size[1] < LINES {
        return None;
    }
    let start = (size[0] - length) / 2;
    let mut sharpness = vec![0.0; length as usize];
    for line in 0..LINES {
        let across = (2 * line + 1) * size[1] / (2 * LINES);
        // The square root is near enough to how a photo is stored.
        let code = |along: u32| {
            let (x, y) = if down { (across, along) } else { (along, across) };
            photo.linear(x, y)[1].max(0.0).sqrt()
        };
        let (mut before, mut here) = (code(start.saturating_sub(1)), code(start));
        for (k, sum) in sharpness.iter_mut().enumerate() {
            let after = code(start + k as u32 + 1);
            // What the picture shows has no period of a few pixels, but steep edges drown what has: they are cut.
            *sum += f64::from((2.0 * here - before - after).abs().min(0.05));
            (before, here) = (here, after);
        }
    }
    let mean = sharpness.iter().sum::<f64>() / sharpness.len() as f64;
    if mean <= 0.0 {
        return None;
    }
    Some(strongest(&sharpness.iter().map(|one| one / mean - 1.0).collect::<Vec<_>>()))
}

/// The strongest period of eight pixels, and of any other length, of those that stand out.
fn strongest(signal: &[f64]) -> Periods {
    let count = signal.len();
    let first = (SLOWEST * count as f64) as usize;
    let sizes: Vec<f64> = (first..=count / 2).map(|k| amplitude(signal, k)).collect();
    let mut sorted = sizes.clone();
    sorted.sort_by(f64::total_cmp);
    let floor = STANDS_OUT * sorted[sorted.len() / 2];
    let above = |size: f64| if size > floor { size } else { 0.0 };
    let unlike_blocks = (first..).zip(&sizes).filter(|(k, _)| 8 * k % count != 0).map(|(_, &size)| size);
    Periods {
        blocks: above(amplitude(signal, count / 8).max(amplitude(signal, 3 * count / 8))),
        other: above(unlike_blocks.fold(0.0, f64::max)),
    }
}

/// Amplitude of the wave with `cycles` over the whole signal (discrete Fourier transform).
fn amplitude(signal: &[f64], cycles: usize) -> f64 {
    let turn = std::f64::consts::TAU * cycles as f64 / signal.len() as f64;
    let (step_sin, step_cos) = turn.sin_cos();
    let (mut sin, mut cos, mut sum) = (0.0, 1.0, [0.0, 0.0]);
    for value in signal {
        sum[0] += value * cos;
        sum[1] += value * sin;
        (sin, cos) = (sin * step_cos + cos * step_sin, cos * step_cos - sin * step_sin);
    }
    2.0 * sum[0].hypot(sum[1]) / signal.len() as f64
}
