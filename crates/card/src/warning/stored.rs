//! What storing has done to the picture: blocks of heavy compression, and enlargement.
//!
//! Both leave the sharpness periodic: 8 × 8 blocks have their steps at their edges, told here by the mean size of second
//! differences along the rows, column by column; for enlargement see [`scaled`].
//!
//! # Source
//! ISO/IEC 10918-1:1994 (blocks of 8 × 8).

use super::{Warning, scaled, wave::amplitude};
use crate::Photo;

/// Lines looked at each way.
const LINES: u32 = 96;
/// Longest stretch of a line that is looked at, and the shortest that tells.
const LENGTH: std::ops::RangeInclusive<u32> = 240..=2048;
/// Slowest period that blocks must stand out from, per pixel: below, the picture itself has periods.
const SLOWEST: f64 = 0.17;
/// They stand out when theirs is so many times the median of all.
const STAND_OUT: f64 = 9.0;
/// Blocks show when the sharpness changes by this share with a period of 8 px. Photos as cameras save them reach 0.45.
const BLOCKS: f64 = 0.6;

/// What there is to say.
pub(super) fn of_pixels(photo: &Photo) -> Option<Warning> {
    let (across, down) = rayon::join(|| blocks(photo, false), || blocks(photo, true));
    if across.min(down) > BLOCKS {
        return Some(Warning::new(
            "compressed",
            "The photo is so heavily compressed that its 8 × 8 blocks show: use the file as the camera saved it, not a copy sent by message.",
        ));
    }
    scaled::is_enlarged(photo).then(|| {
        Warning::new(
            "enlarged",
            "The photo was enlarged, or saved at another size, after it was taken, so its pixels are partly made up: use the file as the camera saved it.",
        )
    })
}

/// By how much the sharpness changes with a period of eight pixels, relative to its mean, along the rows or down the columns; 0
/// where that is too little to tell.
fn blocks(photo: &Photo, down: bool) -> f64 {
    let size = if down { [photo.height_px, photo.width_px] } else { [photo.width_px, photo.height_px] };
    let length = size[0].min(*LENGTH.end()) & !7;
    if length < *LENGTH.start() || size[1] < LINES {
        return 0.0;
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
        return 0.0;
    }
    let signal: Vec<f64> = sharpness.iter().map(|one| one / mean - 1.0).collect();
    let found = amplitude(&signal, signal.len() / 8).max(amplitude(&signal, 3 * signal.len() / 8));
    if found > BLOCKS && found > STAND_OUT * median_amplitude(&signal) { found } else { 0.0 }
}

/// Of all periods looked at; steep edges of which a picture shows few have all alike.
fn median_amplitude(signal: &[f64]) -> f64 {
    let first = (SLOWEST * signal.len() as f64) as usize;
    let mut all: Vec<f64> = (first..=signal.len() / 2).map(|waves| amplitude(signal, waves)).collect();
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}
