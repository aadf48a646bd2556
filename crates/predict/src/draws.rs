//! The joint draws: fixed, low-discrepancy, and shared by name.
//!
//! Whatever two predictions share (a reading's error, what is not known of an effect) they draw under the same name, so
//! the nth draws of both belong together.

use std::{
    collections::HashMap,
    sync::{Arc, LazyLock, PoisonError, RwLock},
};

use colour::Lab;
use nalgebra::{Matrix3, Vector3};
use wide::f32x8;

/// Draws of every estimate.
pub const COUNT: usize = 512;

/// Dimensions that are kept: 16 MB of each.
const MOST_KEPT: usize = 4096;

/// What was drawn, by source and dimension.
type Kept = LazyLock<RwLock<HashMap<(u32, u32), Arc<[f64; COUNT]>>>>;

static UNIFORMS: Kept = LazyLock::new(RwLock::default);
static NORMALS: Kept = LazyLock::new(RwLock::default);

/// What is kept, made where it is not.
fn kept(all: &Kept, key: (u32, u32), make: impl Fn(usize) -> f64) -> Arc<[f64; COUNT]> {
    if let Some(kept) = all.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
        return Arc::clone(kept);
    }
    let made: Arc<[f64; COUNT]> = Arc::new(std::array::from_fn(make));
    let mut kept = all.write().unwrap_or_else(PoisonError::into_inner);
    if kept.len() >= MOST_KEPT {
        kept.clear();
    }
    kept.insert(key, Arc::clone(&made));
    made
}

/// A named source of chance with up to 200 dimensions.
#[derive(Clone, Copy, Debug)]
pub struct Source(u32);

impl Source {
    /// The source of this name.
    pub fn named(name: &str) -> Self {
        // FNV-1a, 32 bits: the same on every machine.
        Self(name.bytes().fold(0x811c_9dc5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)))
    }

    /// Uniform in (0, 1).
    pub fn uniform(self, draw: usize, dimension: u32) -> f64 {
        let u = f64::from(sobol_burley::sample(draw as u32, dimension, self.0));
        u.clamp(1e-6, 1.0 - 1e-6)
    }

    /// Normal with mean 0 and variance 1.
    pub fn normal(self, draw: usize, dimension: u32) -> f64 {
        normal_quantile(self.uniform(draw, dimension))
    }

    /// One dimension, uniform in (0, 1), for every joint draw. Kept, for the same ones are asked for again and again.
    pub(crate) fn uniforms(self, dimension: u32) -> Arc<[f64; COUNT]> {
        kept(&UNIFORMS, (self.0, dimension), |draw| self.uniform(draw, dimension))
    }

    /// The normals of one dimension for every joint draw; kept likewise.
    pub(crate) fn normals(self, dimension: u32) -> Arc<[f64; COUNT]> {
        kept(&NORMALS, (self.0, dimension), |draw| self.normal(draw, dimension))
    }

    /// The normals of three dimensions from `first` on, for every joint draw.
    pub(crate) fn normals3(self, first: u32) -> [Arc<[f64; COUNT]>; 3] {
        [self.normals(first), self.normals(first + 1), self.normals(first + 2)]
    }

    /// Three normals, from dimension `first` on.
    pub fn normal3(self, draw: usize, first: u32) -> Vector3<f64> {
        Vector3::new(self.normal(draw, first), self.normal(draw, first + 1), self.normal(draw, first + 2))
    }
}

/// Quantile of the normal distribution.
///
/// # Source
/// P. J. Acklam's rational approximation (relative error below 1.15e-9).
pub fn normal_quantile(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969683028665376e1,
        2.209460984245205e2,
        -2.759285104469687e2,
        1.383_577_518_672_69e2,
        -3.066479806614716e1,
        2.506628277459239,
    ];
    const B: [f64; 5] =
        [-5.447609879822406e1, 1.615858368580409e2, -1.556989798598866e2, 6.680131188771972e1, -1.328068155288572e1];
    const C: [f64; 6] = [
        -7.784894002430293e-3,
        -3.223964580411365e-1,
        -2.400758277161838,
        -2.549732539343734,
        4.374664141464968,
        2.938163982698783,
    ];
    const D: [f64; 4] = [7.784695709041462e-3, 3.224671290700398e-1, 2.445134137142996, 3.754408661907416];
    let poly = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let tail = |q: f64| poly(&C, q) / (poly(&D, q) * q + 1.0);
    if p < 0.02425 {
        tail((-2.0 * p.ln()).sqrt())
    } else if p > 1.0 - 0.02425 {
        -tail((-2.0 * (1.0 - p).ln()).sqrt())
    } else {
        let q = p - 0.5;
        let r = q * q;
        poly(&A, r) * q / (poly(&B, r) * r + 1.0)
    }
}

/// A root L of a covariance, `L·Lᵀ = covariance`; what is not positive definite is made so.
pub fn root(covariance: &Matrix3<f64>) -> Matrix3<f64> {
    let symmetric = (covariance + covariance.transpose()) * 0.5;
    let eigen = symmetric.symmetric_eigen();
    eigen.eigenvectors * Matrix3::from_diagonal(&eigen.eigenvalues.map(|value| value.max(0.0).sqrt()))
}

/// A colour moved by a vector in L*, a*, b*.
pub fn moved(lab: Lab, by: Vector3<f64>) -> Lab {
    Lab::new(lab.l + by.x, lab.a + by.y, lab.b + by.z)
}

/// L*, a*, b* as a vector.
pub fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}

/// The geometric median of colours: the point with the least sum of distances in L*, a*, b*.
///
/// # Source
/// Weiszfeld's iteration, as corrected by Vardi and Zhang (2000), PNAS 97:1423–1426, for a point on a datum.
pub fn geometric_median(colours: &[Lab]) -> Lab {
    if colours.is_empty() {
        return Lab::new(0.0, 0.0, 0.0);
    }
    // Eight abreast in single precision, as seen from their mean: small numbers, so far finer than any reading.
    let start = colours.iter().map(|lab| vector(*lab)).sum::<Vector3<f64>>() / colours.len() as f64;
    let groups: Vec<([f32x8; 3], f32x8)> = colours
        .chunks(8)
        .map(|some| {
            let lanes = |of: fn(Lab) -> f64, from: f64| {
                f32x8::from(std::array::from_fn(|lane| some.get(lane).map_or(0.0, |lab| (of(*lab) - from) as f32)))
            };
            let counts = f32x8::from(std::array::from_fn(|lane| if lane < some.len() { 1.0 } else { 0.0 }));
            ([lanes(|lab| lab.l, start.x), lanes(|lab| lab.a, start.y), lanes(|lab| lab.b, start.z)], counts)
        })
        .collect();
    let mut at = Vector3::<f32>::zeros();
    for _ in 0..100 {
        let (mut sums, mut weights) = ([f32x8::ZERO; 3], f32x8::ZERO);
        for (points, counts) in &groups {
            let off = [0, 1, 2].map(|axis| points[axis] - f32x8::splat(at[axis]));
            let distance = (off[0] * off[0] + off[1] * off[1] + off[2] * off[2]).sqrt();
            let weight = *counts / distance.max(f32x8::splat(1e-6));
            sums.iter_mut().zip(points).for_each(|(sum, point)| *sum += *point * weight);
            weights += weight;
        }
        let next = Vector3::from(sums.map(|sum| sum.reduce_add())) / weights.reduce_add();
        let step = (next - at).norm();
        at = next;
        if step < 1e-4 {
            break;
        }
    }
    let at = at.map(f64::from);
    moved(Lab::new(0.0, 0.0, 0.0), start + at)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles of the normal distribution: Abramowitz and Stegun (1964), table 26.5.
    #[test]
    fn quantiles_of_the_table() {
        for (p, z) in [(0.5, 0.0), (0.9, 1.281_551_6), (0.95, 1.644_853_6), (0.99, 2.326_347_9), (0.001, -3.090_232_3)]
        {
            assert!((normal_quantile(p) - z).abs() < 1e-6);
        }
    }

    #[test]
    fn what_is_kept_is_what_is_drawn() {
        let source = Source::named("kept");
        for dimension in [0, 3] {
            let (first, again) = (source.normals(dimension), source.normals(dimension));
            assert!((0..COUNT).all(|draw| first[draw] == source.normal(draw, dimension)));
            let uniforms = source.uniforms(dimension);
            assert!((0..COUNT).all(|draw| uniforms[draw] == source.uniform(draw, dimension)));
            assert_eq!(first, again);
        }
    }

    #[test]
    fn equal_names_share_and_others_do_not() {
        let (a, b, c) = (Source::named("dye"), Source::named("dye"), Source::named("stain"));
        let correlation = |x: Source, y: Source| {
            (0..COUNT).map(|draw| x.normal(draw, 1) * y.normal(draw, 1)).sum::<f64>() / COUNT as f64
        };
        assert!((correlation(a, b) - 1.0).abs() < 0.05);
        assert!(correlation(a, c).abs() < 0.15);
    }
}
