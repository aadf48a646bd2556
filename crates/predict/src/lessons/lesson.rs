//! What the uses of one product or bleach teach.

use nalgebra::Matrix3;
use piece::{Id, PartId, Piece, Step, TrialId};

use super::{Key, moments::part_of, oddity, oddity::OddTrial, past::Past, uses::Use};
use crate::{
    EvidenceKind,
    conditions::{is_pigment, modifiers},
    evidence::{Belief, Effect, Expectation, Modifier, Observation, Unlike, learn},
    laws::Family,
};

/// An effect and what stands behind it.
#[derive(Clone, Debug)]
pub(crate) struct Lesson {
    pub(crate) effect: Effect,
    pub(crate) kind: EvidenceKind,
    pub(crate) trials: Vec<TrialId>,
    pub(crate) tried: Vec<Step>,
    /// What was done to the wood just before it in trials, where something was.
    pub(crate) prepared: Vec<Vec<Step>>,
    /// How all surfaces that it was tried on are unlike their parts.
    pub(crate) unlike: Unlike,
    /// The parts it was tried on, or on a board that stands for them.
    pub(crate) parts: Vec<PartId>,
    /// Of a mix that was looked for and is not in the piece: the steps in which it was found. It is offered in no others.
    pub(crate) found: Option<Vec<Step>>,
    /// Trials of it that the others miss.
    pub(crate) odd: Vec<OddTrial>,
    pub(crate) notes: Vec<String>,
    /// What it owes to the shop book, or why what the book says is left aside.
    pub(crate) from_book: Option<String>,
}

impl Lesson {
    /// What no trial stands behind: an effect known from elsewhere, offered in these steps.
    pub(crate) fn untried(effect: Effect, kind: EvidenceKind, tried: Vec<Step>) -> Self {
        Self {
            effect,
            kind,
            trials: Vec::new(),
            tried,
            prepared: Vec::new(),
            unlike: Unlike::NONE,
            parts: Vec::new(),
            found: None,
            odd: Vec::new(),
            notes: Vec::new(),
            from_book: None,
        }
    }

    /// All there is to know about it, in words.
    pub(crate) fn all_notes(&self) -> impl Iterator<Item = &String> {
        self.notes.iter().chain(&self.from_book)
    }
}

/// How a key is learned.
pub(super) struct Teacher {
    name: String,
    family: Family,
    modifiers: Vec<Modifier>,
    expectation: Expectation,
    /// Uses on earlier pieces, taken for granted.
    recalled: Vec<Observation>,
}

impl Teacher {
    /// For a key, with what is expected of it where something is.
    pub(super) fn of(piece: &Piece, key: Key, expected: Option<Expectation>) -> Self {
        let (family, open) = match key {
            Key::Bleach(_) => {
                (Family::Change, Expectation { dlab: [0.0; 3], sd: [20.0, 8.0, 10.0], only_absorbs: false })
            }
            _ => (Family::Colourant, Expectation::OPEN),
        };
        let modifiers = match key {
            Key::Dye(id) | Key::Stain(id) => modifiers(is_pigment(piece, id)).to_vec(),
            _ => Vec::new(),
        };
        Self { name: key.name(), family, modifiers, expectation: expected.unwrap_or(open), recalled: Vec::new() }
    }

    /// With uses on earlier pieces besides.
    pub(super) fn recalling(self, observations: &[Observation]) -> Self {
        let none = vec![0.0; self.modifiers.len()];
        let recalled = observations.iter().map(|one| Observation { conditions: none.clone(), ..one.clone() }).collect();
        Self { recalled, ..self }
    }

    /// The effect that these uses teach, each observation with its covariance times a factor.
    pub(super) fn teach(&self, uses: &[Use], factors: &[f64]) -> Option<Effect> {
        let observations: Vec<Observation> = uses
            .iter()
            .zip(factors)
            .map(|(one, factor)| {
                let mut observation = one.observation.clone();
                observation.reading *= *factor;
                observation
            })
            .chain(self.recalled.iter().cloned())
            .collect();
        let laws = self.family.laws();
        learn(&self.name, &laws, &observations, &self.modifiers, self.expectation, &Belief::of_a_step())
    }
}

/// What the uses of a key teach; None where no law can act there.
pub(super) fn lesson(
    piece: &Piece,
    key: Key,
    uses: &[Use],
    expected: Option<Expectation>,
    past: Option<&Past>,
) -> Option<Lesson> {
    let (uses, unlike_all) = boards_apart(uses);
    let uses = uses.as_slice();
    let (recalled, from_book) = past.map(|past| past.beside(piece, key, uses)).unzip();
    let teacher = Teacher::of(piece, key, expected).recalling(&recalled.unwrap_or_default());
    let (effect, odd) = oddity::learned(&teacher, uses)?;
    let odd: Vec<OddTrial> = odd.iter().map(|odd| odd.trial(uses)).collect();
    let mut notes: Vec<String> = odd.iter().map(|odd| odd.words.clone()).collect();
    if uses.len() == 1 && past.is_none() {
        notes.push("one trial only: it hardly tells one law from another".to_owned());
    }
    let mut unlike: Vec<&str> = uses.iter().flat_map(|one| one.unlike.iter().copied()).collect();
    unlike.sort_unstable();
    unlike.dedup();
    if !unlike.is_empty() {
        notes.push(format!("tried on a board that is {}: it tells less of its part", unlike.join(", ")));
    }
    let mut trials: Vec<TrialId> = uses.iter().map(|one| one.trial).collect();
    trials.sort_by_key(|id| id.number());
    trials.dedup();
    let parts = trials.iter().filter_map(|id| piece.trial(*id)).filter_map(|trial| part_of(piece, trial.on)).collect();
    Some(Lesson {
        effect,
        kind: EvidenceKind::Tested,
        trials,
        tried: distinct(uses.iter().map(|one| one.step.clone())),
        prepared: distinct(uses.iter().map(|one| one.prepared.clone()).filter(|steps| !steps.is_empty())),
        unlike: unlike_all,
        parts,
        found: None,
        odd,
        notes,
        from_book,
    })
}

/// How all surfaces of some uses are unlike their parts, and the uses without that: what every one of them has, none of them
/// tells, and it is for a prediction to be off by.
fn boards_apart(uses: &[Use]) -> (Vec<Use>, Unlike) {
    let of_all = uses.iter().map(|one| one.unlike_by).reduce(Unlike::shared).unwrap_or(Unlike::NONE);
    let without = |one: &Use| {
        let mut one = one.clone();
        let own = one.unlike_by.beyond(of_all);
        let less = one.unlike_by.colour_sd.powi(2) - own.colour_sd.powi(2);
        one.observation.reading -= Matrix3::identity() * less;
        one.observation.strength_sd = own.strength_sd;
        one
    };
    (uses.iter().map(without).collect(), of_all)
}

/// The things in their order, each once.
fn distinct<T: PartialEq>(things: impl Iterator<Item = T>) -> Vec<T> {
    let mut all: Vec<T> = Vec::new();
    for thing in things {
        if !all.contains(&thing) {
            all.push(thing);
        }
    }
    all
}
