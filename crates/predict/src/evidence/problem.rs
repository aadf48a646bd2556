//! The observations of a step as one problem of least squares, with its slopes.

use colour::{Lab, de2000, distribution::normal_cdf};
use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

use super::{Expectation, Modifier, Observation, Scatter, normal::Normal};
use crate::{
    draws::vector,
    laws::{
        Channels, Law,
        space::{channels_from_lab, lab_from_channels, lab_slopes},
    },
};

/// Most a law may multiply strength by, either way, whatever the draws say.
pub(super) const STRENGTH_RANGE: f64 = 20.0;
/// Share of the predicted move by which the laws may be off after one trial, per CIELAB axis (building seeds of
/// `measure-transfer`).
pub(super) const LAW_ERROR: f64 = 0.065;
/// The same after however many trials.
const LEAST_LAW_ERROR: f64 = 0.02;
/// How far each law of a colourant may be off, beside [`LAW_ERROR`]: three broad reflectances stand for a spectrum very well
/// where the colourant sits in the wood, less well in a clear film, and worst in a film that hides, where light comes back
/// from every depth (building seeds of `measure-transfer`).
fn law_error_of_a_colourant(law: Law) -> f64 {
    match law {
        Law::Ks => 0.4,
        Law::Hiding { .. } => 0.5,
        Law::Log | Law::RootKs => 0.6,
        Law::Film { .. } => 1.5,
        Law::Factor { .. } => 1.0,
    }
}

/// Surfaces nearer than this count as one wood: wood differs by about 2 within one untreated surface (Buchelt, Wagenführ
/// 2011).
const SAME_WOOD_DE00: f64 = 3.0;
/// By how much of the largest a channel's effect may seem to be below nothing: three broad bands see a spectrum only so well.
const BAND_SLACK: f64 = 0.05;
/// The least chance that a channel only absorbs: a reading may be wrong. On building seeds of `measure-transfer` a slack of 0.02
/// or 0.1, or a least chance of 1e-6, did as well.
const LEAST_ABSORBS: f64 = 1e-3;
/// Least number that stands for a modifier's standard deviation.
const LEAST_MODIFIER_SD: f64 = 1e-3;

/// Most modifiers of a lesson.
pub(super) const MOST_MODIFIERS: usize = 6;
/// Effect and modifiers; those a lesson does not have stay at 0.
pub(super) const SHARED: usize = 3 + MOST_MODIFIERS;
/// A vector of effect and modifiers.
pub(super) type Shared = SVector<f64, SHARED>;
/// Its square.
pub(super) type Block = SMatrix<f64, SHARED, SHARED>;

/// The observations made ready: strongest first, strengths relative to it, whitened for a scatter.
pub(super) struct Problem<'a> {
    pub(super) observations: Vec<&'a Observation>,
    modifiers: &'a [Modifier],
    expectation: Expectation,
    log_strengths: Vec<f64>,
    channels: Vec<Channels>,
}

/// Effect and modifiers (shared), and a δ for each observation.
#[derive(Clone, Debug)]
pub(super) struct Parameters {
    pub(super) shared: Shared,
    pub(super) deltas: Vec<f64>,
}

/// One observation at some parameters, not whitened.
pub(super) struct Linear {
    pub(super) miss: Vector3<f64>,
    /// Slope of the predicted colour along effect and modifiers.
    pub(super) by_shared: SMatrix<f64, 3, SHARED>,
    /// Slope along the logarithm of strength.
    pub(super) by_strength: Vector3<f64>,
}

impl<'a> Problem<'a> {
    /// None without an observation of some strength.
    pub(super) fn new(
        observations: &'a [Observation],
        modifiers: &'a [Modifier],
        expectation: Expectation,
    ) -> Option<Self> {
        let mut order: Vec<&Observation> = observations.iter().filter(|one| one.strength > 0.0).collect();
        // Stable: of equal strengths the first named comes first.
        order.sort_by(|a, b| b.strength.total_cmp(&a.strength));
        let unit = order.first()?.strength;
        let log_strengths = order.iter().map(|one| (one.strength / unit).ln()).collect();
        let channels = order.iter().map(|one| channels_from_lab(one.before)).collect();
        Some(Self { observations: order, modifiers, expectation, log_strengths, channels })
    }

    /// The wood of the strongest observation.
    pub(super) fn reference(&self) -> Lab {
        self.observations[0].before
    }

    /// Strength that counts as 1: the greatest.
    pub(super) fn unit(&self) -> f64 {
        self.observations[0].strength
    }

    /// How many strengths were tried that are really different.
    pub(super) fn distinct_strengths(&self) -> usize {
        let mut distinct = self.log_strengths.clone();
        distinct.dedup_by(|a, b| (*a - *b).abs() < 0.02);
        distinct.len()
    }

    /// How many woods it was tried on that really differ in colour.
    fn distinct_woods(&self) -> usize {
        let mut woods: Vec<Lab> = Vec::new();
        for one in &self.observations {
            if woods.iter().all(|wood| de2000(*wood, one.before) > SAME_WOOD_DE00) {
                woods.push(one.before);
            }
        }
        woods.len()
    }

    /// Whether another strength or another wood is among the observations, which laws must explain together.
    pub(super) fn tells_laws_apart(&self) -> bool {
        self.distinct_strengths() > 1 || self.distinct_woods() > 1
    }

    /// Share of the move by which the laws may be off, per CIELAB axis: less, the more they had to explain together. Another
    /// strength tells half as much as the first trial, another wood three times as much (building seeds of
    /// `measure-transfer`).
    pub(super) fn law_error(&self, law: Law) -> f64 {
        let strengths = (self.distinct_strengths() - 1) as f64;
        let woods = (self.distinct_woods() - 1) as f64;
        let error = (LAW_ERROR / (1.0 + 0.5 * strengths + 3.0 * woods).sqrt()).max(LEAST_LAW_ERROR);
        // Measured of colourants only.
        if self.expectation.only_absorbs { error * law_error_of_a_colourant(law) } else { error }
    }

    /// The effect that explains the strongest observation exactly, with the modifiers as expected.
    pub(super) fn start(&self, law: Law) -> Parameters {
        let e = law.effect(self.channels[0], channels_from_lab(self.observations[0].after), 1.0);
        let modifiers = self.modifiers.iter().map(|modifier| modifier.log_factor).chain(std::iter::repeat(0.0));
        let shared = Shared::from_iterator(e.into_iter().chain(modifiers).take(SHARED));
        Parameters { shared, deltas: vec![0.0; self.observations.len()] }
    }

    /// The covariance of what an observation may miss by, but for its strength, inverted and rooted.
    pub(super) fn covariance(&self, index: usize, scatter: Scatter) -> Matrix3<f64> {
        self.observations[index].reading + Matrix3::identity() * (scatter.process_sd.powi(2) + 1e-6)
    }

    /// Inverse roots of the covariances.
    pub(super) fn whiteners(&self, scatter: Scatter) -> Vec<Matrix3<f64>> {
        (0..self.observations.len())
            .map(|index| {
                let covariance = self.covariance(index, scatter);
                let inverse = covariance.cholesky().and_then(|factor| factor.l().try_inverse());
                inverse.unwrap_or_else(|| Matrix3::identity() / (covariance.trace() / 3.0).max(1e-3).sqrt())
            })
            .collect()
    }

    /// One observation, and the slopes of what the law says of it.
    pub(super) fn linear(&self, law: Law, gamma: f64, at: &Parameters, index: usize) -> Linear {
        let one = self.observations[index];
        let conditions = &one.conditions;
        let factors = at.shared.as_slice()[3..].iter().zip(conditions).map(|(b, x)| b * x).sum::<f64>();
        let log_strength = gamma * self.log_strengths[index] + factors + at.deltas[index];
        let s = log_strength.exp().clamp(0.0, STRENGTH_RANGE);
        let (after, by_effect, by_strength) = self.sloped(law, at, index, s);
        // A strength at its bound does not move.
        let by_strength = if s < STRENGTH_RANGE { by_strength * s } else { Vector3::zeros() };
        let mut by_shared = SMatrix::<f64, 3, SHARED>::zeros();
        by_shared.fixed_view_mut::<3, 3>(0, 0).copy_from(&by_effect);
        for (column, x) in conditions.iter().enumerate().take(self.modifiers.len()) {
            by_shared.set_column(3 + column, &(by_strength * *x));
        }
        Linear { miss: vector(one.after) - after, by_shared, by_strength }
    }

    /// The colour after a step of strength `s`, and its slopes along the effect's channels and along the strength.
    fn sloped(&self, law: Law, at: &Parameters, index: usize, s: f64) -> (Vector3<f64>, Matrix3<f64>, Vector3<f64>) {
        let (mut after, mut by_effect, mut by_strength) = ([0.0; 3], Vector3::zeros(), Vector3::zeros());
        for channel in 0..3 {
            (after[channel], by_effect[channel], by_strength[channel]) =
                law.channel_with_slopes(self.channels[index][channel], at.shared[channel], s);
        }
        let lab = lab_slopes(after);
        (vector(lab_from_channels(after)), lab * Matrix3::from_diagonal(&by_effect), lab * by_strength)
    }

    /// ΔLab of the effect on the first wood at full strength, over its standard deviation, less what is expected; and its
    /// slopes.
    pub(super) fn change(&self, law: Law, at: &Parameters) -> (Vector3<f64>, Matrix3<f64>) {
        let (after, by_effect, _) = self.sloped(law, at, 0, 1.0);
        let expected = Vector3::from(self.expectation.dlab);
        let sd = Vector3::from(self.expectation.sd);
        let change = after - vector(self.observations[0].before) - expected;
        (change.component_div(&sd), Matrix3::from_diagonal(&sd.map(|sd| 1.0 / sd)) * by_effect)
    }

    /// Adds what the modifiers and the expected change say to a shared block and its gradient; gives their cost.
    pub(super) fn add_prior(&self, law: Law, at: &Parameters, shared: &mut Block, gradient: &mut Shared) -> f64 {
        let (change, slopes) = self.change(law, at);
        let mut cost = change.norm_squared();
        let mut block = shared.fixed_view_mut::<3, 3>(0, 0);
        block += slopes.transpose() * slopes;
        let mut rows = gradient.fixed_rows_mut::<3>(0);
        rows += slopes.transpose() * change;
        // Modifiers that the lesson does not have are pinned at 0.
        for index in 3 + self.modifiers.len()..SHARED {
            shared[(index, index)] = 1.0;
        }
        for (index, modifier) in self.modifiers.iter().enumerate() {
            let sd = modifier.log_factor_sd.max(LEAST_MODIFIER_SD);
            let off = (at.shared[3 + index] - modifier.log_factor) / sd;
            shared[(3 + index, 3 + index)] += 1.0 / (sd * sd);
            gradient[3 + index] += off / sd;
            cost += off * off;
        }
        cost
    }

    /// How plausible an effect is by its sign, a logarithm: the chance that each channel only absorbs, given the root of its
    /// covariance; 0 for a step that may take away.
    pub(super) fn log_absorbs(&self, at: &Parameters, root: &Block) -> f64 {
        if !self.expectation.only_absorbs {
            return 0.0;
        }
        let e = [0, 1, 2].map(|channel| at.shared[channel]);
        let slack = BAND_SLACK * e.iter().fold(0.0f64, |most, e| most.max(e.abs()));
        let chance = |channel: usize| {
            let sd = root.row(channel).norm().hypot(slack).max(f64::MIN_POSITIVE);
            normal_cdf(e[channel] / sd).max(LEAST_ABSORBS)
        };
        (0..3).map(|channel| chance(channel).ln()).sum()
    }

    /// The normal equations at some parameters.
    pub(super) fn normal(
        &self,
        law: Law,
        gamma: f64,
        at: &Parameters,
        whiteners: &[Matrix3<f64>],
        strength_sd: f64,
    ) -> Normal {
        let (mut shared, mut gradient) = (Block::zeros(), Shared::zeros());
        let mut cost = self.add_prior(law, at, &mut shared, &mut gradient);
        let count = self.observations.len();
        let (mut cross, mut own, mut own_gradient) =
            (Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count));
        for (index, whitener) in whiteners.iter().enumerate() {
            let linear = self.linear(law, gamma, at, index);
            let miss = whitener * linear.miss;
            let by_shared = whitener * linear.by_shared;
            let by_strength = whitener * linear.by_strength;
            let strength_sd = strength_sd.hypot(self.observations[index].strength_sd);
            let delta = at.deltas[index] / strength_sd;
            shared += by_shared.transpose() * by_shared;
            gradient -= by_shared.transpose() * miss;
            cross.push(by_shared.transpose() * by_strength);
            own.push(by_strength.norm_squared() + 1.0 / (strength_sd * strength_sd));
            own_gradient.push(delta / strength_sd - by_strength.dot(&miss));
            cost += miss.norm_squared() + delta * delta;
        }
        Normal { cost, shared, gradient, cross, own, own_gradient }
    }
}

/// Strength as it acts: its γth power times a factor, within a wide range of the full strength.
pub(super) fn strength(relative: f64, gamma: f64, log_factor: f64) -> f64 {
    (relative.powf(gamma) * log_factor.exp()).clamp(0.0, STRENGTH_RANGE)
}
