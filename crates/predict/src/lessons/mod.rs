//! What a piece's trials teach: the effect of each product and bleach.

mod curve;
mod key;
mod learned;
mod lesson;
mod mixes;
mod moments;
mod oddity;
mod past;
mod uses;

use std::collections::BTreeMap;

use piece::{Piece, Product, Step, Surface};
use rayon::prelude::*;

pub use curve::{Curve, Strength, curve};
pub(crate) use key::{Key, mix_of};
pub use learned::{Learned, Takes, learned};
pub(crate) use lesson::Lesson;
pub(crate) use moments::{moments_of, part_of, start_of, untouched};
pub use oddity::{OddTrial, odd_trials};
pub use past::past_uses;

use crate::{EvidenceKind, coats::Coats, evidence::pooled_beliefs, look::Moment, published};
use lesson::lesson;
use mixes::{Mixed, mixed};
use past::Past;
use uses::{Use, uses_of};
pub(crate) use uses::{unlike, unlike_by};

/// Everything learned from a piece.
#[derive(Clone, Debug)]
pub(crate) struct Lessons {
    pub(crate) coats: Coats,
    pub(crate) effects: BTreeMap<Key, Lesson>,
    /// Trials that taught nothing or not what they seem to, and why.
    pub(crate) notes: Vec<String>,
}

impl Lessons {
    /// Learns from all readings and trials of a piece.
    pub(crate) fn learn(piece: &Piece) -> Self {
        let coats = Coats::of(piece);

        let past = Past::of(piece);
        let mut notes = Vec::new();
        let mut uses: BTreeMap<Key, Vec<Use>> = BTreeMap::new();
        for trial in &piece.trials {
            uses_of(piece, &coats, trial, &mut uses, &mut notes);
        }
        let is_mix = |key: &Key| key.product().and_then(|id| piece.product(id)).is_some_and(|one| !one.mix.is_empty());
        let (of_mixes, of_cans): (BTreeMap<_, _>, BTreeMap<_, _>) = uses.into_iter().partition(|(key, _)| is_mix(key));
        let mut effects: BTreeMap<Key, Lesson> = {
            let of_can = |(key, uses): (&Key, &Vec<Use>)| Some((*key, lesson(piece, *key, uses, None, past.get(key))?));
            of_cans.par_iter().filter_map(of_can).collect()
        };
        let only_past = past.iter().filter(|(key, _)| !of_cans.contains_key(key) && !is_mix(key));
        effects.extend(only_past.filter_map(|(key, past)| Some((*key, past.lesson(piece, *key)?))));
        learn_mixes(piece, &of_mixes, &mut effects, &mut notes);
        share_scatter(&mut effects);
        for (kind, effect, note) in published::bleaches() {
            let tried = vec![Step::Bleach { kind, times: 1 }];
            effects.entry(Key::Bleach(kind)).or_insert_with(|| Lesson {
                notes: vec![note],
                ..Lesson::untried(effect, EvidenceKind::PublishedOnly, tried)
            });
        }
        Self { coats, effects, notes }
    }

    /// The trials that the others miss, in their order.
    pub(crate) fn odd(&self) -> Vec<OddTrial> {
        let mut odd: Vec<OddTrial> = self.effects.values().flat_map(|lesson| lesson.odd.iter().cloned()).collect();
        odd.sort_by_key(|odd| odd.trial);
        odd
    }

    /// Adds what their parts say of mixes that were looked for, each with the steps in which it was found; `piece` has them
    /// among its products. Such a mix is predicted as it will be once it is entered.
    pub(crate) fn add_found(&mut self, piece: &Piece, found: &[(Product, Vec<Step>)]) {
        let mut added: Vec<Key> = Vec::new();
        for (product, steps) in found {
            let Some(key) = Key::of_product(product) else { continue };
            if let Ok(Mixed { mut lesson, .. }) = mixed(piece, product, key, &self.effects) {
                lesson.found = Some(steps.clone());
                self.effects.insert(key, lesson);
                added.push(key);
            }
        }
        if added.is_empty() {
            return;
        }
        let beliefs = pooled_beliefs(&self.effects.values().map(|lesson| &lesson.effect).collect::<Vec<_>>());
        let with_beliefs = self.effects.iter_mut().zip(beliefs);
        for ((_, lesson), belief) in with_beliefs.filter(|((key, _), _)| added.contains(key)) {
            lesson.effect.believe(belief);
        }
    }
}

impl Coats {
    /// Learned from all moments of a piece at which a surface was read.
    fn of(piece: &Piece) -> Self {
        let mut moments: Vec<Moment<'_>> =
            piece.parts.iter().map(|part| untouched(piece, Surface::Part(part.id))).collect();
        moments.extend(piece.boards.iter().map(|board| untouched(piece, Surface::Board(board.id))));
        moments.extend(piece.trials.iter().flat_map(|trial| moments_of(piece, trial).into_iter().map(|(_, it)| it)));
        Self::learn(piece, &moments)
    }
}

/// Learns each mix: from its own trials on from what its parts say, or from its parts alone.
fn learn_mixes(
    piece: &Piece,
    uses: &BTreeMap<Key, Vec<Use>>,
    effects: &mut BTreeMap<Key, Lesson>,
    notes: &mut Vec<String>,
) {
    let mut mixes: BTreeMap<Key, Lesson> = BTreeMap::new();
    for product in piece.products.iter().filter(|product| !product.mix.is_empty()) {
        let mut keys: Vec<Key> = uses.keys().copied().filter(|key| key.product() == Some(product.id)).collect();
        if keys.is_empty() {
            keys.extend(Key::of_product(product));
        }
        for key in keys {
            let of_parts: Result<Mixed, String> = mixed(piece, product, key, effects);
            let learned = match uses.get(&key) {
                Some(uses) => {
                    let strongest = uses.iter().map(|one| one.observation.strength).fold(0.0, f64::max);
                    let expected = of_parts.ok().map(|one| one.expectation(strongest));
                    let from_parts = expected.is_some();
                    lesson(piece, key, uses, expected, None).map(|mut learned| {
                        if from_parts {
                            learned.notes.push("a mix: learned on from what its parts say".to_owned());
                        }
                        learned
                    })
                }
                None => of_parts.map_err(|note| notes.push(note)).ok().map(|one| one.lesson),
            };
            mixes.extend(learned.map(|learned| (key, learned)));
        }
    }
    effects.append(&mut mixes);
}

/// Lets the steps of a piece tell each other how uses scatter: the same hands, brushes and light made them all.
fn share_scatter(effects: &mut BTreeMap<Key, Lesson>) {
    let beliefs = pooled_beliefs(&effects.values().map(|lesson| &lesson.effect).collect::<Vec<_>>());
    for (lesson, belief) in effects.values_mut().zip(beliefs) {
        lesson.effect.believe(belief);
    }
}
