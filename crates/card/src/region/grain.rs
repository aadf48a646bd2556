//! The grain of a region: how much it spreads, and how many independent grains its mean averages over.

use nalgebra::{Matrix3, Vector3};

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
    pub(crate) cells: Vec<Option<[f64; 3]>>,
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
    fn at(&self, x: i64, y: i64) -> Option<&[f64; 3]> {
        let inside = x >= 0 && y >= 0 && (x as usize) < self.columns && (y as usize) < self.rows;
        if inside { self.cells[y as usize * self.columns + x as usize].as_ref() } else { None }
    }

    fn points(&self) -> impl Iterator<Item = (i64, i64, &[f64; 3])> {
        let columns = self.columns;
        let place = move |k: usize| ((k % columns) as i64, (k / columns) as i64);
        self.cells.iter().enumerate().filter_map(move |(k, lab)| lab.as_ref().map(|lab| (place(k).0, place(k).1, lab)))
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
    let labs: Vec<Vector3<f64>> = map.points().map(|(_, _, lab)| Vector3::from(*lab)).collect();
    if labs.len() < 2 {
        return Grain { covariance_of_mean: Matrix3::zeros(), grains: 1.0, spread: [0.0; 3], direction_deg: None };
    }
    let n = labs.len() as f64;
    let mean = labs.iter().sum::<Vector3<f64>>() / n;
    let covariance = labs.iter().map(|lab| (lab - mean) * (lab - mean).transpose()).sum::<Matrix3<f64>>() / (n - 1.0);
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
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for (x, y, _) in map.points() {
            if let (Some(left), Some(right), Some(up), Some(down)) =
                (map.at(x - 1, y), map.at(x + 1, y), map.at(x, y - 1), map.at(x, y + 1))
            {
                let (gx, gy) = (right[0] - left[0], down[0] - up[0]);
                xx += gx * gx;
                xy += gx * gy;
                yy += gy * gy;
            }
        }
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
    let (columns, rows) = (map.columns, map.rows);
    let wide = columns + 1;
    let mut sums = vec![[0.0f64; 4]; wide * (rows + 1)];
    for y in 0..rows {
        let mut row = [0.0; 4];
        for x in 0..columns {
            if let Some(lab) = &map.cells[y * columns + x] {
                for (sum, value) in row.iter_mut().zip([lab[0], lab[1], lab[2], 1.0]) {
                    *sum += value;
                }
            }
            let above = sums[y * wide + x + 1];
            sums[(y + 1) * wide + x + 1] = [0, 1, 2, 3].map(|k| above[k] + row[k]);
        }
    }
    let half = ((coarse - 1.0) / 2.0).round().max(1.0) as i64;
    let mut square = [0.0; 3];
    let mut count = 0.0;
    for (x, y, lab) in map.points() {
        let (left, right) = ((x - half).max(0) as usize, ((x + half + 1) as usize).min(columns));
        let (top, bottom) = ((y - half).max(0) as usize, ((y + half + 1) as usize).min(rows));
        let of = |k: usize| {
            sums[bottom * wide + right][k] - sums[top * wide + right][k] - sums[bottom * wide + left][k]
                + sums[top * wide + left][k]
        };
        let inside = of(3).max(1.0);
        for k in 0..3 {
            square[k] += (lab[k] - of(k) / inside).powi(2);
        }
        count += 1.0;
    }
    square.map(|sum| (sum / f64::max(count - 1.0, 1.0)).sqrt())
}

#[cfg(test)]
#[path = "grain_tests.rs"]
mod tests;
