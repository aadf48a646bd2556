//! Patches that something lies on: a label, a finger, dirt, a soft reflection. What is recorded there is no paint of the card,
//! and a fit that believes it is drawn away from all the others.
//!
//! Each patch is either the card's paint or, seldom, anything at all. A set of patches is taken for spoilt where the evidence
//! for the others alone, and for those being anything, is greater than that for all of them being the card's.

use nalgebra::{Matrix3, Vector3};

use super::CalibrationError;
use super::hypotheses::{Hypothesis, Otherwise, Photo, Weighed};
use super::model::Jacobian;
use super::uncertainty::USUAL_NOISE;
use super::white;

/// Share of patches that something lies on. Own judgement, no source.
const SPOILT: f64 = 1.0 / 200.0;
/// Room that what lies there may have its colour in, in the local metric of CIEDE2000: ΔE2000³.
///
/// # Source
/// Volume of the sRGB gamut (IEC 61966-2-1:1999), each part of it divided by S_L·S_C·S_H (ISO/CIE 11664-6:2014); 400,000
/// random colours, seed 1, in numpy 2.4.6: 163,000.
const ROOM: f64 = 1.6e5;
/// Most patches that may be spoilt, as a share of all: beyond, it is not the card.
const MOST: f64 = 1.0 / 3.0;
/// Squared distance of a patch to what a fit without it says, over the variance of the noise, up to which it may be sound.
const NEAR: f64 = 40.0;

/// What is open about a photo before its patches are fitted.
pub(super) struct Open<'a> {
    /// Patches that are probably spoilt.
    spoilt: &'a [usize],
    /// What else than one lamp may light the card.
    otherwise: Otherwise,
    /// Squared distance of a patch to what the others say, in its own standard deviations, from which on a fit without it is
    /// tried.
    worth_a_fit: f64,
    /// Whether it counts the more the worse the whole fit is: spoilt patches make all others fit badly, and hide behind that.
    behind_a_poor_fit: bool,
}

/// The fits to the patches that hang together.
pub(super) struct Sound {
    pub(super) fits: Weighed,
    /// The other patches.
    pub(super) spoilt: Vec<usize>,
}

impl Open<'_> {
    /// Nothing is known yet: 7 is passed by one sound patch in fourteen (χ² with 3 degrees of freedom).
    pub(super) const ALL: Self =
        Self { spoilt: &[], otherwise: Otherwise::Anything, worth_a_fit: 7.0, behind_a_poor_fit: true };
}

impl Sound {
    /// What is open once all patches but one are fitted again: which of the patches spoilt before still are, and, where two
    /// lamps had a share, that. A patch that seemed sound must be farther off to be tried: 16 is passed by one in a thousand.
    pub(super) fn open(&self) -> Open<'_> {
        Open {
            spoilt: &self.spoilt,
            otherwise: Otherwise::Only(self.fits.otherwise_lit()),
            worth_a_fit: 16.0,
            behind_a_poor_fit: false,
        }
    }
}

/// What the evidence must gain by leaving a patch out.
fn least_gain() -> f64 {
    // the evidence leaves out the (2π)^-3/2 of each patch
    (ROOM / SPOILT).ln() - 1.5 * std::f64::consts::TAU.ln()
}

impl Photo {
    /// Fits the given patches, without those that something lies on.
    pub(super) fn weigh_sound(&self, given: &[usize], open: &Open) -> Result<Sound, CalibrationError> {
        let mut spoilt: Vec<usize> = given.iter().copied().filter(|p| open.spoilt.contains(p)).collect();
        let most = (MOST * given.len() as f64) as usize;
        let others =
            |spoilt: &[usize]| -> Vec<usize> { given.iter().copied().filter(|p| !spoilt.contains(p)).collect() };
        let fit = |spoilt: &[usize]| self.weigh(&others(spoilt), &open.otherwise);
        let mut fits = fit(&spoilt)?;
        let worth = |fits: &Weighed, spoilt: &[usize]| fits.best.log_likelihood() - least_gain() * spoilt.len() as f64;
        // What was guessed may be sound after all.
        for p in spoilt.clone() {
            let fewer: Vec<usize> = spoilt.iter().copied().filter(|q| *q != p).collect();
            if self.is_near(&fits, p) {
                let with = fit(&fewer)?;
                if worth(&with, &fewer) > worth(&fits, &spoilt) {
                    (fits, spoilt) = (with, fewer);
                }
            }
        }
        // One of several may only show once another is gone.
        let (mut ahead, mut without) = (fits.clone(), spoilt.clone());
        while without.len() < most
            && worth(&ahead, &without) > worth(&fits, &spoilt) - 2.0 * least_gain()
            && let Some(worst) = self.farthest(&ahead.best, open)
        {
            without.push(worst);
            if white::is_all(&others(&without), &self.editions[0]) {
                break;
            }
            ahead = fit(&without)?;
            if worth(&ahead, &without) > worth(&fits, &spoilt) {
                (fits, spoilt) = (ahead.clone(), without.clone());
            }
        }
        spoilt.sort_unstable();
        Ok(Sound { fits, spoilt })
    }

    /// Whether a patch that took no part in a fit is near to what that says.
    fn is_near(&self, fits: &Weighed, p: usize) -> bool {
        let predicted = self.predict(fits, &self.seen[p], Some(self.pitches[p]));
        let reference = &self.editions[fits.best.edition];
        let off = reference.root[p] * (predicted.lab - reference.lab[p]);
        off.norm_squared() < NEAR * fits.best.solution.noise * (1.0 + predicted.leverage)
    }

    /// The patch farthest from what the others say, where that is worth a fit without it.
    fn farthest(&self, fit: &Hypothesis, open: &Open) -> Option<usize> {
        let off = self.off_the_others(fit)?;
        let (worst, off) = off.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let poor = if open.behind_a_poor_fit { (fit.solution.noise / USUAL_NOISE).max(1.0) } else { 1.0 };
        (off * poor > open.worth_a_fit).then_some(worst)
    }

    /// For each patch of a fit, how far it is from what the others say: squared, in its own standard deviations.
    ///
    /// # Source
    /// Predictions left out of a Gaussian process by the inverse of its covariance: Rasmussen, Williams (2006), Gaussian
    /// Processes for Machine Learning, 5.4.2, for three channels and with parameters, by Woodbury's identity.
    pub(super) fn off_the_others(&self, fit: &Hypothesis) -> Option<Vec<(usize, f64)>> {
        let solution = &fit.solution;
        let used = &solution.used;
        let reference = &self.editions[fit.edition];
        let (patches, prior) = (self.patches(fit.curve, fit.lit), self.prior(fit.lit)?);
        let problem = self.problem(&patches, reference, &prior);
        let inverse = reference.kernel(used, &self.pitches).cholesky()?.inverse() / solution.noise;
        let rows: Vec<_> = used.iter().map(|&p| problem.observed(&solution.theta, p)).collect();
        let mut off = Vec::with_capacity(used.len());
        for (i, &p) in used.iter().enumerate() {
            let (mut by, mut pull) = (Jacobian::zeros(), Vector3::zeros());
            for (j, row) in rows.iter().enumerate() {
                by += row.by * inverse[(i, j)];
                pull += row.weighed * inverse[(i, j)];
            }
            let own = Matrix3::identity() * inverse[(i, i)] - by * solution.covariance * by.transpose();
            off.push((p, pull.dot(&(own.try_inverse()? * pull))));
        }
        Some(off)
    }
}
