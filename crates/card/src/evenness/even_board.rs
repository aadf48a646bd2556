//! What an even board with this grain would still show.

use std::f64::consts::FRAC_1_SQRT_2;

use colour::Lab;
use colour::distribution::normal_quantile;
use colour::metric;
use nalgebra::{Matrix3, Vector3};

use super::smooth::{Light, low_pass, sigma};
use super::{lab_of, quantile};

/// The grain is studied in the middle of the region, this many cells each way at most.
const MOST_CELLS: usize = 400;
/// Spots and their edges may take a quarter of the area before they count as grain.
const QUARTILE: f64 = 0.75;
/// One of 20 even boards is less even than stated.
const SURE: f64 = 0.95;

/// The distribution of ΔE2000² between a place of an even board and its median, as a scaled χ²: `scale` × χ² with
/// `dof` degrees of freedom.
///
/// # Source
/// Satterthwaite (1946), DOI 10.2307/3002019: the first two moments of dᵀGd.
#[derive(Clone, Copy, Debug)]
pub(super) struct EvenBoard {
    scale: f64,
    dof: f64,
    places: f64,
    /// Covariance of its places in Lab.
    pub(super) covariance: Matrix3<f64>,
}

impl EvenBoard {
    /// From the light of a region with `places` places that can differ.
    ///
    /// The grain is seen between two narrower low-passes, where unevenness at the bench's scale adds little, and carried
    /// on to the cut-off as grain that runs through: with variance k/σ under a Gaussian of σ, the difference of two of
    /// them, σ and √2 σ, has k/σ (1 + √½ − 2/√1.5), since two Gaussians overlap as one of σ² = (σ₁² + σ₂²)/2 does with
    /// itself. The variance of specks falls faster, so that their bound is the safer one. Edges of spots are kept out by
    /// taking the size from the third quartile.
    pub(super) fn of(light: &Light, cut_off_px: f64, median: Lab, places: f64) -> Self {
        let part = light.middle(MOST_CELLS);
        let smoothed = |share: f64| lab_of(&low_pass(&part, sigma(cut_off_px) * share / part.cell_px));
        let metric = metric(median);
        let band = band_covariance(&smoothed(FRAC_1_SQRT_2), &smoothed(1.0), &part.inside(), &metric);
        let carried = FRAC_1_SQRT_2 / (1.0 + FRAC_1_SQRT_2 - 2.0 / 1.5f64.sqrt());
        // Lines differ across themselves alone: the root of the places of a square field.
        let places = places.sqrt();

        let covariance = band * carried;
        let gc = metric * covariance;
        let (mean, variance) = (gc.trace(), 2.0 * (gc * gc).trace());
        if mean.is_nan() || mean <= 1e-12 {
            return Self { scale: 0.0, dof: 1.0, places, covariance };
        }
        let dof = 2.0 * mean * mean / variance;
        // Over n normal numbers the logarithm of the third quartile of their squares has variance 3.4/n, which is what the
        // grain lets expect, and that of the 90 % point 3.1/n, which is what the board shows (p(1 − p)/f²q², χ²₁).
        let sure = (normal_quantile(SURE) * (6.5 / (places * dof)).sqrt()).exp();
        Self { scale: sure * variance / (2.0 * mean), dof, places, covariance }
    }

    /// ΔE2000 that no place of an even board reaches, but for this chance.
    ///
    /// # Source
    /// Bonferroni's bound over the places that can differ.
    pub(super) fn worst_de00(&self, chance: f64) -> f64 {
        self.de00(1.0 - chance / self.places)
    }

    /// ΔE2000 that a share of an even board's area stays below.
    ///
    /// # Source
    /// Wilson, Hilferty (1931), DOI 10.1073/pnas.17.12.684.
    pub(super) fn de00(&self, share: f64) -> f64 {
        (self.scale * self.dof * hilferty(self.dof, normal_quantile(share))).sqrt()
    }
}

/// χ² over its degrees of freedom at a normal quantile.
fn hilferty(dof: f64, z: f64) -> f64 {
    let part = 2.0 / (9.0 * dof);
    (1.0 - part + z * part.sqrt()).max(0.0).powi(3)
}

/// Covariance in Lab of what lies between two low-passes, scaled to what the third quartile says of its size.
fn band_covariance(finer: &[[f32; 3]], coarser: &[[f32; 3]], inside: &[bool], metric: &Matrix3<f64>) -> Matrix3<f64> {
    let mut covariance = Matrix3::zeros();
    let mut squares: Vec<f32> = Vec::new();
    for ((fine, coarse), _) in finer.iter().zip(coarser).zip(inside).filter(|(_, inside)| **inside) {
        let d = Vector3::from([0, 1, 2].map(|channel| f64::from(fine[channel]) - f64::from(coarse[channel])));
        covariance += d * d.transpose();
        squares.push((d.transpose() * metric * d).x as f32);
    }
    covariance /= squares.len().max(1) as f64;
    let gc = metric * covariance;
    let (mean, second) = (gc.trace(), (gc * gc).trace());
    if mean > 1e-12 {
        let expected = mean * hilferty(mean * mean / second, normal_quantile(QUARTILE));
        covariance *= (f64::from(quantile(&mut squares, QUARTILE)) / expected).min(1.0);
    }
    covariance
}
