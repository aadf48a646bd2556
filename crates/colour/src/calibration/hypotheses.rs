//! What a photo may be: each edition of the card under each curve of the file, lit in one way or another, fitted and weighed.

use std::borrow::Cow;

use nalgebra::{Matrix3, Vector3};

use super::card::{Reference, lab};
use super::curve::Curve;
use super::descent::Descent;
use super::fit::{CLIPPED_SD, Patches, Problem, Solution};
use super::light::prior_beside;
use super::lit::{Lit, most_promising};
use super::model::{Local, Model, Recorded};
use super::prior::Prior;
use super::{CalibrationError, Gradients, gradients};
use crate::metric::metric_root;

/// Hypotheses with a smaller share than this of the best one's weight are dropped.
const LEAST_WEIGHT: f64 = 0.01;
/// After these steps a fit shows whether it has a chance.
const FIRST_STEPS: usize = 4;
/// A fit whose log evidence is then this far behind the best has none: it would need a weight of e^-12.
const HOPELESS: f64 = 12.0;

/// What lights a card is fitted where the log evidence may come within this of the best, to first order.
const PROMISING: f64 = -6.0;

/// Steps by which the likeliest of them is moved about, pitches, and gain in log evidence below which it stays.
const PLACE_STEPS: [f64; 2] = [0.3, 0.12];
const PLACE_SETTLED: f64 = 0.05;

/// A colour as the file has it, in the linear light that its profile describes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub(super) device: [f64; 3],
    pub(super) clipped: [bool; 3],
    /// Where it lies, in the card's frame.
    pub(super) place: [f64; 2],
}

impl Seen {
    fn by(&self, curve: Curve, local: Local) -> Recorded {
        Recorded::new(curve.light(self.device), self.clipped, self.place, local)
    }
}

/// What all fits of one photo share.
#[derive(Debug, Clone)]
pub(super) struct Photo {
    pub(super) model: Model,
    /// What is to be expected under one lamp.
    pub(super) prior: Prior,
    gradients: Option<Gradients>,
    pub(super) seen: Vec<Seen>,
    /// The patches' places in pitches.
    pub(super) pitches: Vec<[f64; 2]>,
    /// Pitches to one unit of place, across and down.
    pitches_to_place: [f64; 2],
    /// The patches' light by each of [`Curve::ALL`], where nothing falls on part of the card.
    pub(super) by_curve: Vec<Patches>,
    pub(super) editions: Vec<Reference>,
}

/// One fit among those that may be right.
#[derive(Debug, Clone)]
pub(super) struct Hypothesis {
    pub(super) solution: Solution,
    pub(super) edition: usize,
    pub(super) curve: Curve,
    pub(super) lit: Lit,
    /// Its share among all.
    pub(super) weight: f64,
}

impl Hypothesis {
    /// Log of how likely it is, up to a constant that all of a photo share.
    pub(super) fn log_likelihood(&self) -> f64 {
        self.solution.evidence + self.lit.share().ln()
    }
}

/// The fits that may be right, the likeliest first; there is always one.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    pub(super) best: Hypothesis,
    others: Vec<Hypothesis>,
}

impl Weighed {
    /// What may light the card beside one lamp.
    pub(super) fn otherwise_lit(&self) -> Vec<Lit> {
        self.all().map(|fit| fit.lit).filter(|lit| *lit != Lit::OneLamp).collect()
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &Hypothesis> {
        std::iter::once(&self.best).chain(&self.others)
    }
}

/// What else than one lamp is tried.
#[derive(Debug, Clone)]
pub(super) enum Otherwise {
    /// Two lamps, and what the patches themselves point to.
    Anything,
    /// These alone.
    Only(Vec<Lit>),
}

impl Otherwise {
    fn of(&self, photo: &Photo, fit: &Hypothesis) -> Vec<Lit> {
        match self {
            Self::Only(those) => those.clone(),
            Self::Anything => {
                let cast = most_promising(photo, fit);
                let promising = |(gain, lit): (f64, Lit)| {
                    (gain + lit.share().ln() - Lit::OneLamp.share().ln() > PROMISING).then_some(lit)
                };
                std::iter::once(Lit::TwoLamps).chain(cast.into_iter().filter_map(promising)).collect()
            }
        }
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
            recorded: seen.iter().map(|seen| seen.by(curve, Local::Slope)).collect(),
            pitches: pitches.clone(),
        };
        let by_curve = Curve::ALL.map(by).to_vec();
        let pitches_to_place = [0, 1].map(|axis| pitches_to_place(&seen, &pitches, axis));
        Ok(Self { model, prior: prior.clone(), gradients: None, seen, pitches, pitches_to_place, by_curve, editions })
    }

    /// The same, where it is known how the light changes within the patches.
    pub(super) fn with(self, gradients: Option<Gradients>) -> Self {
        Self { gradients, ..self }
    }

    /// A place in pitches from the card's middle.
    pub(super) fn pitches_of(&self, place: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|axis| place[axis] * self.pitches_to_place[axis])
    }

    /// The patches' light.
    pub(super) fn patches(&self, curve: Curve, lit: Lit) -> Cow<'_, Patches> {
        if lit.cast_sd().is_none() {
            return Cow::Borrowed(&self.by_curve[curve as usize]);
        }
        let recorded = self.seen.iter().map(|seen| self.recorded(seen, curve, lit)).collect();
        Cow::Owned(Patches { recorded, pitches: self.pitches.clone() })
    }

    fn recorded(&self, seen: &Seen, curve: Curve, lit: Lit) -> Recorded {
        seen.by(curve, self.local(lit, seen.place))
    }

    /// What lights a place, in the card's frame. What mirrors in the card's surface ends with it.
    pub(super) fn local(&self, lit: Lit, place: [f64; 2]) -> Local {
        let beyond = place.iter().any(|along| along.abs() > 1.0);
        match lit.local(self.pitches_of(place)) {
            Local::Veil(_) if beyond => Local::Veil(0.0),
            local => local,
        }
    }

    /// What is to be expected of a photo lit so.
    pub(super) fn prior(&self, lit: Lit) -> Option<Prior> {
        let before = lit.prior(&self.prior)?;
        match &self.gradients {
            None => Some(before),
            Some(gradients) => gradients::told(gradients, lit, before, &self.prior),
        }
    }

    fn prior_beside(&self, lit: Lit) -> Option<Prior> {
        prior_beside(&self.prior(lit)?, lit)
    }

    /// Fits the given patches by each hypothesis and weighs them by their evidence. What else than one lamp may light the card is
    /// fitted for the edition and curve that are likeliest with one.
    pub(super) fn weigh(&self, used: &[usize], otherwise: &Otherwise) -> Result<Weighed, CalibrationError> {
        let mut failed = CalibrationError::NoEdition;
        let one_lamp = self.prior(Lit::OneLamp).ok_or_else(no_prior)?;
        let mut begun = Vec::with_capacity(self.by_curve.len() * self.editions.len());
        for (patches, curve) in self.by_curve.iter().zip(Curve::ALL) {
            for (edition, reference) in self.editions.iter().enumerate() {
                match Descent::new(self.problem(patches, reference, &one_lamp), used) {
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
                Ok(solution) => fits.push(Hypothesis { solution, edition, curve, lit: Lit::OneLamp, weight: 1.0 }),
                Err(error) => failed = error,
            }
        }
        let likelier = |a: &Hypothesis, b: &Hypothesis| b.log_likelihood().total_cmp(&a.log_likelihood());
        fits.sort_by(likelier);
        if let Some(best) = fits.first() {
            let more = otherwise.of(self, best).into_iter().filter_map(|lit| self.lit_otherwise(best, lit));
            let mut more: Vec<Hypothesis> = more.collect();
            if let Otherwise::Anything = otherwise {
                self.settle_place(best, &mut more);
            }
            fits.extend(more);
            fits.sort_by(likelier);
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

    /// A fit again, the card lit otherwise.
    fn lit_otherwise(&self, fit: &Hypothesis, lit: Lit) -> Option<Hypothesis> {
        let prior = self.prior(lit)?;
        let patches = self.patches(fit.curve, lit);
        let problem = self.problem(&patches, &self.editions[fit.edition], &prior);
        let solution = Descent::new(problem, &fit.solution.used).and_then(Descent::finish).ok()?;
        Some(Hypothesis { solution, lit, ..fit.clone() })
    }

    /// Moves the likeliest shadow or reflection about on the card as long as that makes it likelier, where it is not hopeless.
    fn settle_place(&self, one_lamp: &Hypothesis, casts: &mut [Hypothesis]) {
        let likelier = |a: &&mut Hypothesis, b: &&mut Hypothesis| a.log_likelihood().total_cmp(&b.log_likelihood());
        let likeliest = casts.iter_mut().filter(|fit| fit.lit.cast_sd().is_some()).max_by(likelier);
        let worth = one_lamp.log_likelihood() + PROMISING;
        let Some(best) = likeliest.filter(|fit| fit.log_likelihood() > worth) else { return };
        for step in PLACE_STEPS {
            loop {
                let nearby = best.lit.nearby(step).into_iter().filter_map(|lit| self.lit_otherwise(one_lamp, lit));
                let better = nearby.max_by(|a, b| a.log_likelihood().total_cmp(&b.log_likelihood()));
                match better.filter(|one| one.log_likelihood() > best.log_likelihood() + PLACE_SETTLED) {
                    Some(one) => *best = one,
                    None => break,
                }
            }
        }
    }

    /// The fits for what lies beside the card, weighed as on it.
    pub(super) fn beside(&self, on_card: &Weighed) -> Result<Weighed, CalibrationError> {
        let again = |fit: &Hypothesis| {
            let prior = self.prior_beside(fit.lit).ok_or_else(no_prior)?;
            let patches = self.patches(fit.curve, fit.lit);
            let problem = self.problem(&patches, &self.editions[fit.edition], &prior);
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
        let recorded = self.recorded(seen, fits.best.curve, fits.best.lit);
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
        let Hypothesis { solution, curve, lit, .. } = &fits.best;
        let by = self.model.evaluate(&solution.theta, &self.recorded(seen, *curve, *lit)).by_log_light;
        let [red, green, blue] = [0, 1, 2].map(|channel| by.column(channel).into_owned());
        Matrix3::from_columns(&[red + green + blue, red, blue])
    }

    pub(super) fn lab_by(&self, fit: &Hypothesis, seen: &Seen, pitch_place: Option<[f64; 2]>) -> Vector3<f64> {
        self.lab_in(fit, seen, self.local(fit.lit, seen.place), pitch_place)
    }

    /// Lab of one model less the residuals kriged at that colour.
    pub(super) fn lab_in(
        &self,
        fit: &Hypothesis,
        seen: &Seen,
        local: Local,
        pitch_place: Option<[f64; 2]>,
    ) -> Vector3<f64> {
        let solution = &fit.solution;
        let at = self.model.lab(&solution.theta, &seen.by(fit.curve, local));
        let kernel = self.editions[fit.edition].kernel_to(&at, pitch_place, &solution.used, &self.pitches);
        let residual: Vector3<f64> = kernel.iter().zip(&solution.weights).map(|(k, w)| w * *k).sum();
        let back = metric_root(lab(&at)).try_inverse().unwrap_or_else(Matrix3::identity);
        at - back * residual
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

/// Pitches to one unit of place along an axis of the card.
fn pitches_to_place(seen: &[Seen], pitches: &[[f64; 2]], axis: usize) -> f64 {
    let range = |of: &dyn Fn(usize) -> f64| {
        let ends = (0..seen.len()).map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        ends.1 - ends.0
    };
    let place = range(&|p| seen[p].place[axis]);
    if place > 0.0 { range(&|p| pitches[p][axis]) / place } else { 1.0 }
}

fn no_prior() -> CalibrationError {
    CalibrationError::NotFitted { problem: "the light's prior is not positive definite".to_owned() }
}
