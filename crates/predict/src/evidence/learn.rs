//! Weighing the laws by the evidence.

use nalgebra::Matrix3;

use super::{
    Effect, Expectation, Modifier, Observation,
    candidate::{Candidate, Lesson},
    effect::Scale,
};
use crate::laws::Law;

/// No law is given less than this once there are two trials.
const LEAST_WEIGHT: f64 = 0.02;
/// Powers of strength and their weights, used from three strengths on.
const GAMMAS: [(f64, f64); 5] = [(0.8, 0.1), (0.9, 0.25), (1.0, 0.3), (1.1, 0.25), (1.25, 0.1)];

/// Learns what a step does from its observations; None where there is none, or none that any law can explain.
///
/// `laws` come with their prior weights, equal names together ([`crate::laws::Family::laws`]); with one observation
/// they keep them. `name` names the effect's chance: equal names are the same
/// effect in every prediction.
pub fn learn(
    name: &str,
    laws: &[(Law, f64)],
    observations: &[Observation],
    modifiers: &[Modifier],
    expectation: Expectation,
) -> Option<Effect> {
    let mut order: Vec<&Observation> = observations.iter().filter(|one| one.strength > 0.0).collect();
    // Stable: of equal strengths the first named comes first.
    order.sort_by(|a, b| b.strength.total_cmp(&a.strength));
    let unit = order.first()?.strength;
    let strengths: Vec<f64> = order.iter().map(|one| one.strength / unit).collect();
    let whiteners = order.iter().map(|one| whitener(one)).collect();
    let distinct = {
        let mut distinct = strengths.clone();
        distinct.dedup_by(|a, b| (*a - *b).abs() < 0.02);
        distinct.len()
    };
    let lesson = Lesson { observations: order, strengths, whiteners, modifiers, expectation };
    let gammas: &[(f64, f64)] = if distinct >= 3 { &GAMMAS } else { &[(1.0, 1.0)] };

    let mut fits: Vec<(Candidate, f64)> = Vec::new();
    for (law, law_weight) in laws {
        for (gamma, gamma_weight) in gammas {
            fits.extend(lesson.fit(*law, *gamma).map(|candidate| (candidate, law_weight * gamma_weight)));
        }
    }
    let best = fits.iter().map(|(candidate, _)| candidate.log_evidence).fold(f64::NEG_INFINITY, f64::max);
    let many = lesson.observations.len() > 1;
    for (candidate, weight) in &mut fits {
        if many {
            *weight *= (candidate.log_evidence - best).exp();
        }
    }
    normalise(&mut fits);
    if many {
        raise_the_least(&mut fits);
    }
    let range = (
        observations.iter().map(|one| one.strength).fold(f64::INFINITY, f64::min),
        observations.iter().map(|one| one.strength).fold(0.0, f64::max),
    );
    (!fits.is_empty())
        .then(|| Effect::new(name, Scale { unit, range, strength_sd: expectation.strength_sd }, modifiers.len(), fits))
}

/// The inverse of a root of the covariance of the miss.
fn whitener(observation: &Observation) -> Matrix3<f64> {
    let process = observation.process_sd * observation.process_sd;
    let covariance = observation.reading + Matrix3::identity() * (process + 1e-6);
    let inverse = covariance.cholesky().and_then(|factor| factor.l().try_inverse());
    inverse.unwrap_or_else(|| Matrix3::identity() / (covariance.trace() / 3.0).max(1e-3).sqrt())
}

fn normalise(fits: &mut [(Candidate, f64)]) {
    let sum: f64 = fits.iter().map(|(_, weight)| weight).sum();
    for (_, weight) in fits {
        *weight /= sum;
    }
}

/// Raises every law (all its constants together) to the least weight. A law that has next to nothing keeps, within it,
/// the constants that explain best.
fn raise_the_least(fits: &mut [(Candidate, f64)]) {
    let mut names: Vec<&'static str> = fits.iter().map(|(candidate, _)| candidate.law.name()).collect();
    names.dedup();
    for name in names {
        let sum: f64 =
            fits.iter().filter(|(candidate, _)| candidate.law.name() == name).map(|(_, weight)| weight).sum();
        if sum >= LEAST_WEIGHT {
            continue;
        }
        let of_law = |candidate: &Candidate| candidate.law.name() == name;
        let best = fits.iter().filter(|(one, _)| of_law(one)).map(|(one, _)| one.log_evidence);
        let best = best.fold(f64::NEG_INFINITY, f64::max);
        let total: f64 =
            fits.iter().filter(|(one, _)| of_law(one)).map(|(one, _)| (one.log_evidence - best).exp()).sum();
        for (one, weight) in fits.iter_mut().filter(|(one, _)| one.law.name() == name) {
            *weight = LEAST_WEIGHT * (one.log_evidence - best).exp() / total;
        }
    }
    normalise(fits);
}

/// The laws by name and weight, heaviest first.
pub(super) fn by_name(fits: &[(Law, f64)]) -> Vec<(&'static str, f64)> {
    let mut sums: Vec<(&'static str, f64)> = Vec::new();
    for (law, weight) in fits {
        match sums.iter_mut().find(|(name, _)| *name == law.name()) {
            Some((_, sum)) => *sum += weight,
            None => sums.push((law.name(), *weight)),
        }
    }
    sums.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
    sums
}
