//! One law with one saturation, fitted to the observations of a step.

use nalgebra::Matrix3;

use super::{
    Scatter,
    problem::{Block, Parameters, Problem, Shared},
};
use crate::laws::Law;

/// Precision of an effect that no observation tells anything of: a standard deviation of 3.
const LEAST_PRECISION: f64 = 0.1;
/// The Jacobian of the prior where a channel is clipped; the same for each law.
const LEAST_DETERMINANT: f64 = 1e-6;
/// Most steps of a fit.
const MOST_STEPS: usize = 60;

/// The maximum a posteriori fit of a law, and how good it is.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) law: Law,
    /// Strength acts as its γth power: below 1 the step saturates.
    pub(super) gamma: f64,
    /// Effect, modifiers, and a δ for each observation.
    pub(super) mode: Parameters,
    /// Root of the covariance of the effect and the modifiers.
    pub(super) root: Block,
    /// Logarithm of the chance that it only absorbs, where it must.
    pub(super) log_absorbs: f64,
    /// Logarithm of the evidence, that chance among it.
    pub(super) log_evidence: f64,
}

impl Candidate {
    /// Fits a law by Levenberg–Marquardt; None where the law cannot act on this wood at all.
    ///
    /// # Source
    /// Evidence by Laplace's approximation (MacKay 2003, Information Theory, Inference, and Learning Algorithms, ch. 27)
    /// with the prior of E given by its ΔLab: the same for each law, hence the Jacobian.
    pub(super) fn fit(
        problem: &Problem<'_>,
        (law, gamma): (Law, f64),
        start: Parameters,
        whiteners: &[Matrix3<f64>],
        scatter: Scatter,
    ) -> Option<Self> {
        let normal = |at: &Parameters| problem.normal(law, gamma, at, whiteners, scatter.strength_sd);
        let mut mode = start;
        let mut here = normal(&mode);
        let mut damping = 1e-3;
        for _ in 0..MOST_STEPS {
            let Some(trial) = here.step(&mode, damping) else {
                damping *= 10.0;
                continue;
            };
            let there = normal(&trial);
            if there.cost < here.cost {
                let gain = here.cost - there.cost;
                (mode, here) = (trial, there);
                damping = (damping / 8.0).max(1e-9);
                if gain < 1e-6 * (1.0 + here.cost) {
                    break;
                }
            } else {
                damping *= 6.0;
                if damping > 1e8 {
                    break;
                }
            }
        }
        let (mut block, _, log_det_of_deltas) = here.reduced(0.0);
        // A channel that is clipped says nothing of its effect: it stays within sane bounds instead.
        for channel in 0..3 {
            block[(channel, channel)] += LEAST_PRECISION;
        }
        let factor = block.cholesky()?;
        let log_det = log_det_of_deltas + factor.l().diagonal().iter().map(|d| 2.0 * d.ln()).sum::<f64>();
        // ∂ΔLab/∂E, up to a constant.
        let (_, slopes) = problem.change(law, &mode);
        let jacobian = slopes.determinant().abs().max(LEAST_DETERMINANT);
        let root = factor.inverse().cholesky()?.l();
        let log_absorbs = problem.log_absorbs(&mode, &root);
        let log_evidence = -0.5 * here.cost - 0.5 * log_det + jacobian.ln() + log_absorbs;
        log_evidence.is_finite().then_some(Self { law, gamma, mode, root, log_absorbs, log_evidence })
    }

    /// How well each scatter explains the observations, the law linear about this fit: logarithms of the marginal
    /// likelihood, up to a constant.
    ///
    /// # Source
    /// Gaussian linear model with the parameters integrated out: Rasmussen, Williams (2006), Gaussian Processes for Machine
    /// Learning, eq. 2.43.
    pub(super) fn scatter_likelihood(
        &self,
        problem: &Problem<'_>,
        scatters: impl Iterator<Item = Scatter>,
    ) -> Vec<f64> {
        let linear: Vec<_> = (0..problem.observations.len())
            .map(|index| {
                let mut linear = problem.linear(self.law, self.gamma, &self.mode, index);
                // The miss if its strength had been as said.
                linear.miss += linear.by_strength * self.mode.deltas[index];
                linear
            })
            .collect();
        scatters
            .map(|scatter| {
                let (mut block, mut gradient) = (Block::zeros(), Shared::zeros());
                let mut log = -0.5 * problem.add_prior(self.law, &self.mode, &mut block, &mut gradient);
                for channel in 0..3 {
                    block[(channel, channel)] += LEAST_PRECISION;
                }
                for (index, one) in linear.iter().enumerate() {
                    let strength_sd = scatter.strength_sd.hypot(problem.observations[index].strength_sd);
                    let along = one.by_strength * strength_sd;
                    let covariance = problem.covariance(index, scatter) + along * along.transpose();
                    let Some(factor) = covariance.cholesky() else { continue };
                    let weighted = factor.solve(&one.by_shared);
                    block += one.by_shared.transpose() * weighted;
                    gradient -= weighted.transpose() * one.miss;
                    let log_det: f64 = factor.l().diagonal().iter().map(|d| d.ln()).sum();
                    log -= 0.5 * one.miss.dot(&factor.solve(&one.miss)) + log_det;
                }
                let Some(factor) = block.cholesky() else { return f64::NEG_INFINITY };
                let log_det: f64 = factor.l().diagonal().iter().map(|d| d.ln()).sum();
                log + 0.5 * gradient.dot(&factor.solve(&gradient)) - log_det
            })
            .collect()
    }
}
