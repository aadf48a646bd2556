//! Weighing the laws by the evidence.

use super::{
    Belief, Effect, Expectation, Modifier, Observation, Scatter,
    candidate::Candidate,
    effect::Scale,
    problem::{Parameters, Problem},
};
use crate::laws::Law;

/// No law is given less than this once there are two trials.
const LEAST_WEIGHT: f64 = 0.02;
/// Powers of strength other than 1, with their weights; used from three strengths on.
const GAMMAS: [(f64, f64); 6] = [(0.4, 0.03), (0.6, 0.07), (0.8, 0.1), (0.9, 0.22), (1.1, 0.2), (1.25, 0.08)];
/// Weight of the power 1 where the others are used.
const GAMMA_ONE: f64 = 0.3;
/// A law whose evidence is this far below the best is not tried with other powers.
const HOPELESS: f64 = 12.0;
/// Laws that tell how uses scatter: the heaviest so many.
const TELLING: usize = 3;

/// A fit, the weight it started with, and the one it has by the evidence.
struct Weighed {
    candidate: Candidate,
    prior: f64,
    weight: f64,
}

/// Learns what a step does from its observations; None where there is none, or none that any law can explain.
///
/// `laws` come with their prior weights, equal names together ([`crate::laws::Family::laws`]); with one observation
/// they keep them. `name` names the effect's chance: equal names are the same effect in every prediction. `belief` is
/// what is believed of the scatter between uses before; what the observations say of it goes into the effect.
pub fn learn(
    name: &str,
    laws: &[(Law, f64)],
    observations: &[Observation],
    modifiers: &[Modifier],
    expectation: Expectation,
    belief: &Belief,
) -> Option<Effect> {
    let problem = Problem::new(observations, modifiers, expectation)?;
    let many = problem.observations.len() > 1;
    let mut fits = fit(&problem, laws, belief.typical(), &[]);
    weigh(&mut fits, many);
    let mut seen = None;
    let mut belief = belief.clone();
    if many {
        let likelihood = scatter_likelihood(&problem, &fits, &belief);
        let before = belief.typical();
        belief = belief.updated(&likelihood);
        seen = Some(likelihood);
        if !alike(before, belief.typical()) {
            fits = fit(&problem, laws, belief.typical(), &fits);
            weigh(&mut fits, many);
        }
        raise_the_least(&mut fits);
    }
    let strengths = observations.iter().map(|one| one.strength);
    let range = (strengths.clone().fold(f64::INFINITY, f64::min), strengths.fold(0.0, f64::max));
    let scale = Scale { unit: problem.unit(), range, law_error: problem.law_error(), reference: problem.reference() };
    let fits: Vec<(Candidate, f64)> = fits.into_iter().map(|one| (one.candidate, one.weight)).collect();
    (!fits.is_empty()).then(|| Effect::new(name, scale, modifiers.len(), fits, belief, seen))
}

/// Whether fits under two scatters are as good as the same.
fn alike(a: Scatter, b: Scatter) -> bool {
    let near = |a: f64, b: f64| (a / b).ln().abs() < 0.05;
    near(a.strength_sd, b.strength_sd) && near(a.process_sd, b.process_sd)
}

/// Fits every law, and those that are not hopeless with other powers of strength too; each from where it ended before.
fn fit(problem: &Problem<'_>, laws: &[(Law, f64)], scatter: Scatter, before: &[Weighed]) -> Vec<Weighed> {
    let whiteners = problem.whiteners(scatter);
    let powers = problem.distinct_strengths() >= 3;
    let one = |law: Law, gamma: f64, prior: f64, start: Parameters| {
        let candidate = Candidate::fit(problem, (law, gamma), start, &whiteners, scatter)?;
        Some(Weighed { candidate, prior, weight: prior })
    };
    let ended = |law: Law, gamma: f64| {
        let same = |one: &&Weighed| one.candidate.law == law && one.candidate.gamma == gamma;
        before.iter().find(same).map(|one| one.candidate.mode.clone())
    };
    let at_one = if powers { GAMMA_ONE } else { 1.0 };
    let mut fits: Vec<Weighed> = laws
        .iter()
        .filter_map(|(law, weight)| {
            one(*law, 1.0, weight * at_one, ended(*law, 1.0).unwrap_or_else(|| problem.start(*law)))
        })
        .collect();
    if powers {
        let best = best(&fits);
        let hopeful = fits.iter().filter(|one| one.candidate.log_evidence > best - HOPELESS);
        let hopeful: Vec<(Law, f64, Parameters)> =
            hopeful.map(|one| (one.candidate.law, one.prior / at_one, one.candidate.mode.clone())).collect();
        for (law, weight, at_one) in hopeful {
            for (gamma, gamma_weight) in GAMMAS {
                let start = ended(law, gamma).unwrap_or_else(|| at_one.clone());
                fits.extend(one(law, gamma, weight * gamma_weight, start));
            }
        }
    }
    fits
}

fn best(fits: &[Weighed]) -> f64 {
    fits.iter().map(|one| one.candidate.log_evidence).fold(f64::NEG_INFINITY, f64::max)
}

/// Weighs by prior and evidence; by the prior alone where there is but one observation.
fn weigh(fits: &mut [Weighed], many: bool) {
    let best = best(fits);
    for one in fits.iter_mut() {
        one.weight = one.prior * if many { (one.candidate.log_evidence - best).exp() } else { 1.0 };
    }
    normalise(fits);
}

fn normalise(fits: &mut [Weighed]) {
    let sum: f64 = fits.iter().map(|one| one.weight).sum();
    for one in fits {
        one.weight /= sum;
    }
}

/// What the heaviest laws say together of each scatter.
fn scatter_likelihood(problem: &Problem<'_>, fits: &[Weighed], belief: &Belief) -> Vec<f64> {
    let mut heaviest: Vec<&Weighed> = fits.iter().collect();
    heaviest.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    heaviest.truncate(TELLING);
    let each: Vec<(f64, Vec<f64>)> = heaviest
        .into_iter()
        .map(|one| (one.weight, one.candidate.scatter_likelihood(problem, belief.cells())))
        .collect();
    // Each law's likelihood is taken relative to its own best, for its evidence is in its weight already.
    let relative = each.iter().map(|(weight, logs)| {
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (*weight, best, logs)
    });
    let relative: Vec<_> = relative.filter(|(_, best, _)| best.is_finite()).collect();
    (0..belief.cells().count())
        .map(|cell| relative.iter().map(|(weight, best, logs)| weight * (logs[cell] - best).exp()).sum::<f64>().ln())
        .collect()
}

/// Raises every law (all its constants together) to the least weight. A law that has next to nothing keeps, within it,
/// the constants that explain best.
fn raise_the_least(fits: &mut [Weighed]) {
    let mut names: Vec<&'static str> = fits.iter().map(|one| one.candidate.law.name()).collect();
    names.sort_unstable();
    names.dedup();
    for name in names {
        let of_law = |one: &&mut Weighed| one.candidate.law.name() == name;
        let sum: f64 = fits.iter_mut().filter(of_law).map(|one| one.weight).sum();
        if sum >= LEAST_WEIGHT {
            continue;
        }
        let best = fits.iter_mut().filter(of_law).map(|one| one.candidate.log_evidence);
        let best = best.fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = fits.iter_mut().filter(of_law).map(|one| (one.candidate.log_evidence - best).exp()).sum();
        for one in fits.iter_mut().filter(of_law) {
            one.weight = LEAST_WEIGHT * (one.candidate.log_evidence - best).exp() / total;
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
