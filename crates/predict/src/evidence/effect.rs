//! A learned effect, and what it predicts.

use colour::Lab;

use super::{
    Belief, Scatter, Unlike,
    candidate::Candidate,
    draws::{Draw, Draws},
    learn::by_name,
    problem::{LAW_ERROR, Shared},
    scatter::LogLikelihood,
};
use crate::{
    Interval,
    draws::{COUNT, Source},
    estimate::quantile,
    laws::Law,
};

/// What a step does, as draws from the mixture of its laws.
#[derive(Clone, Debug)]
pub struct Effect {
    pub(super) name: String,
    pub(super) scale: Scale,
    pub(super) weights: Vec<(Law, f64)>,
    pub(super) draws: Draws,
    /// What is believed of the scatter between uses.
    pub(super) belief: Belief,
    pub(super) scatter: Vec<Scatter>,
    /// What its observations say of that scatter; None where they are too few.
    pub(super) seen: Option<LogLikelihood>,
}

/// What strength means for an effect.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    /// The strength that counts as 1.
    pub(super) unit: f64,
    /// Weakest and strongest that was observed.
    pub(super) range: (f64, f64),
    /// The wood of the strongest observation, or a middling one.
    pub(super) reference: Lab,
}

/// A middling wood, for an effect that was observed on none.
const MIDDLING_WOOD: Lab = Lab { l: 65.0, a: 9.0, b: 24.0, white_point: std::marker::PhantomData };

/// One use of an effect on one surface.
#[derive(Clone, Debug)]
pub struct Application<'a> {
    /// Strength, in the unit of the observations.
    pub strength: f64,
    /// What else changes how much takes, one number per modifier.
    pub conditions: &'a [f64],
    /// Names this use: what differs from one use to the next is drawn under it. None leaves that out.
    pub used: Option<&'a str>,
    /// Names the mix that this use shares with others: most of what differs in strength is drawn under it.
    pub mix: Option<&'a str>,
    /// Names the wood: where the laws are off, they are off alike on one wood. None leaves that out.
    pub wood: Option<&'a str>,
    /// How this surface is unlike all those that the effect was learned from.
    pub unlike: Unlike,
}

impl Effect {
    pub(super) fn new(
        name: &str,
        scale: Scale,
        modifiers: usize,
        fits: Vec<(Candidate, f64)>,
        law_error: impl Fn(Law) -> f64,
        belief: Belief,
        seen: Option<LogLikelihood>,
    ) -> Self {
        let source = Source::named(name);
        let mut draws = Vec::with_capacity(COUNT);
        let chosen_by = source.uniforms(0);
        let normals: Vec<_> = (0..3 + modifiers).map(|dimension| source.normals(1 + dimension as u32)).collect();
        for index in 0..COUNT {
            let mut left = chosen_by[index];
            let chosen = fits.iter().find(|(_, weight)| {
                left -= weight;
                left < 0.0
            });
            let Some((candidate, _)) = chosen.or(fits.last()) else { break };
            let known = 3 + modifiers;
            let z = Shared::from_fn(|dimension, _| normals.get(dimension).map_or(0.0, |normals| normals[index]));
            let theta = candidate.mode.shared + candidate.root * z;
            draws.push(Draw {
                law: candidate.law,
                gamma: candidate.gamma,
                e: [theta[0], theta[1], theta[2]],
                log_factors: theta.as_slice()[3..known].to_vec(),
                law_error: law_error(candidate.law),
            });
        }
        let weights = fits.iter().map(|(candidate, weight)| (candidate.law, *weight)).collect();
        Self {
            name: name.to_owned(),
            scale,
            weights,
            draws: Draws::new(draws),
            scatter: scatter_draws(name, &belief),
            belief,
            seen,
        }
    }

    /// An effect known only from outside: one law, with E from a mean and a standard deviation, strength in units of 1.
    pub fn published(name: &str, law: Law, e: [f64; 3], e_sd: [f64; 3], belief: Belief) -> Self {
        let source = Source::named(name);
        let (common, own) = (source.normals(0), source.normals3(1));
        let draws = (0..COUNT)
            .map(|index| {
                // Mostly one size for all channels: the sd is shared, with a third of it for each channel alone.
                let common = common[index];
                let e = std::array::from_fn(|channel| {
                    let own = own[channel][index];
                    e[channel] + e_sd[channel] * (0.94 * common + 0.34 * own)
                });
                Draw { law, gamma: 1.0, e, log_factors: Vec::new(), law_error: LAW_ERROR }
            })
            .collect();
        let scale = Scale { unit: 1.0, range: (1.0, 1.0), reference: MIDDLING_WOOD };
        let scatter = scatter_draws(name, &belief);
        Self {
            name: name.to_owned(),
            scale,
            weights: vec![(law, 1.0)],
            draws: Draws::new(draws),
            scatter,
            belief,
            seen: None,
        }
    }

    /// Weakest and strongest use it was learned from.
    pub fn range(&self) -> (f64, f64) {
        self.scale.range
    }

    /// The laws by name with their weights, heaviest first.
    pub fn law_weights(&self) -> Vec<(&'static str, f64)> {
        by_name(&self.weights)
    }

    /// What is believed of the scatter between its uses.
    pub fn belief(&self) -> &Belief {
        &self.belief
    }

    /// The factor on the strength that each modifier makes, for a condition of 1: its median, and the 90 % interval.
    pub fn factors(&self) -> Vec<Interval> {
        let count = self.draws.each().first().map_or(0, |draw| draw.log_factors.len());
        let factor = |modifier: usize| {
            let mut logs: Vec<f64> =
                self.draws.each().iter().filter_map(|draw| draw.log_factors.get(modifier).copied()).collect();
            logs.sort_by(f64::total_cmp);
            let at = |share: f64| quantile(&logs, share).exp();
            Interval { mean: at(0.5), low: at(0.05), high: at(0.95) }
        };
        (0..count).map(factor).collect()
    }

    /// Takes another belief of its scatter.
    pub(crate) fn believe(&mut self, belief: Belief) {
        self.scatter = scatter_draws(&self.name, &belief);
        self.belief = belief;
    }

    /// The wood it was learned on, at its strongest.
    pub(crate) fn reference(&self) -> Lab {
        self.scale.reference
    }
}

/// A scatter for each joint draw of an effect of this name.
pub(super) fn scatter_draws(name: &str, belief: &Belief) -> Vec<Scatter> {
    belief.draws(Source::named(&format!("scatter of {name}")), 0)
}
