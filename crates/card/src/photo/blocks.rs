//! The blocks of 8 × 8 in which JPEG stores a picture, as they show in it.
//!
//! They have their steps at their edges, which leaves the sharpness periodic; told here by the mean size of second differences along the
//! rows and down the columns, place by place. Blocks that do not begin where those of the file do are of an earlier JPEG that was cut.
//!
//! # Source
//! ISO/IEC 10918-1:1994 (blocks of 8 × 8).

use super::Photo;
use crate::wave::amplitude;

/// Side of a block.
pub(super) const SIDE: u32 = 8;
/// Lines looked at each way.
const LINES: u32 = 96;
/// Longest stretch of a line that is looked at, and the shortest that tells.
const LENGTH: std::ops::RangeInclusive<u32> = 240..=2048;
/// Slowest period that blocks must stand out from, per pixel: below, the picture itself has periods.
const SLOWEST: f64 = 0.17;
/// They stand out when theirs is so many times the median of all.
const STAND_OUT: f64 = 9.0;

/// Blocks of 8 × 8 that show in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Blocks {
    /// By how much the sharpness changes with their period, relative to its mean, across or down, whichever is less; 0 where that does not
    /// stand out.
    pub(crate) contrast: f64,
    /// Column and row at which the first whole one most likely begins, both below their side; of an earlier JPEG, if there are such.
    pub(crate) first: [u32; 2],
}

impl Blocks {
    /// None where the picture is too small to tell.
    pub(super) fn of(photo: &Photo) -> Option<Self> {
        let (across, down) = rayon::join(|| along(photo, false), || along(photo, true));
        let ((contrast_across, column), (contrast_down, row)) = across.zip(down)?;
        Some(Self { contrast: contrast_across.min(contrast_down), first: [column, row] })
    }
}

/// Contrast and first beginning of the blocks along the rows or down the columns.
fn along(photo: &Photo, down: bool) -> Option<(f64, u32)> {
    let size = if down { [photo.height_px, photo.width_px] } else { [photo.width_px, photo.height_px] };
    let length = size[0].min(*LENGTH.end()) & !(SIDE - 1);
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
    let signal: Vec<f64> = sharpness.iter().map(|one| one / mean - 1.0).collect();
    let waves = signal.len() / SIDE as usize;
    let contrast = amplitude(&signal, waves).max(amplitude(&signal, 3 * waves));
    let mut by_place = [0.0; SIDE as usize];
    for (k, one) in signal.iter().enumerate() {
        by_place[(start as usize + k) % SIDE as usize] += one;
    }
    // Sharpest at the last pixel of a block and the first of the next.
    let sides = by_place.len();
    let edge = |first: usize| by_place[first] + by_place[(first + sides - 1) % sides];
    let sharpest = |firsts: std::ops::Range<usize>| firsts.max_by(|a, b| edge(*a).total_cmp(&edge(*b)));
    // Those of the file itself begin at the corner, and may outdo an earlier one's; their edges reach a pixel to either side.
    let first = match sharpest(0..sides) {
        Some(0) => sharpest(2..sides - 1).filter(|first| edge(*first) > 0.0),
        found => found,
    };
    let first = first.unwrap_or_default() as u32;
    let stand_out = contrast > STAND_OUT * median_amplitude(&signal);
    Some((if stand_out { contrast } else { 0.0 }, first))
}

/// Of the periods looked at; steep edges of which a picture shows few have all alike.
fn median_amplitude(signal: &[f64]) -> f64 {
    let first = (SLOWEST * signal.len() as f64) as usize;
    let some = (first..=signal.len() / 2).step_by(5);
    let mut all: Vec<f64> = some.map(|waves| amplitude(signal, waves)).collect();
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}
