//! What a photo may be: each edition of the card under each curve of the file, lit by one lamp or by two, fitted and weighed.

use nalgebra::{Matrix3, Vector3};

use super::CalibrationError;
use super::card::{Reference, lab};
use super::curve::Curve;
use super::descent::Descent;
use super::fit::{CLIPPED_SD, Patches, Problem, Solution};
use super::light::{prior_beside, prior_of_two_lamps};
use super::model::{Model, Recorded};
use super::prior::Prior;
use crate::metric::metric_root;

/// Hypotheses with a smaller share than this of the best one's weight are dropped.
const LEAST_WEIGHT: f64 = 0.01;
/// After these steps a fit shows whether it has a chance.
const FIRST_STEPS: usize = 4;
/// A fit whose log evidence is then this far behind the best has none: it would need a weight of e^-12.
const HOPELESS: f64 = 12.0;

/// Share of photos in which two lamps of different colour light the card. Own judgement, no source.
const TWO_LAMPS: f64 = 0.05;

/// What lights the card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lamps {
    /// One lamp, or several alike.
    One,
    /// Two whose colours differ, so that the light's colour changes over the card.
    Two,
}

impl Lamps {
    fn share(self) -> f64 {
        match self {
            Self::One => 1.0 - TWO_LAMPS,
            Self::Two => TWO_LAMPS,
        }
    }
}

/// A colour as the file has it, in the linear light that its profile describes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub(super) device: [f64; 3],
    pub(super) clipped: [bool; 3],
    /// Where it lies, in the card's frame.
    pub(super) place: [f64; 2],
}

impl Seen {
    fn by(&self, curve: Curve) -> Recorded {
        Recorded::new(curve.light(self.device), self.clipped, self.place)
    }
}

/// What all fits of one photo share.
#[derive(Debug, Clone)]
pub(super) struct Photo {
    pub(super) model: Model,
    pub(super) prior: Prior,
    two_lamps: Prior,
    pub(super) seen: Vec<Seen>,
    /// The patches' places in pitches.
    pub(super) pitches: Vec<[f64; 2]>,
    /// The patches' light by each of [`Curve::ALL`].
    pub(super) patches: Vec<Patches>,
    pub(super) editions: Vec<Reference>,
}

/// One fit among those that may be right.
#[derive(Debug, Clone)]
pub(super) struct Hypothesis {
    pub(super) solution: Solution,
    pub(super) edition: usize,
    pub(super) curve: Curve,
    pub(super) lamps: Lamps,
    /// Its share among all.
    pub(super) weight: f64,
}

impl Hypothesis {
    /// Log of how likely it is, up to a constant that all of a photo share.
    pub(super) fn log_likelihood(&self) -> f64 {
        self.solution.evidence + self.lamps.share().ln()
    }
}

/// The fits that may be right, the likeliest first; there is always one.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    pub(super) best: Hypothesis,
    others: Vec<Hypothesis>,
}

impl Weighed {
    /// Whether two lamps may light the card.
    pub(super) fn may_have_two_lamps(&self) -> bool {
        self.all().any(|fit| fit.lamps == Lamps::Two)
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &Hypothesis> {
        std::iter::once(&self.best).chain(&self.others)
    }
}

/// A prediction, with what its uncertainty needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Predicted {
    pub(super) lab: Vector3<f64>,
    /// Variance from the parameters over the noise, mean of the three axes.
    pub(super) leverage: f64,
    /// Covariance from clipped channels and from hypotheses that differ, in the local metric.
    pub(super) added: Matrix3<f64>,
    /// The edition of the likeliest hypothesis.
    pub(super) edition: usize,
}

impl Photo {
    pub(super) fn new(
        model: Model,
        prior: &Prior,
        seen: Vec<Seen>,
        pitches: Vec<[f64; 2]>,
        editions: Vec<Reference>,
    ) -> Result<Self, CalibrationError> {
        let by = |curve: Curve| Patches {
            recorded: seen.iter().map(|seen| seen.by(curve)).collect(),
            pitches: pitches.clone(),
        };
        let patches = Curve::ALL.map(by).to_vec();
        let two_lamps = prior_of_two_lamps(prior).ok_or_else(no_prior)?;
        Ok(Self { model, prior: prior.clone(), two_lamps, seen, pitches, patches, editions })
    }

    /// Fits the given patches by each hypothesis and weighs them by their evidence; that of two lamps where it is asked for,
    /// for the edition and curve that are likeliest with one.
    pub(super) fn weigh(&self, used: &[usize], with_two_lamps: bool) -> Result<Weighed, CalibrationError> {
        let mut failed = CalibrationError::NoEdition;
        let mut begun = Vec::with_capacity(self.patches.len() * self.editions.len());
        for (patches, curve) in self.patches.iter().zip(Curve::ALL) {
            for (edition, reference) in self.editions.iter().enumerate() {
                match Descent::new(self.problem(patches, reference, &self.prior), used) {
                    Ok(mut descent) => {
                        descent.walk(FIRST_STEPS);
                        begun.push((descent.evidence(), descent, edition, curve));
                    }
                    Err(error) => failed = error,
                }
            }
        }
        let ahead = begun.iter().map(|(evidence, ..)| *evidence).fold(f64::NEG_INFINITY, f64::max);
        let mut fits = Vec::with_capacity(begun.len());
        for (evidence, descent, edition, curve) in begun {
            if evidence < ahead - HOPELESS {
                continue;
            }
            match descent.finish() {
                Ok(solution) => fits.push(Hypothesis { solution, edition, curve, lamps: Lamps::One, weight: 1.0 }),
                Err(error) => failed = error,
            }
        }
        let likelier = |a: &Hypothesis, b: &Hypothesis| b.log_likelihood().total_cmp(&a.log_likelihood());
        fits.sort_by(likelier);
        if with_two_lamps && let Some(best) = fits.first() {
            let (edition, curve, lamps) = (best.edition, best.curve, Lamps::Two);
            let problem = self.problem(&self.patches[curve as usize], &self.editions[edition], self.prior_with(lamps));
            if let Ok(solution) = Descent::new(problem, used).and_then(Descent::finish) {
                fits.push(Hypothesis { solution, edition, curve, lamps, weight: 1.0 });
                fits.sort_by(likelier);
            }
        }
        let top = fits.first().map_or(0.0, Hypothesis::log_likelihood);
        for fit in &mut fits {
            fit.weight = (fit.log_likelihood() - top).exp();
        }
        fits.retain(|fit| fit.weight >= LEAST_WEIGHT);
        let sum: f64 = fits.iter().map(|fit| fit.weight).sum();
        for fit in &mut fits {
            fit.weight /= sum;
        }
        let mut fits = fits.into_iter();
        let best = fits.next().ok_or(failed)?;
        Ok(Weighed { best, others: fits.collect() })
    }

    /// The fits for what lies beside the card, weighed as on it.
    pub(super) fn beside(&self, on_card: &Weighed) -> Result<Weighed, CalibrationError> {
        let again = |fit: &Hypothesis| {
            let prior = prior_beside(self.prior_with(fit.lamps)).ok_or_else(no_prior)?;
            let patches = &self.patches[fit.curve as usize];
            let problem = self.problem(patches, &self.editions[fit.edition], &prior);
            let solution = Descent::new(problem, &fit.solution.used)?.finish()?;
            Ok(Hypothesis { solution, ..fit.clone() })
        };
        let others = on_card.others.iter().map(again).collect::<Result<_, CalibrationError>>()?;
        Ok(Weighed { best: again(&on_card.best)?, others })
    }

    /// Predicts a colour; with a place in patch pitches as a patch of the card.
    pub(super) fn predict(&self, fits: &Weighed, seen: &Seen, pitch_place: Option<[f64; 2]>) -> Predicted {
        let each: Vec<(f64, Vector3<f64>)> =
            fits.all().map(|fit| (fit.weight, self.lab_by(fit, seen, pitch_place))).collect();
        let mean: Vector3<f64> = each.iter().map(|(weight, at)| at * *weight).sum();
        let root = metric_root(lab(&mean));
        let mut added = Matrix3::zeros();
        for (weight, at) in &each {
            let off = root * (at - mean);
            added += off * off.transpose() * *weight;
        }
        let recorded = seen.by(fits.best.curve);
        let at = self.model.evaluate(&fits.best.solution.theta, &recorded);
        for ch in recorded.clipped_channels() {
            let j = root * at.by_log_light.column(ch) * CLIPPED_SD;
            added += j * j.transpose();
        }
        let by = root * at.by_parameter;
        let variance = (by * fits.best.solution.covariance * by.transpose()).trace() / 3.0;
        Predicted { lab: mean, leverage: variance / fits.best.solution.noise, added, edition: fits.best.edition }
    }

    /// As [`Photo::predict`], the colour alone.
    pub(super) fn predict_lab(&self, fits: &Weighed, seen: &Seen, pitch_place: Option<[f64; 2]>) -> Vector3<f64> {
        fits.all().map(|fit| self.lab_by(fit, seen, pitch_place) * fit.weight).sum()
    }

    /// By how much a colour would change per log of the light on it, by the likeliest fit: of all light, of red, of blue.
    pub(super) fn by_light(&self, fits: &Weighed, seen: &Seen) -> Matrix3<f64> {
        let Hypothesis { solution, curve, .. } = &fits.best;
        let by = self.model.evaluate(&solution.theta, &seen.by(*curve)).by_log_light;
        let [red, green, blue] = [0, 1, 2].map(|channel| by.column(channel).into_owned());
        Matrix3::from_columns(&[red + green + blue, red, blue])
    }

    /// Lab of one model less the residuals kriged at that colour.
    fn lab_by(&self, fit: &Hypothesis, seen: &Seen, pitch_place: Option<[f64; 2]>) -> Vector3<f64> {
        let solution = &fit.solution;
        let at = self.model.lab(&solution.theta, &seen.by(fit.curve));
        let kernel = self.editions[fit.edition].kernel_to(&at, pitch_place, &solution.used, &self.pitches);
        let residual: Vector3<f64> = kernel.iter().zip(&solution.weights).map(|(k, w)| w * *k).sum();
        let back = metric_root(lab(&at)).try_inverse().unwrap_or_else(Matrix3::identity);
        at - back * residual
    }

    fn prior_with(&self, lamps: Lamps) -> &Prior {
        match lamps {
            Lamps::One => &self.prior,
            Lamps::Two => &self.two_lamps,
        }
    }

    pub(super) fn problem<'a>(
        &'a self,
        patches: &'a Patches,
        reference: &'a Reference,
        prior: &'a Prior,
    ) -> Problem<'a> {
        Problem { model: &self.model, prior, patches, reference }
    }
}

fn no_prior() -> CalibrationError {
    CalibrationError::NotFitted { problem: "the light's prior is not positive definite".to_owned() }
}
