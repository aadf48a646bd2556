//! Mixes of two to four products, predicted from their parts in proportion.

use std::collections::BTreeMap;

use nalgebra::Matrix3;
use piece::{Id, Piece, Product, Step, TrialId};

use super::{Key, Lesson};
use crate::{
    EvidenceKind,
    draws::{COUNT, vector},
    evidence::{Application, Effect, Expectation, Unlike},
    look::covariance,
    trade::immiscible,
};

/// What mixing itself may change, per CIELAB axis: colourants do not always add up (common practice, no source).
const MIXING_SD: f64 = 1.5;

/// A mix of products that were each tried: what their parts say of it.
pub(super) struct Mixed {
    pub(super) lesson: Lesson,
    reference: colour::Lab,
}

/// What the parts of a mix say of it; with a note where a part was not tried, or parts do not pour together.
pub(super) fn mixed(
    piece: &Piece,
    product: &Product,
    key: Key,
    effects: &BTreeMap<Key, Lesson>,
) -> Result<Mixed, String> {
    if let Some((one, other)) = apart(piece, product) {
        let name = &product.name;
        return Err(format!("{name}: its parts {one} and {other} do not pour together, so the mix is not predicted"));
    }
    let sum: f64 = product.mix.iter().map(|share| share.parts).sum();
    let mut parts: Vec<(&Lesson, f64)> = Vec::new();
    for share in &product.mix {
        let name = piece.product(share.product).map_or_else(|| share.product.to_string(), |one| one.name.clone());
        let of_part = key.with_product(share.product).and_then(|key| effects.get(&key));
        let of_part = of_part.filter(|lesson| lesson.kind == EvidenceKind::Tested);
        let Some(lesson) = of_part.filter(|_| sum > 0.0) else {
            return Err(format!("{}: its part {name} was not tried, so the mix is not predicted", product.name));
        };
        parts.push((lesson, share.parts / sum));
    }
    let effects: Vec<(&Effect, f64)> = parts.iter().map(|(lesson, share)| (&lesson.effect, *share)).collect();
    let effect = Effect::mixed(&key.name(), &effects)
        .ok_or_else(|| format!("{}: no part of the mix has a share", product.name))?;
    let mut trials: Vec<TrialId> = parts.iter().flat_map(|(lesson, _)| lesson.trials.iter().copied()).collect();
    trials.sort_by_key(|id| id.number());
    trials.dedup();
    let mut tried: Vec<Step> = Vec::new();
    for step in parts.iter().flat_map(|(lesson, _)| &lesson.tried) {
        let step = with_product(step, product);
        if !tried.contains(&step) {
            tried.push(step);
        }
    }
    let parts_tried_on = parts.iter().flat_map(|(lesson, _)| lesson.parts.iter().copied()).collect();
    let reference = effect.reference();
    let unlike = parts.iter().map(|(lesson, _)| lesson.unlike).reduce(Unlike::either).unwrap_or(Unlike::NONE);
    let lesson = Lesson {
        trials,
        unlike,
        parts: parts_tried_on,
        notes: vec!["a mix that was not tried: predicted from its parts, in proportion".to_owned()],
        ..Lesson::untried(effect, EvidenceKind::Tested, tried)
    };
    Ok(Mixed { lesson, reference })
}

/// Two parts of a mix that surely do not pour together, by name.
fn apart<'a>(piece: &'a Piece, product: &Product) -> Option<(&'a str, &'a str)> {
    let parts: Vec<&Product> =
        product.mix.iter().filter_map(|share| piece.product(share.product)).map(AsRef::as_ref).collect();
    let (one, other) = parts.iter().enumerate().find_map(|(index, one)| {
        parts[index + 1..].iter().find(|other| immiscible(one, other)).map(|other| (*one, *other))
    })?;
    Some((&one.name, &other.name))
}

impl Mixed {
    /// What is expected of the mix on its first trial, at this strength.
    pub(super) fn expectation(&self, strength: f64) -> Expectation {
        let application = Application {
            strength,
            conditions: &[],
            used: None,
            mix: None,
            wood: Some("the mix"),
            unlike: Unlike::NONE,
        };
        let draws = self.lesson.effect.draws(&vec![self.reference; COUNT], &application);
        let mean = draws.iter().map(|lab| vector(*lab)).sum::<nalgebra::Vector3<f64>>() / COUNT as f64;
        let spread = covariance(draws.iter().map(|lab| vector(*lab))) + Matrix3::identity() * MIXING_SD.powi(2);
        let change = mean - vector(self.reference);
        let sd = std::array::from_fn(|axis| spread[(axis, axis)].sqrt());
        Expectation { dlab: change.into(), sd, only_absorbs: true }
    }
}

/// The same step with the mix in place of its part.
fn with_product(step: &Step, product: &Product) -> Step {
    let mut step = step.clone();
    match &mut step {
        Step::Dye { product: id, .. }
        | Step::Stain { product: id, .. }
        | Step::Glaze { product: id, .. }
        | Step::Toner { product: id, .. } => *id = product.id,
        _ => {}
    }
    step
}
