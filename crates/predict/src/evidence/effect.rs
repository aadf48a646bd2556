//! A learned effect, and what it predicts.

use colour::Lab;
use nalgebra::Vector3;

use super::{
    Belief, Scatter,
    candidate::Candidate,
    learn::by_name,
    problem::{LAW_ERROR, Shared, strength},
    scatter::LogLikelihood,
};
use crate::{
    Interval,
    draws::{COUNT, Source, moved, vector},
    estimate::quantile,
    laws::Law,
};

/// Share of the variance in strength that the surfaces coloured with one mix have in common: what was weighed out, not how
/// it was wiped (common practice, no source).
const MIX_SHARE: f64 = 0.7;

/// What a step does, as draws from the mixture of its laws.
#[derive(Clone, Debug)]
pub struct Effect {
    pub(super) name: String,
    pub(super) scale: Scale,
    pub(super) weights: Vec<(Law, f64)>,
    pub(super) draws: Vec<Draw>,
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
    /// Share of the predicted move by which the laws themselves may be off, per CIELAB axis.
    pub(super) law_error: f64,
    /// The wood of the strongest observation, or a middling one.
    pub(super) reference: Lab,
}

/// A middling wood, for an effect that was observed on none.
const MIDDLING_WOOD: Lab = Lab { l: 65.0, a: 9.0, b: 24.0, white_point: std::marker::PhantomData };

#[derive(Clone, Debug)]
pub(super) struct Draw {
    pub(super) law: Law,
    pub(super) gamma: f64,
    pub(super) e: [f64; 3],
    pub(super) log_factors: Vec<f64>,
}

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
}

impl Effect {
    pub(super) fn new(
        name: &str,
        scale: Scale,
        modifiers: usize,
        fits: Vec<(Candidate, f64)>,
        belief: Belief,
        seen: Option<LogLikelihood>,
    ) -> Self {
        let source = Source::named(name);
        let mut draws = Vec::with_capacity(COUNT);
        for index in 0..COUNT {
            let mut left = source.uniform(index, 0);
            let chosen = fits.iter().find(|(_, weight)| {
                left -= weight;
                left < 0.0
            });
            let Some((candidate, _)) = chosen.or(fits.last()) else { break };
            let known = 3 + modifiers;
            let z = Shared::from_fn(
                |dimension, _| {
                    if dimension < known { source.normal(index, 1 + dimension as u32) } else { 0.0 }
                },
            );
            let theta = candidate.mode.shared + candidate.root * z;
            draws.push(Draw {
                law: candidate.law,
                gamma: candidate.gamma,
                e: [theta[0], theta[1], theta[2]],
                log_factors: theta.as_slice()[3..known].to_vec(),
            });
        }
        let weights = fits.iter().map(|(candidate, weight)| (candidate.law, *weight)).collect();
        Self { name: name.to_owned(), scale, weights, draws, scatter: scatter_draws(name, &belief), belief, seen }
    }

    /// An effect known only from outside: one law, with E from a mean and a standard deviation, strength in units of 1.
    pub fn published(name: &str, law: Law, e: [f64; 3], e_sd: [f64; 3], belief: Belief) -> Self {
        let source = Source::named(name);
        let draws = (0..COUNT)
            .map(|index| {
                // Mostly one size for all channels: the sd is shared, with a third of it for each channel alone.
                let common = source.normal(index, 0);
                let e = std::array::from_fn(|channel| {
                    let own = source.normal(index, 1 + channel as u32);
                    e[channel] + e_sd[channel] * (0.94 * common + 0.34 * own)
                });
                Draw { law, gamma: 1.0, e, log_factors: Vec::new() }
            })
            .collect();
        let scale = Scale { unit: 1.0, range: (1.0, 1.0), law_error: LAW_ERROR, reference: MIDDLING_WOOD };
        let scatter = scatter_draws(name, &belief);
        Self { name: name.to_owned(), scale, weights: vec![(law, 1.0)], draws, scatter, belief, seen: None }
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
        let count = self.draws.first().map_or(0, |draw| draw.log_factors.len());
        let factor = |modifier: usize| {
            let mut logs: Vec<f64> =
                self.draws.iter().filter_map(|draw| draw.log_factors.get(modifier).copied()).collect();
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

    /// Joint draws of the colour after the step, from joint draws of the colour before it.
    pub fn draws(&self, before: &[Lab], application: &Application<'_>) -> Vec<Lab> {
        let relative = application.strength / self.scale.unit;
        let named = |words: String| Source::named(&words);
        let used = application.used.map(|used| named(format!("use of {} on {used}", self.name)));
        let mix = application.mix.map(|mix| named(format!("mix of {}: {mix}", self.name)).normals(0));
        let wood = application.wood.map(|wood| named(format!("laws of {} on {wood}", self.name)).normals3(0));
        let used = used.map(|used| (used.normals(3), used.normals3(0)));
        let one = |(index, (draw, before)): (usize, (&Draw, &Lab))| {
            let mut log_factor: f64 = draw.log_factors.iter().zip(application.conditions).map(|(b, x)| b * x).sum();
            let scatter = self.scatter[index];
            if let Some((own, _)) = &used {
                let own = own[index];
                let off =
                    mix.as_ref().map_or(own, |mix| MIX_SHARE.sqrt() * mix[index] + (1.0 - MIX_SHARE).sqrt() * own);
                log_factor += scatter.strength_sd * off;
            }
            let after = draw.law.lab(*before, draw.e, strength(relative, draw.gamma, log_factor));
            let mut by = Vector3::zeros();
            if let Some((_, own)) = &used {
                by += Vector3::from_fn(|axis, _| own[axis][index]) * scatter.process_sd;
            }
            if let Some(wood) = &wood {
                let move_size = (vector(after) - vector(*before)).norm();
                by += Vector3::from_fn(|axis, _| wood[axis][index]) * (self.scale.law_error * move_size);
            }
            moved(after, by)
        };
        self.draws.iter().zip(before).enumerate().map(one).collect()
    }
}

/// A scatter for each joint draw of an effect of this name.
pub(super) fn scatter_draws(name: &str, belief: &Belief) -> Vec<Scatter> {
    belief.draws(Source::named(&format!("scatter of {name}")), 0)
}
