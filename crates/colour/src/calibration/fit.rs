//! One problem of the calibration: patches, an edition of the card, the prior, and how far a set of parameters is off.

use nalgebra::{DMatrix, Matrix3, SVector, Vector3};

use super::card::Reference;
use super::model::{Jacobian, Model, PARAMETERS, Recorded, Theta};
use super::prior::{Prior, Square};

/// Prior of the noise s²: this sum of squares, from this many degrees of freedom.
pub(super) const NOISE_PRIOR: (f64, f64) = (32.0, 8.0);
/// Parameters a channel takes from the patches, on average.
const TAKEN_PER_CHANNEL: f64 = 6.5;
/// Relative uncertainty of a clipped channel's light.
pub(super) const CLIPPED_SD: f64 = 0.3;

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
    /// Log of the evidence for this edition, curve and prior, up to a constant that all of a photo share.
    pub(super) evidence: f64,
}

/// What a patch says of a set of parameters.
pub(super) struct Observed {
    /// Derivatives of `weighed`.
    pub(super) by: Jacobian,
    /// The residual with the patch's weight, and what is clipped allowed for.
    pub(super) weighed: Vector3<f64>,
    /// The residual as it is, in the local metric.
    pub(super) residual: Vector3<f64>,
}

/// Derivatives of one residual, and the residual itself.
type Row = SVector<f64, { PARAMETERS + 1 }>;

/// Everything a fit needs.
#[derive(Clone, Copy)]
pub(super) struct Problem<'a> {
    pub(super) model: &'a Model,
    pub(super) prior: &'a Prior,
    pub(super) patches: &'a Patches,
    pub(super) reference: &'a Reference,
}

/// Residuals and, when asked for, their derivatives, whitened: rows are component by component.
#[derive(Debug, Clone)]
pub(super) struct Whitened {
    pub(super) residuals: Vec<Vector3<f64>>,
    /// Sum of squares of the whitened residuals.
    pub(super) square: f64,
    pub(super) gradient: Theta,
    pub(super) hessian: Square,
}

impl Problem<'_> {
    /// Log gains that bring the neutrals (or, on a card without, the greyest third) to their reference.
    pub(super) fn start(&self, used: &[usize]) -> [f64; 3] {
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

    pub(super) fn whitened(&self, theta: &Theta, used: &[usize], whitener: &DMatrix<f64>) -> Whitened {
        let mut residuals = Vec::with_capacity(used.len());
        let mut rows = [(); 3].map(|()| Vec::with_capacity(used.len()));
        for &p in used {
            let at = self.observed(theta, p);
            residuals.push(at.residual);
            for (c, rows) in rows.iter_mut().enumerate() {
                rows.push(Row::from_fn(|k, _| if k < PARAMETERS { at.by[(c, k)] } else { at.weighed[c] }));
            }
        }
        // The normal equations of all rows at once, the residual standing as the last column.
        let mut normal = [Row::zeros(); PARAMETERS + 1];
        for rows in &rows {
            for i in 0..rows.len() {
                let mut white = Row::zeros();
                for (j, row) in rows.iter().enumerate().take(i + 1) {
                    white += row * whitener[(i, j)];
                }
                for (sum, &share) in normal.iter_mut().zip(white.iter()) {
                    *sum += white * share;
                }
            }
        }
        let square = normal[PARAMETERS][PARAMETERS];
        let gradient = Theta::from_fn(|k, _| normal[k][PARAMETERS]);
        let hessian = Square::from_fn(|j, k| normal[j][k]);
        Whitened { residuals, square, gradient, hessian }
    }

    /// What a patch says of a set of parameters.
    pub(super) fn observed(&self, theta: &Theta, p: usize) -> Observed {
        let at = self.model.evaluate(theta, &self.patches.recorded[p]);
        let root = self.reference.root[p];
        let off = at.lab - self.reference.lab[p];
        let mut weigh = root * self.reference.weight_root[p];
        let mut censored = Matrix3::identity();
        for ch in self.patches.recorded[p].clipped_channels() {
            let j = root * at.by_log_light.column(ch) * CLIPPED_SD;
            censored += j * j.transpose();
        }
        if censored != Matrix3::identity() {
            weigh = inverse_root(&censored) * weigh;
        }
        Observed { by: weigh * at.by_parameter, weighed: weigh * off, residual: root * off }
    }
}

/// s² of a patch's own noise from the residuals.
///
/// # Source
/// Posterior mode under a scaled inverse χ² prior; the degrees of freedom taken by the fit are a measured average.
pub(super) fn noise(residuals: &[Vector3<f64>]) -> f64 {
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

    /// Residuals of a fit have the variance of the noise once for each observation less one for each parameter. Where that is
    /// just the variance the prior expects, 32/8, so is what is found, however many patches there are.
    ///
    /// # Source
    /// Degrees of freedom of the residuals: any textbook of least squares; the 6.5 parameters are this module's average.
    #[test]
    fn noise_as_expected_stays_so_for_any_number_of_patches() {
        for count in [11, 12, 18, 24, 60, 140] {
            let length = (3.0 * 4.0 * (count as f64 - 6.5) / count as f64).sqrt();
            let residuals: Vec<Vector3<f64>> = (0..count).map(|k| Vector3::ith(k % 3, length)).collect();
            let found = noise(&residuals);
            assert!((found - 4.0).abs() < 1e-12, "{count} patches: {found}");
        }
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
