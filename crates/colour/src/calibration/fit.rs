//! The maximum-a-posteriori fit by Levenberg–Marquardt.

use nalgebra::{DMatrix, Matrix3, RowSVector, SVector, Vector3};

use super::CalibrationError;
use super::card::Reference;
use super::model::{GAIN, Model, PARAMETERS, Recorded, Theta};
use super::prior::{Prior, Square};

/// Steps of Levenberg–Marquardt.
const STEPS: usize = 14;
/// A step that lowers the cost by less than this share ends the fit.
const SETTLED: f64 = 1e-5;
/// Prior of the noise s²: this sum of squares, from this many degrees of freedom.
const NOISE_PRIOR: (f64, f64) = (32.0, 8.0);
/// Parameters a channel takes from the patches, on average.
const TAKEN_PER_CHANNEL: f64 = 6.5;
/// Relative uncertainty of a clipped channel's light.
pub(super) const CLIPPED_SD: f64 = 0.3;
/// A residual is counted at most as this when editions are compared.
const EDITION_CAP: f64 = 12.0;

/// The photo's side of a fit.
#[derive(Debug, Clone)]
pub(super) struct Patches {
    pub(super) recorded: Vec<Recorded>,
    pub(super) pitches: Vec<[f64; 2]>,
}

/// A fit to some of the patches.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) theta: Theta,
    /// Posterior covariance of the parameters.
    pub(super) covariance: Square,
    /// Variance of a patch's own noise, in the local metric.
    pub(super) noise: f64,
    /// Patches used.
    pub(super) used: Vec<usize>,
    /// K⁻¹ r, for kriging.
    pub(super) weights: Vec<Vector3<f64>>,
    /// Mean residual, each capped: how well the edition fits.
    pub(super) misfit: f64,
}

/// Everything a fit needs.
#[derive(Clone, Copy)]
pub(super) struct Problem<'a> {
    pub(super) model: &'a Model,
    pub(super) prior: &'a Prior,
    pub(super) patches: &'a Patches,
    pub(super) reference: &'a Reference,
}

/// Residuals and, when asked for, their derivatives, whitened: rows are component by component.
struct Whitened {
    residuals: Vec<Vector3<f64>>,
    /// Sum of squares of the whitened residuals.
    square: f64,
    gradient: Theta,
    hessian: Square,
}

impl Problem<'_> {
    /// Fits the given patches.
    pub(super) fn solve(&self, used: &[usize]) -> Result<Solution, CalibrationError> {
        let failed = |problem: &str| CalibrationError::NotFitted { problem: problem.to_owned() };
        let kernel = self.reference.kernel(used, &self.patches.pitches);
        let factor = kernel.cholesky().ok_or_else(|| failed("patches coincide"))?;
        let whitener = factor.l().try_inverse().ok_or_else(|| failed("patches coincide"))?;
        let mut centre = self.prior.mean;
        let start = self.start(used);
        for ch in 0..3 {
            centre[GAIN + ch] += start[ch];
        }
        let mut theta = centre;
        let mut now = self.whitened(&theta, used, &whitener);
        let mut noise = noise(&now.residuals);
        let mut lambda = 1e-2;
        for _ in 0..STEPS {
            let offset = theta - centre;
            let precision = now.hessian / noise + self.prior.precision;
            let gradient = now.gradient / noise + self.prior.precision * offset;
            let cost = now.square / noise + offset.dot(&(self.prior.precision * offset));
            let mut settled = true;
            for _ in 0..8 {
                let mut damped = precision;
                for k in 0..PARAMETERS {
                    damped[(k, k)] *= 1.0 + lambda;
                }
                let Some(step) = damped.cholesky().map(|c| c.solve(&gradient)) else {
                    lambda *= 10.0;
                    continue;
                };
                let trial = theta - step;
                let next = self.whitened(&trial, used, &whitener);
                let offset = trial - centre;
                let trial_cost = next.square / noise + offset.dot(&(self.prior.precision * offset));
                if trial_cost < cost {
                    settled = cost - trial_cost < SETTLED * cost;
                    theta = trial;
                    now = next;
                    lambda = (lambda / 10.0).max(1e-9);
                    break;
                }
                lambda *= 10.0;
            }
            if settled {
                break;
            }
            noise = self::noise(&now.residuals);
        }
        let covariance = (now.hessian / noise + self.prior.precision).cholesky().map(|c| c.inverse());
        let covariance = covariance.ok_or_else(|| failed("the numbers ran away"))?;
        if !(theta.iter().all(|v| v.is_finite()) && noise.is_finite()) {
            return Err(failed("the numbers ran away"));
        }
        let stacked = DMatrix::from_fn(used.len(), 3, |i, c| now.residuals[i][c]);
        let weights = factor.solve(&stacked);
        let weights = (0..used.len()).map(|i| Vector3::from_fn(|c, _| weights[(i, c)])).collect();
        let capped = now.residuals.iter().map(|r| r.norm().min(EDITION_CAP)).sum::<f64>();
        let misfit = capped / used.len() as f64;
        Ok(Solution { theta, covariance, noise, used: used.to_vec(), weights, misfit })
    }

    /// Log gains that bring the neutrals (or, on a card without, the greyest third) to their reference.
    fn start(&self, used: &[usize]) -> [f64; 3] {
        let Some(rgb_from_xyz) = self.model.rgb_from_xyz() else { return [0.0; 3] };
        let grey = |p: usize| self.reference.lab[p].y.hypot(self.reference.lab[p].z);
        let whole =
            |&p: &usize| self.patches.recorded[p].clipped_channels().next().is_none() && self.reference.lab[p].x > 15.0;
        let mut by_chroma: Vec<usize> = used.iter().copied().filter(whole).collect();
        if by_chroma.is_empty() {
            by_chroma = used.to_vec();
        }
        by_chroma.sort_by(|&a, &b| grey(a).total_cmp(&grey(b)));
        let neutrals = by_chroma.iter().filter(|&&p| grey(p) < 8.0).count();
        by_chroma.truncate(neutrals.max(by_chroma.len().div_ceil(3)));
        [0, 1, 2].map(|ch| {
            let ratio = |&p: &usize| {
                let lin = Model::linear(&self.prior.mean, &self.patches.recorded[p])[ch];
                let xyz = crate::xyz_from_lab(super::card::lab(&self.reference.lab[p]));
                let want = (rgb_from_xyz * Vector3::new(xyz.x, xyz.y, xyz.z))[ch];
                (lin > 1e-5 && want > 1e-5).then(|| (want / lin).ln())
            };
            median(by_chroma.iter().filter_map(ratio).collect())
        })
    }

    fn whitened(&self, theta: &Theta, used: &[usize], whitener: &DMatrix<f64>) -> Whitened {
        let n = used.len();
        let mut residuals = Vec::with_capacity(n);
        let mut stacked = [(); 3].map(|()| DMatrix::<f64>::zeros(n, PARAMETERS + 1));
        for (i, &p) in used.iter().enumerate() {
            let at = self.model.evaluate(theta, &self.patches.recorded[p]);
            let root = self.reference.root[p];
            let r = root * (at.lab - self.reference.lab[p]);
            residuals.push(r);
            let mut weigh = root * self.reference.weight_root[p];
            let mut censored = Matrix3::identity();
            for ch in self.patches.recorded[p].clipped_channels() {
                let j = root * at.by_log_light.column(ch) * CLIPPED_SD;
                censored += j * j.transpose();
            }
            if censored != Matrix3::identity() {
                weigh = inverse_root(&censored) * weigh;
            }
            let by = weigh * at.by_parameter;
            let r = weigh * (at.lab - self.reference.lab[p]);
            for c in 0..3 {
                let row: RowSVector<f64, PARAMETERS> = by.row(c).into();
                stacked[c].view_mut((i, 0), (1, PARAMETERS)).copy_from(&row);
                stacked[c][(i, PARAMETERS)] = r[c];
            }
        }
        let mut square = 0.0;
        let mut gradient = Theta::zeros();
        let mut hessian = Square::zeros();
        for block in &stacked {
            let white = whitener * block;
            let r = white.column(PARAMETERS);
            let j = white.columns(0, PARAMETERS);
            square += r.norm_squared();
            let g: SVector<f64, PARAMETERS> = SVector::from_iterator(j.tr_mul(&r).iter().copied());
            gradient += g;
            let h = j.tr_mul(&j);
            hessian += Square::from_iterator(h.iter().copied());
        }
        Whitened { residuals, square, gradient, hessian }
    }
}

/// s² of a patch's own noise from the residuals.
///
/// # Source
/// Posterior mode under a scaled inverse χ² prior; the degrees of freedom taken by the fit are a measured average.
fn noise(residuals: &[Vector3<f64>]) -> f64 {
    let sum: f64 = residuals.iter().map(Vector3::norm_squared).sum();
    let left = (residuals.len() as f64 - TAKEN_PER_CHANNEL).max(4.0);
    (NOISE_PRIOR.0 + sum / 3.0) / (NOISE_PRIOR.1 + left)
}

/// M^-½ of a symmetric positive definite matrix.
fn inverse_root(m: &Matrix3<f64>) -> Matrix3<f64> {
    let eigen = m.symmetric_eigen();
    let roots = eigen.eigenvalues.map(|v| 1.0 / v.max(1.0).sqrt());
    eigen.eigenvectors * Matrix3::from_diagonal(&roots) * eigen.eigenvectors.transpose()
}

/// Median; 0 for none.
fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    if n == 0 { 0.0 } else { (values[(n - 1) / 2] + values[n / 2]) / 2.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source of the value: (32 + Σ|r|²/3)/(8 + max(n − 6.5, 4)) in numpy 2.4.6.
    #[test]
    fn noise_agrees_with_numpy() {
        let r = [Vector3::new(1.0, 0.5, -0.2), Vector3::new(-1.5, 0.3, 0.8), Vector3::new(0.2, 2.0, -0.4)];
        assert!((noise(&r) - 2.901944444444444).abs() < 1e-12);
    }

    /// Source: the definition, M^-½ M M^-½ = I.
    #[test]
    fn inverse_root_whitens() {
        let j = Vector3::new(0.4, -2.0, 1.1);
        let m = Matrix3::identity() + j * j.transpose();
        let w = inverse_root(&m);
        assert!((w * m * w - Matrix3::identity()).norm() < 1e-12);
    }
}
