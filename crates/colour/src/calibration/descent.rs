//! The maximum-a-posteriori fit by Levenberg–Marquardt, a few steps at a time.

use nalgebra::{Cholesky, DMatrix, Dim, Dyn, Matrix, RawStorage, Vector3};

use super::CalibrationError;
use super::fit::{NOISE_PRIOR, Problem, Solution, Whitened, noise};
use super::model::{GAIN, PARAMETERS, Theta};

/// Most steps of a fit.
const STEPS: usize = 14;
/// A step that lowers the cost by less than this share ends the fit.
const SETTLED: f64 = 1e-5;
/// A step is damped at most this often before the fit counts as settled.
const TRIES: usize = 8;

/// A fit under way.
pub(super) struct Descent<'a> {
    problem: Problem<'a>,
    used: &'a [usize],
    /// Cholesky factor of K.
    factor: Cholesky<f64, Dyn>,
    whitener: DMatrix<f64>,
    /// The prior's mean with the gains of the neutrals.
    centre: Theta,
    theta: Theta,
    now: Whitened,
    noise: f64,
    lambda: f64,
    steps_left: usize,
}

fn failed(problem: &str) -> CalibrationError {
    CalibrationError::NotFitted { problem: problem.to_owned() }
}

impl<'a> Descent<'a> {
    /// Starts a fit to the given patches from the prior's mean.
    pub(super) fn new(problem: Problem<'a>, used: &'a [usize]) -> Result<Self, CalibrationError> {
        let kernel = problem.reference.kernel(used, &problem.patches.pitches);
        let factor = kernel.cholesky().ok_or_else(|| failed("patches coincide"))?;
        let whitener = factor.l().try_inverse().ok_or_else(|| failed("patches coincide"))?;
        let mut centre = problem.prior.mean;
        for (ch, gain) in problem.start(used).into_iter().enumerate() {
            centre[GAIN + ch] += gain;
        }
        let now = problem.whitened(&centre, used, &whitener);
        let noise = noise(&now.residuals);
        Ok(Self { problem, used, factor, whitener, centre, theta: centre, now, noise, lambda: 1e-2, steps_left: STEPS })
    }

    /// Takes at most so many steps.
    pub(super) fn walk(&mut self, steps: usize) {
        for _ in 0..steps.min(self.steps_left) {
            self.steps_left -= 1;
            if self.step() {
                self.steps_left = 0;
                return;
            }
            self.noise = noise(&self.now.residuals);
        }
    }

    /// One step; whether it hardly lowered the cost.
    fn step(&mut self) -> bool {
        let prior = &self.problem.prior.precision;
        let cost = self.cost(&self.now, &self.theta);
        let precision = self.now.hessian / self.noise + prior;
        let gradient = self.now.gradient / self.noise + prior * (self.theta - self.centre);
        for _ in 0..TRIES {
            let mut damped = precision;
            for k in 0..PARAMETERS {
                damped[(k, k)] *= 1.0 + self.lambda;
            }
            if let Some(step) = damped.cholesky().map(|c| c.solve(&gradient)) {
                let trial = self.theta - step;
                let next = self.problem.whitened(&trial, self.used, &self.whitener);
                let lower = self.cost(&next, &trial);
                if lower < cost {
                    self.theta = trial;
                    self.now = next;
                    self.lambda = (self.lambda / 10.0).max(1e-9);
                    return cost - lower < SETTLED * cost;
                }
            }
            self.lambda *= 10.0;
        }
        true
    }

    fn cost(&self, at: &Whitened, theta: &Theta) -> f64 {
        let offset = theta - self.centre;
        at.square / self.noise + offset.dot(&(self.problem.prior.precision * offset))
    }

    /// Log of the evidence for this edition, curve and prior, up to a constant that all of a photo share.
    ///
    /// # Source
    /// Laplace's approximation: MacKay (2003) Information Theory, Inference, and Learning Algorithms, 27.
    pub(super) fn evidence(&self) -> f64 {
        let precision = self.now.hessian / self.noise + self.problem.prior.precision;
        let Some(precision) = precision.cholesky() else { return f64::NEG_INFINITY };
        let n = self.used.len() as f64;
        -0.5 * (self.cost(&self.now, &self.theta)
            + 3.0 * (n * self.noise.ln() + log_determinant(&self.factor.l()))
            + log_determinant(&precision.l())
            - self.problem.prior.log_precision
            - 2.0 * self.problem.prior.log_seen
            + NOISE_PRIOR.0 / self.noise
            + NOISE_PRIOR.1 * self.noise.ln())
    }

    /// Ends the fit.
    pub(super) fn finish(mut self) -> Result<Solution, CalibrationError> {
        self.walk(STEPS);
        let evidence = self.evidence();
        let precision = self.now.hessian / self.noise + self.problem.prior.precision;
        let covariance = precision.cholesky().ok_or_else(|| failed("the numbers ran away"))?.inverse();
        if !(self.theta.iter().all(|v| v.is_finite()) && self.noise.is_finite() && evidence.is_finite()) {
            return Err(failed("the numbers ran away"));
        }
        let stacked = DMatrix::from_fn(self.used.len(), 3, |i, c| self.now.residuals[i][c]);
        let weights = self.factor.solve(&stacked);
        let weights = (0..self.used.len()).map(|i| Vector3::from_fn(|c, _| weights[(i, c)])).collect();
        let used = self.used.to_vec();
        Ok(Solution { theta: self.theta, covariance, noise: self.noise, used, weights, evidence })
    }
}

/// Log of the determinant of a matrix whose lower Cholesky factor this is.
fn log_determinant<R: Dim, S: RawStorage<f64, R, R>>(factor: &Matrix<f64, R, R, S>) -> f64 {
    2.0 * (0..factor.nrows()).map(|k| factor[(k, k)].ln()).sum::<f64>()
}
