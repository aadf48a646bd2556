//! Flat four-sided regions of the picture: what may be patches.

use super::preview::Preview;
use rayon::prelude::*;

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

/// Area over the area of the parallelogram with the same second moments: 1 for every parallelogram, 1.047 for ellipses,
/// less for ragged or hollow shapes.
const FULLNESS: std::ops::Range<f64> = 0.86..1.06;

/// Squareness after whitening: 1 for a parallelogram's corners, 0 for an ellipse.
const LEAST_SQUARENESS: f64 = 0.18;

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

/// Area, first and second moments of a set of pixels.
#[derive(Clone, Copy, Default)]
struct Moments {
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Moments {
    fn of_run(start: usize, end: usize, row: usize) -> Moments {
        let (a, b, y) = (start as f64, end as f64, row as f64);
        let n = b - a;
        let x = n * (a + b - 1.0) / 2.0;
        let squares = |k: f64| (k - 1.0) * k * (2.0 * k - 1.0) / 6.0;
        Moments { n, x, y: n * y, xx: squares(b) - squares(a), xy: x * y, yy: n * y * y }
    }

    fn add(&mut self, other: &Moments) {
        self.n += other.n;
        self.x += other.x;
        self.y += other.y;
        self.xx += other.xx;
        self.xy += other.xy;
        self.yy += other.yy;
    }
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

/// The ellipse of inertia: middle and the lower triangle of the Cholesky factor of the covariance.
struct Ellipse {
    centre: [f64; 2],
    area: f64,
    l: [f64; 3],
}

/// Fourth circular moment of the outline in whitened coordinates: its angle is four times that of a corner.
#[derive(Default)]
struct Corners {
    re: f64,
    im: f64,
    weight: f64,
}

impl Corners {
    fn add(&mut self, p: [f64; 2]) {
        let r2 = p[0] * p[0] + p[1] * p[1];
        if r2 <= 0.0 {
            return;
        }
        // weight r⁴: corners stand out
        let (c2, s2) = (p[0] * p[0] - p[1] * p[1], 2.0 * p[0] * p[1]);
        self.re += c2 * c2 - s2 * s2;
        self.im += 2.0 * c2 * s2;
        self.weight += r2 * r2;
    }
}

impl Ellipse {
    fn of(m: &Moments) -> Option<Ellipse> {
        let centre = [m.x / m.n, m.y / m.n];
        // 1/12: a pixel is a unit square, not a point
        let xx = m.xx / m.n - centre[0] * centre[0] + 1.0 / 12.0;
        let yy = m.yy / m.n - centre[1] * centre[1] + 1.0 / 12.0;
        let xy = m.xy / m.n - centre[0] * centre[1];
        let determinant = xx * yy - xy * xy;
        if determinant <= 0.0 || !FULLNESS.contains(&(m.n / (12.0 * determinant.sqrt()))) {
            return None;
        }
        // not a strip: the axes of inertia within a factor of 3.3
        let (half, root) = ((xx + yy) / 2.0, (((xx - yy) / 2.0).powi(2) + xy * xy).sqrt());
        if (half + root) > 11.0 * (half - root) {
            return None;
        }
        let l0 = xx.sqrt();
        let l1 = xy / l0;
        Some(Ellipse { centre, area: m.n, l: [l0, l1, (yy - l1 * l1).max(0.0).sqrt()] })
    }

    fn whitened(&self, x: f64, y: f64) -> [f64; 2] {
        let (dx, dy) = (x - self.centre[0], y - self.centre[1]);
        let p = dx / self.l[0];
        [p, (dy - self.l[1] * p) / self.l[2]]
    }

    fn parallelogram(&self, corners: &Corners) -> Option<Blob> {
        let squareness = corners.re.hypot(corners.im) / corners.weight;
        if squareness < LEAST_SQUARENESS {
            return None;
        }
        let angle = corners.im.atan2(corners.re) / 4.0;
        // A square of unit covariance has sides of √12, at 45° to its corners.
        let side = |turn: f64| {
            let (s, c) = (angle + turn).sin_cos();
            let length = 12f64.sqrt();
            [length * self.l[0] * c, length * (self.l[1] * c + self.l[2] * s)]
        };
        let quarter = std::f64::consts::FRAC_PI_4;
        Some(Blob {
            centre: [self.centre[0] + 0.5, self.centre[1] + 0.5],
            sides: [side(-quarter), side(quarter)],
            area: self.area,
        })
    }
}
