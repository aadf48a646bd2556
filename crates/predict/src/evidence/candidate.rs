//! One law with one saturation, fitted to the observations of a step.

use nalgebra::{DMatrix, DVector, Matrix3, Vector3};

use super::{Expectation, Modifier, Observation};
use crate::{
    draws::vector,
    laws::{Law, space::channels_from_lab},
};

/// Most a law may multiply strength by, either way, whatever the draws say.
const STRENGTH_RANGE: f64 = 20.0;

/// Precision of an effect that no observation tells anything of: a standard deviation of 3.
const LEAST_PRECISION: f64 = 0.1;
/// The Jacobian of the prior where a channel is clipped; the same for each law.
const LEAST_DETERMINANT: f64 = 1e-6;

/// The maximum a posteriori fit of a law, and how good it is.
///
/// Parameters: the effect E of the three channels, a log factor for each modifier, a δ for each observation.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) law: Law,
    /// Strength acts as its γth power: below 1 the step saturates.
    pub(super) gamma: f64,
    pub(super) mode: DVector<f64>,
    /// Root of the covariance of the effect and the modifiers.
    pub(super) root: DMatrix<f64>,
    /// Logarithm of the evidence.
    pub(super) log_evidence: f64,
}

/// The observations made ready: whitened, strongest first, strengths relative to it.
pub(super) struct Lesson<'a> {
    pub(super) observations: Vec<&'a Observation>,
    pub(super) strengths: Vec<f64>,
    pub(super) whiteners: Vec<Matrix3<f64>>,
    pub(super) modifiers: &'a [Modifier],
    pub(super) expectation: Expectation,
}

impl Lesson<'_> {
    fn shared(&self) -> usize {
        3 + self.modifiers.len()
    }

    fn parameters(&self) -> usize {
        self.shared() + self.observations.len()
    }

    fn residuals(&self, law: Law, gamma: f64, theta: &DVector<f64>) -> DVector<f64> {
        let e = [theta[0], theta[1], theta[2]];
        let shared = self.shared();
        let mut residuals = Vec::with_capacity(3 * self.observations.len() + self.parameters());
        for (index, observation) in self.observations.iter().enumerate() {
            let log_factor = theta.as_slice()[3..shared].iter().zip(&observation.conditions).map(|(b, x)| b * x);
            let log_factor = log_factor.sum::<f64>() + theta[shared + index];
            let s = strength(self.strengths[index], gamma, log_factor);
            let miss = vector(observation.after) - vector(law.lab(observation.before, e, s));
            residuals.extend((self.whiteners[index] * miss).iter());
        }
        residuals.extend(theta.as_slice()[shared..].iter().map(|delta| delta / self.expectation.strength_sd));
        for (index, modifier) in self.modifiers.iter().enumerate() {
            residuals.push((theta[3 + index] - modifier.log_factor) / modifier.log_factor_sd.max(1e-3));
        }
        let change = self.change(law, e);
        residuals.extend((0..3).map(|axis| (change[axis] - self.expectation.dlab[axis]) / self.expectation.sd[axis]));
        DVector::from_vec(residuals)
    }

    /// ΔLab of an effect on the first wood at full strength.
    fn change(&self, law: Law, e: [f64; 3]) -> Vector3<f64> {
        let first = self.observations[0].before;
        vector(law.lab(first, e, 1.0)) - vector(first)
    }

    fn jacobian(&self, law: Law, gamma: f64, theta: &DVector<f64>, rows: usize) -> DMatrix<f64> {
        let mut jacobian = DMatrix::zeros(rows, theta.len());
        for column in 0..theta.len() {
            let h = 1e-4 * theta[column].abs().max(1e-2);
            let mut shifted = theta.clone();
            shifted[column] += h;
            let above = self.residuals(law, gamma, &shifted);
            shifted[column] = theta[column] - h;
            let below = self.residuals(law, gamma, &shifted);
            jacobian.set_column(column, &((above - below) / (2.0 * h)));
        }
        jacobian
    }

    /// Fits a law by Levenberg–Marquardt from the effect that explains the strongest observation exactly; None where
    /// the law cannot act on this wood at all.
    ///
    /// # Source
    /// Evidence by Laplace's approximation (MacKay 2003, Information Theory, Inference, and Learning Algorithms, ch. 27)
    /// with the prior of E given by its ΔLab: the same for each law, hence the Jacobian.
    pub(super) fn fit(&self, law: Law, gamma: f64) -> Option<Candidate> {
        let first = self.observations[0];
        let e = law.effect(channels_from_lab(first.before), channels_from_lab(first.after), 1.0);
        let mut theta = DVector::zeros(self.parameters());
        for channel in 0..3 {
            theta[channel] = e[channel];
        }
        for (index, modifier) in self.modifiers.iter().enumerate() {
            theta[3 + index] = modifier.log_factor;
        }
        let mut residuals = self.residuals(law, gamma, &theta);
        let (mut damping, mut cost) = (1e-3, residuals.norm_squared());
        let mut jacobian = self.jacobian(law, gamma, &theta, residuals.len());
        for _ in 0..60 {
            let normal = jacobian.transpose() * &jacobian;
            let gradient = jacobian.transpose() * &residuals;
            let mut damped = normal.clone();
            for index in 0..theta.len() {
                damped[(index, index)] += damping * normal[(index, index)].max(1e-9);
            }
            let Some(step) = damped.cholesky().map(|factor| factor.solve(&gradient)) else {
                damping *= 10.0;
                continue;
            };
            let trial = &theta - &step;
            let trial_residuals = self.residuals(law, gamma, &trial);
            let trial_cost = trial_residuals.norm_squared();
            if trial_cost < cost {
                let gain = cost - trial_cost;
                (theta, residuals, cost) = (trial, trial_residuals, trial_cost);
                jacobian = self.jacobian(law, gamma, &theta, residuals.len());
                damping = (damping / 8.0).max(1e-9);
                if gain < 1e-8 * (1.0 + cost) {
                    break;
                }
            } else {
                damping *= 6.0;
                if damping > 1e8 {
                    break;
                }
            }
        }
        self.candidate(law, gamma, theta, &jacobian, cost)
    }

    fn candidate(
        &self,
        law: Law,
        gamma: f64,
        mode: DVector<f64>,
        jacobian: &DMatrix<f64>,
        cost: f64,
    ) -> Option<Candidate> {
        let mut hessian = jacobian.transpose() * jacobian;
        // A channel that is clipped says nothing of its effect: it stays within sane bounds instead.
        for channel in 0..3 {
            hessian[(channel, channel)] += LEAST_PRECISION;
        }
        let factor = hessian.cholesky()?;
        let log_det: f64 = factor.l().diagonal().iter().map(|d| 2.0 * d.ln()).sum();
        let rows = jacobian.nrows();
        // The last three rows are ΔLab over its standard deviation: their block is ∂ΔLab/∂E up to a constant.
        let block = jacobian.view((rows - 3, 0), (3, 3)).determinant().abs().max(LEAST_DETERMINANT);
        let log_evidence = -0.5 * cost - 0.5 * log_det + block.ln();
        let shared = self.shared();
        let covariance = factor.inverse().view((0, 0), (shared, shared)).into_owned();
        let root = covariance.cholesky()?.l();
        log_evidence.is_finite().then_some(Candidate { law, gamma, mode, root, log_evidence })
    }
}

/// Strength as it acts: its γth power times a factor, within a wide range of the full strength.
pub(super) fn strength(relative: f64, gamma: f64, log_factor: f64) -> f64 {
    (relative.powf(gamma) * log_factor.exp()).clamp(0.0, STRENGTH_RANGE)
}
