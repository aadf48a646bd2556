//! Fits to all patches and to all but one, each choosing its edition, and what they predict.

use nalgebra::{Matrix3, Vector3};

use super::CalibrationError;
use super::card::{Reference, lab};
use super::fit::{CLIPPED_SD, Patches, Problem, Solution};
use super::light::prior_beside;
use super::model::{Model, Recorded};
use super::prior::Prior;
use crate::metric::metric_root;

/// What all fits of one photo share.
#[derive(Debug, Clone)]
pub(super) struct Photo {
    pub(super) model: Model,
    pub(super) prior: Prior,
    pub(super) patches: Patches,
    pub(super) editions: Vec<Reference>,
}

/// A fit with the edition it chose.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    pub(super) solution: Solution,
    pub(super) edition: usize,
}

/// A prediction by a fit, with what its uncertainty needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Predicted {
    pub(super) lab: Vector3<f64>,
    /// Variance from the parameters over the noise, mean of the three axes.
    pub(super) leverage: f64,
    /// Covariance from clipped channels, in the local metric.
    pub(super) clipped: Matrix3<f64>,
    /// The edition the fit chose.
    pub(super) edition: usize,
}

impl Photo {
    /// Fits the given patches with each edition and keeps the one that fits best.
    pub(super) fn choose(&self, used: &[usize]) -> Result<Chosen, CalibrationError> {
        let mut best: Option<Chosen> = None;
        let mut failed = CalibrationError::NoEdition;
        for (edition, reference) in self.editions.iter().enumerate() {
            match self.problem(reference, &self.prior).solve(used) {
                Ok(solution) if best.as_ref().is_none_or(|b| solution.misfit < b.solution.misfit) => {
                    best = Some(Chosen { solution, edition });
                }
                Ok(_) => {}
                Err(error) => failed = error,
            }
        }
        best.ok_or(failed)
    }

    /// The fit for what lies beside the card, with the edition chosen on it.
    pub(super) fn beside(&self, on_card: &Chosen) -> Result<Chosen, CalibrationError> {
        let failed =
            || CalibrationError::NotFitted { problem: "the light's prior is not positive definite".to_owned() };
        let prior = prior_beside(&self.prior).ok_or_else(failed)?;
        let solution = self.problem(&self.editions[on_card.edition], &prior).solve(&on_card.solution.used)?;
        Ok(Chosen { solution, edition: on_card.edition })
    }

    /// For each readable patch, its prediction by a fit to the usable patches without it.
    pub(super) fn leave_out(
        &self,
        readable: &[usize],
        usable: &[usize],
    ) -> Result<Vec<Option<Predicted>>, CalibrationError> {
        let mut predicted = vec![None; self.patches.recorded.len()];
        for &p in readable {
            let others: Vec<usize> = usable.iter().copied().filter(|&q| q != p).collect();
            let fold = self.choose(&others)?;
            predicted[p] = Some(self.predict(&fold, &self.patches.recorded[p], Some(self.patches.pitches[p])));
        }
        Ok(predicted)
    }

    /// Predicts a recorded colour; with a place in patch pitches as a patch of the card.
    pub(super) fn predict(&self, chosen: &Chosen, recorded: &Recorded, pitch_place: Option<[f64; 2]>) -> Predicted {
        let at = self.model.evaluate(&chosen.solution.theta, recorded);
        let root = metric_root(lab(&at.lab));
        let by = root * at.by_parameter;
        let variance = by * chosen.solution.covariance * by.transpose();
        let mut clipped = Matrix3::zeros();
        for ch in recorded.clipped_channels() {
            let j = root * at.by_log_light.column(ch) * CLIPPED_SD;
            clipped += j * j.transpose();
        }
        let lab = self.krige(chosen, &at.lab, pitch_place);
        let leverage = variance.trace() / (3.0 * chosen.solution.noise);
        Predicted { lab, leverage, clipped, edition: chosen.edition }
    }

    /// As [`Photo::predict`], the colour alone.
    pub(super) fn predict_lab(
        &self,
        chosen: &Chosen,
        recorded: &Recorded,
        pitch_place: Option<[f64; 2]>,
    ) -> Vector3<f64> {
        self.krige(chosen, &self.model.lab(&chosen.solution.theta, recorded), pitch_place)
    }

    /// Lab of the model less the residuals kriged at that colour.
    fn krige(&self, chosen: &Chosen, at: &Vector3<f64>, pitch_place: Option<[f64; 2]>) -> Vector3<f64> {
        let reference = &self.editions[chosen.edition];
        let solution = &chosen.solution;
        let kernel = reference.kernel_to(at, pitch_place, &solution.used, &self.patches.pitches);
        let residual: Vector3<f64> = kernel.iter().zip(&solution.weights).map(|(k, w)| w * *k).sum();
        let back = metric_root(lab(at)).try_inverse().unwrap_or_else(Matrix3::identity);
        at - back * residual
    }

    fn problem<'a>(&'a self, reference: &'a Reference, prior: &'a Prior) -> Problem<'a> {
        Problem { model: &self.model, prior, patches: &self.patches, reference }
    }
}
