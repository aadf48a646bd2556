//! The grain of a region: how much it spreads, and how many independent grains its mean averages over.

use nalgebra::{Matrix3, Vector3, Vector4};
use rayon::prelude::*;

/// Cells along an axis are taken as unrelated from the first lag whose correlation is below this.
const UNRELATED: f64 = 0.05;
/// Cells of the map that lags are averaged over.
const POINTS: usize = 1600;
/// A direction with at least this coherence is told: own judgement; the noise of a camera alone stays under 0.05.
const CLEAR: f64 = 0.15;
/// Most lags summed over the plane.
const LAGS: usize = 1500;

/// Lab by cell over the bounding box of a region; `None` outside it.
#[derive(Clone, Debug)]
pub(crate) struct Map {
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) cells: Vec<Option<[f32; 3]>>,
}

/// What the map says about the grain.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grain {
    /// Covariance of the mean of the region: that of its cells over the effective number of grains.
    pub(crate) covariance_of_mean: Matrix3<f64>,
    /// Effective number of grains, at least 1.
    pub(crate) grains: f64,
    /// Standard deviation in L, a, b below the coarse scale.
    pub(crate) spread: [f64; 3],
    /// Direction in which it runs, degrees from the map's rows towards its foot, 0..180; none where it is not clear.
    pub(crate) direction_deg: Option<f64>,
}

impl Map {
    fn at(&self, x: i64, y: i64) -> Option<[f64; 3]> {
        let inside = x >= 0 && y >= 0 && (x as usize) < self.columns && (y as usize) < self.rows;
        if inside { self.cells[y as usize * self.columns + x as usize].map(|lab| lab.map(f64::from)) } else { None }
    }

    fn points_of_row(&self, y: usize) -> impl Iterator<Item = (i64, i64, [f64; 3])> {
        let row = self.cells[y * self.columns..(y + 1) * self.columns].iter().enumerate();
        row.filter_map(move |(x, lab)| lab.map(|lab| (x as i64, y as i64, lab.map(f64::from))))
    }

    fn points(&self) -> impl Iterator<Item = (i64, i64, [f64; 3])> {
        (0..self.rows).flat_map(|y| self.points_of_row(y))
    }

    /// A sum over all points: each row by one thread, the rows in their order, so that it is the same on any machine.
    fn sum<T: std::iter::Sum<T> + Send>(&self, of: impl Fn((i64, i64, [f64; 3])) -> T + Sync) -> T {
        let rows: Vec<T> = (0..self.rows).into_par_iter().map(|y| self.points_of_row(y).map(&of).sum()).collect();
        rows.into_iter().sum()
    }
}

/// Studies a map; `coarse_cells` is the scale, in cells, above which unevenness is no grain.
///
/// The variance of the mean of a stationary field over an area A is σ² A₀ / A, A₀ its integral range: the integral of
/// its correlation over the plane. The correlation is summed along and across the direction of the grain, up to where
/// it has died out on either axis; where it has not died out at half the region's length, the grain is taken to run
/// through. Lightness, which carries most of the grain, gives A₀ for all three.
///
/// # Source
/// Lantuéjoul C. (1991), Ergodicity and integral range, Journal of Microscopy 161, 387–403; direction by the structure
/// tensor, Bigün, Granlund (1987).
pub(crate) fn study(map: &Map, coarse_cells: f64) -> Grain {
    let count = map.cells.iter().flatten().count();
    if count < 2 {
        return Grain { covariance_of_mean: Matrix3::zeros(), grains: 1.0, spread: [0.0; 3], direction_deg: None };
    }
    let n = count as f64;
    let mean = map.sum(|(_, _, lab)| Vector3::from(lab)) / n;
    let square = |lab: [f64; 3]| (Vector3::from(lab) - mean) * (Vector3::from(lab) - mean).transpose();
    let covariance = map.sum(|(_, _, lab)| square(lab)) / (n - 1.0);
    let variance = covariance[(0, 0)];
    let direction = Direction::of(map);
    let grains = if variance > 1e-9 { effective_grains(map, &direction, mean[0], variance, n) } else { n };
    Grain {
        covariance_of_mean: covariance / grains,
        grains,
        spread: spread(map, coarse_cells),
        direction_deg: direction.degrees(),
    }
}

fn effective_grains(map: &Map, direction: &Direction, mean: f64, variance: f64, n: f64) -> f64 {
    let along = direction.along;
    let across = [-along[1], along[0]];
    let points: Vec<(i64, i64, f64)> = {
        let step = (n as usize).div_ceil(POINTS);
        // A prime-like offset keeps thinned points from falling into columns.
        map.points()
            .enumerate()
            .filter(|(k, _)| k % step == (k / step * 7) % step)
            .map(|(_, (x, y, lab))| (x, y, lab[0] - mean))
            .collect()
    };
    let correlation = |u: f64, v: f64| {
        let shift = [0, 1].map(|axis| (u * along[axis] + v * across[axis]).round() as i64);
        let (mut sum, mut count) = (0.0, 0usize);
        for &(x, y, here) in &points {
            if let Some(there) = map.at(x + shift[0], y + shift[1]) {
                sum += here * (there[0] - mean);
                count += 1;
            }
        }
        (count * 20 >= points.len()).then(|| sum / count as f64 / variance)
    };
    let reach = |axis: [f64; 2]| {
        let extent = |at: &dyn Fn(&(i64, i64, f64)) -> f64| {
            let values = points.iter().map(at);
            let (low, high) = values.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low + 1.0
        };
        extent(&|&(x, y, _)| x as f64 * axis[0] + y as f64 * axis[1])
    };
    let dies_out = |extent: f64, at: &dyn Fn(f64) -> Option<f64>| {
        let last = (extent / 2.0).floor().max(1.0) as usize;
        (1..=last).find(|&lag| at(lag as f64).is_none_or(|r| r < UNRELATED)).map_or((last, true), |lag| (lag, false))
    };
    let (extent_u, extent_v) = (reach(along), reach(across));
    let (last_u, through_u) = dies_out(extent_u, &|lag| correlation(lag, 0.0));
    let (last_v, through_v) = dies_out(extent_v, &|lag| correlation(0.0, lag));

    let wide = ((2 * last_u + 1) * (2 * last_v + 1)).div_ceil(2 * LAGS).max(1);
    let stride = (wide as f64).sqrt().ceil() as usize;
    let steps = |last: usize| (last / stride) as i64;
    let mut sum = 0.0;
    for i in -steps(last_u)..=steps(last_u) {
        for j in 0..=steps(last_v) {
            if j == 0 && i < 0 {
                continue;
            }
            let lag = [(i * stride as i64) as f64, (j * stride as i64) as f64];
            let r = correlation(lag[0], lag[1]).unwrap_or(0.0);
            let weight = if i == 0 && j == 0 { 1.0 } else { 2.0 };
            sum += weight * r;
        }
    }
    let mut range = (sum * (stride * stride) as f64).max(1.0);
    for (through, extent, last) in [(through_u, extent_u, last_u), (through_v, extent_v, last_v)] {
        if through {
            range *= extent / (2 * last + 1) as f64;
        }
    }
    (n / range).clamp(1.0, n)
}

/// The direction of the grain: across it lightness changes most.
#[derive(Clone, Copy, Debug)]
struct Direction {
    /// Unit vector along the grain.
    along: [f64; 2],
    /// How much of the change of lightness runs one way, 0 (every way alike) to 1 (one way only).
    coherence: f64,
}

impl Direction {
    /// By the structure tensor of lightness.
    ///
    /// # Source
    /// Bigün, Granlund (1987); coherence as in Jähne, Digital Image Processing, 13.3.4: (λ₁ − λ₂)/(λ₁ + λ₂).
    fn of(map: &Map) -> Self {
        let of_point = |(x, y, _): (i64, i64, [f64; 3])| {
            let (Some(left), Some(right), Some(up), Some(down)) =
                (map.at(x - 1, y), map.at(x + 1, y), map.at(x, y - 1), map.at(x, y + 1))
            else {
                return Vector3::zeros();
            };
            let (gx, gy) = (right[0] - left[0], down[0] - up[0]);
            Vector3::new(gx * gx, gx * gy, gy * gy)
        };
        let tensor = map.sum(of_point);
        let (xx, xy, yy) = (tensor.x, tensor.y, tensor.z);
        let steepest = 0.5 * (2.0 * xy).atan2(xx - yy);
        let coherence = (xx - yy).hypot(2.0 * xy) / (xx + yy).max(1e-12);
        Self { along: [-steepest.sin(), steepest.cos()], coherence }
    }

    fn degrees(&self) -> Option<f64> {
        let degrees = self.along[1].atan2(self.along[0]).to_degrees().rem_euclid(180.0);
        (self.coherence >= CLEAR).then_some(degrees)
    }
}

/// Standard deviation of what is left when the mean over a square of `coarse` cells is taken off.
fn spread(map: &Map, coarse: f64) -> [f64; 3] {
    let (columns, rows, wide) = (map.columns, map.rows, map.columns + 1);
    // Sums over all cells above and left of a corner: along the rows first, then down the columns.
    let mut sums = vec![[0.0f64; 4]; wide * (rows + 1)];
    sums[wide..].par_chunks_mut(wide).enumerate().for_each(|(y, line)| {
        let mut row = [0.0; 4];
        for (sum, lab) in line[1..].iter_mut().zip(&map.cells[y * columns..]) {
            if let Some([l, a, b]) = lab.map(|lab| lab.map(f64::from)) {
                row = [row[0] + l, row[1] + a, row[2] + b, row[3] + 1.0];
            }
            *sum = row;
        }
    });
    for y in 1..rows {
        let (above, line) = sums[y * wide..(y + 2) * wide].split_at_mut(wide);
        for (sum, above) in line.as_flattened_mut().iter_mut().zip(above.as_flattened()) {
            *sum += above;
        }
    }
    let half = ((coarse - 1.0) / 2.0).round().max(1.0) as i64;
    let square = map.sum(|(x, y, lab)| {
        let (left, right) = ((x - half).max(0) as usize, ((x + half + 1) as usize).min(columns));
        let (top, bottom) = ((y - half).max(0) as usize, ((y + half + 1) as usize).min(rows));
        let corners = [(bottom, right), (top, right), (bottom, left), (top, left)].map(|(y, x)| &sums[y * wide + x]);
        let of = |k: usize| corners[0][k] - corners[1][k] - corners[2][k] + corners[3][k];
        let inside = of(3).max(1.0);
        Vector4::new(
            (lab[0] - of(0) / inside).powi(2),
            (lab[1] - of(1) / inside).powi(2),
            (lab[2] - of(2) / inside).powi(2),
            1.0,
        )
    });
    [square.x, square.y, square.z].map(|sum| (sum / f64::max(square.w - 1.0, 1.0)).sqrt())
}

#[cfg(test)]
#[path = "grain_tests.rs"]
mod tests;
