//! Flat four-sided regions of the picture: what may be patches.

mod shape;

use super::preview::Preview;
use rayon::prelude::*;
use shape::{Corners, Ellipse, Moments};

/// A flat region with the shape of a parallelogram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Blob {
    /// Its middle, in pixels of the largest picture searched.
    pub centre: [f64; 2],
    /// Two sides, as vectors.
    pub sides: [[f64; 2]; 2],
    /// Area in square pixels.
    pub area: f64,
}

/// Steps over two pixels, in thousandths of the full encoded range, from which on a pixel is not flat.
const THRESHOLDS: [u8; 4] = [10, 22, 50, 110];

/// Shorter runs of flat pixels are noise, or a leak from one region to the next.
const SHORTEST_RUN_PX: usize = 3;

/// Long side of the smallest copy searched.
const SMALLEST_LEVEL_PX: usize = 160;

/// Smallest area of a patch in pixels of the level it is seen on.
const SMALLEST_PX: f64 = 22.0;

/// Finds flat parallelograms on the picture and on ever smaller copies of it, where blur and grain matter less.
pub(crate) fn blobs(picture: &Preview) -> Vec<Blob> {
    let exposure = exposure(picture);
    let mut found = of_level(picture, exposure, 1.0);
    let (mut level, mut zoom) = (picture.half(), 2.0);
    while level.width.max(level.height) >= SMALLEST_LEVEL_PX {
        found.extend(of_level(&level, exposure, zoom));
        level = level.half();
        zoom *= 2.0;
    }
    found
}

/// The flat parallelograms of one level. `zoom`: pixels of the largest picture per pixel of this level.
fn of_level(level: &Preview, exposure: f32, zoom: f64) -> Vec<Blob> {
    let steps = steepness(level, exposure);
    THRESHOLDS
        .par_iter()
        .flat_map_iter(|&threshold| regions(&steps, level.width, level.height, threshold))
        .map(|blob| Blob {
            centre: blob.centre.map(|v| v * zoom),
            sides: blob.sides.map(|side| side.map(|v| v * zoom)),
            area: blob.area * zoom * zoom,
        })
        .collect()
}

/// Gain that brings the bright end of the picture to 1, up to 4.
fn exposure(level: &Preview) -> f32 {
    let mut histogram = [0usize; 256];
    for value in &level.rgb {
        let top = value[0].max(value[1]).max(value[2]);
        histogram[(top * 255.0).clamp(0.0, 255.0) as usize] += 1;
    }
    let mut left = level.rgb.len() / 50;
    for code in (1..256).rev() {
        if histogram[code] > left {
            return (255.0 / code as f32).clamp(1.0, 4.0);
        }
        left -= histogram[code];
    }
    4.0
}

/// The largest step over two pixels, across or down, in any channel, in thousandths of the full range up to 255.
fn steepness(level: &Preview, exposure: f32) -> Vec<u8> {
    let (width, height) = (level.width, level.height);
    let mut steps = vec![u8::MAX; width * height];
    if width < 3 || height < 3 {
        return steps;
    }
    let gain = 1000.0 * exposure;
    steps[width..(height - 1) * width].par_chunks_mut(width).enumerate().for_each(|(row, out)| {
        let here = &level.rgb[(row + 1) * width..(row + 2) * width];
        let above = &level.rgb[row * width..(row + 1) * width];
        let below = &level.rgb[(row + 2) * width..(row + 3) * width];
        for x in 1..width - 1 {
            let (left, right, up, down) = (here[x - 1], here[x + 1], above[x], below[x]);
            let mut most = 0.0f32;
            for c in 0..3 {
                most = most.max((right[c] - left[c]).abs()).max((down[c] - up[c]).abs());
            }
            // `as` saturates, and takes NaN to 0
            out[x] = (most * gain) as u8;
        }
    });
    steps
}

/// Connected flat pixels in one row.
#[derive(Clone, Copy)]
struct Run {
    row: usize,
    start: usize,
    end: usize,
}

fn regions(steps: &[u8], width: usize, height: usize, threshold: u8) -> Vec<Blob> {
    let mut runs: Vec<Run> = Vec::new();
    let mut parents: Vec<u32> = Vec::new();
    let mut previous = 0..0;
    for y in 0..height {
        let line = &steps[y * width..(y + 1) * width];
        let first = runs.len();
        let mut x = 0;
        while x < width {
            if line[x] >= threshold {
                x += 1;
                continue;
            }
            let start = x;
            while x < width && line[x] < threshold {
                x += 1;
            }
            if x - start >= SHORTEST_RUN_PX {
                parents.push(runs.len() as u32);
                runs.push(Run { row: y, start, end: x });
            }
        }
        let mut above = previous.start;
        for k in first..runs.len() {
            while above < previous.end && runs[above].end <= runs[k].start {
                above += 1;
            }
            let mut touching = above;
            while touching < previous.end && runs[touching].start < runs[k].end {
                join(&mut parents, touching as u32, k as u32);
                touching += 1;
            }
        }
        previous = first..runs.len();
    }
    let mut moments = vec![Moments::default(); runs.len()];
    for (k, run) in runs.iter().enumerate() {
        let root = root(&mut parents, k as u32) as usize;
        moments[root].add(&Moments::of_run(run.start, run.end, run.row));
    }
    let largest = (width * height) as f64 / 6.0;
    let mut slot = vec![u32::MAX; runs.len()];
    let mut shapes = Vec::new();
    for (k, moment) in moments.iter().enumerate() {
        if moment.n >= SMALLEST_PX
            && moment.n <= largest
            && let Some(ellipse) = Ellipse::of(moment)
        {
            slot[k] = shapes.len() as u32;
            shapes.push((ellipse, Corners::default()));
        }
    }
    for (k, run) in runs.iter().enumerate() {
        let root = root(&mut parents, k as u32) as usize;
        if slot[root] != u32::MAX {
            let (ellipse, corners) = &mut shapes[slot[root] as usize];
            corners.add(ellipse.whitened(run.start as f64, run.row as f64));
            corners.add(ellipse.whitened(run.end as f64 - 1.0, run.row as f64));
        }
    }
    shapes.into_iter().filter_map(|(ellipse, corners)| ellipse.parallelogram(&corners)).collect()
}

fn root(parents: &mut [u32], mut k: u32) -> u32 {
    while parents[k as usize] != k {
        parents[k as usize] = parents[parents[k as usize] as usize];
        k = parents[k as usize];
    }
    k
}

fn join(parents: &mut [u32], a: u32, b: u32) {
    let (a, b) = (root(parents, a), root(parents, b));
    if a != b {
        parents[a.max(b) as usize] = a.min(b);
    }
}
