//! The effect of a mix, from the effects of its parts.

use colour::Lab;

use super::{
    Effect,
    draws::{Draw, Draws},
    effect::{Scale, scatter_draws},
    problem::strength,
};
use crate::{
    draws::{COUNT, vector},
    laws::{
        Law,
        space::{channels_from_lab, lab_from_channels},
    },
};

impl Effect {
    /// The effect of a mix of effects, each with its share; shares add up to 1. None where no part has a share.
    ///
    /// Colourants add in proportion: K of the mix is the sum of K of its parts, and so is S, under the law of the part that
    /// moves the colour most; a part under another law counts with the K that gives its colour under this one. A strength of
    /// the mix is the strength of each part times its share.
    ///
    /// # Source
    /// Duncan (1940), Proc. Phys. Soc. 52:390–401: absorption and scattering of a mix of pigments add in proportion.
    pub fn mixed(name: &str, parts: &[(&Effect, f64)]) -> Option<Self> {
        let parts: Vec<(&Effect, f64)> = parts.iter().copied().filter(|(_, share)| *share > 0.0).collect();
        let (first, _) = parts.iter().max_by(|a, b| a.1.total_cmp(&b.1)).copied()?;
        let unit: f64 = parts.iter().map(|(effect, share)| share * effect.scale.unit).sum();
        let of_range = |end: fn((f64, f64)) -> f64| {
            parts.iter().map(|(effect, share)| share * end(effect.scale.range)).sum::<f64>()
        };
        let reference = first.scale.reference;
        let range = (of_range(|range| range.0), of_range(|range| range.1));
        let draws: Vec<Draw> = (0..COUNT).filter_map(|index| mixed_draw(&parts, first, unit, index)).collect();
        if draws.len() < COUNT {
            return None;
        }
        Some(Self {
            name: name.to_owned(),
            scale: Scale { unit, range, reference },
            weights: draws.iter().map(|draw| (draw.law, 1.0 / COUNT as f64)).collect(),
            draws: Draws::new(draws),
            scatter: scatter_draws(name, &first.belief),
            belief: first.belief.clone(),
            seen: None,
        })
    }
}

/// What a mix of effects would make of the first few draws of a colour, at each of these strengths: a glimpse of what
/// [`Effect::mixed`] gives, without what differs from one use to the next. None where no part has a share.
pub(crate) fn glimpse(
    parts: &[(&Effect, f64)],
    before: &[Lab],
    strengths: &[f64],
    conditions: &[f64],
) -> Option<Vec<Vec<Lab>>> {
    let (first, _) = parts.iter().max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, share)| *share > 0.0)?;
    let unit: f64 = parts.iter().map(|(effect, share)| share * effect.scale.unit).sum();
    let mut after: Vec<Vec<Lab>> = vec![Vec::with_capacity(before.len()); strengths.len()];
    for (index, lab) in before.iter().enumerate() {
        let draw = mixed_draw(parts, first, unit, index)?;
        let log_factor: f64 = draw.log_factors.iter().zip(conditions).map(|(b, x)| b * x).sum();
        for (after, one) in after.iter_mut().zip(strengths) {
            after.push(draw.law.lab(*lab, draw.e, strength(one / unit, draw.gamma, log_factor)));
        }
    }
    Some(after)
}

/// One draw of a mix at its full strength on the reference wood.
fn mixed_draw(parts: &[(&Effect, f64)], first: &Effect, unit: f64, index: usize) -> Option<Draw> {
    let wood = channels_from_lab(first.scale.reference);
    let bare = vector(first.scale.reference);
    // Each part alone, at its share.
    let alone: Vec<(&Draw, f64, [f64; 3], f64)> = parts
        .iter()
        .filter_map(|(effect, share)| {
            let draw = effect.draws.each().get(index)?;
            let s = strength(share * unit / effect.scale.unit, draw.gamma, 0.0);
            let after = draw.law.channels(wood, draw.e, s);
            let moved = (vector(lab_from_channels(after)) - bare).norm();
            Some((draw, s, after, moved))
        })
        .collect();
    let (leading, ..) = alone.iter().max_by(|a, b| a.3.total_cmp(&b.3))?;
    // The leading law without what hides, under which the others' K is found.
    let (clear, scatters): (Law, fn(Law) -> Option<f64>) = match leading.law {
        Law::Hiding { .. } => (Law::Hiding { hiding: 0.0 }, |law| match law {
            Law::Hiding { hiding } => Some(hiding / (1.0 - hiding)),
            _ => None,
        }),
        Law::Film { .. } => (Law::Film { hiding: 0.0 }, |law| match law {
            Law::Film { hiding } => Some(hiding / (1.0 - hiding)),
            _ => None,
        }),
        law => (law, |_| None),
    };
    let (mut e, mut sigma) = ([0.0; 3], 0.0);
    for (draw, s, after, _) in &alone {
        let own = scatters(draw.law);
        let same = own.is_some() || draw.law == leading.law;
        let k = if same { draw.e.map(|e| s * e) } else { clear.effect(wood, *after, 1.0) };
        for (sum, k) in e.iter_mut().zip(k) {
            *sum += k;
        }
        sigma += own.map_or(0.0, |own| s * own);
    }
    let hiding = sigma / (1.0 + sigma);
    let law = match leading.law {
        Law::Hiding { .. } => Law::Hiding { hiding },
        Law::Film { .. } => Law::Film { hiding },
        law => law,
    };
    // A mix is no surer than the part that is known least.
    let law_error = alone.iter().map(|(draw, ..)| draw.law_error).fold(0.0, f64::max);
    Some(Draw { law, gamma: leading.gamma, e, log_factors: leading.log_factors.clone(), law_error })
}
