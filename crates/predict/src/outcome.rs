//! A schedule on a part to the colour it is expected to give.

use std::collections::BTreeSet;

use colour::Lab;
use piece::{Part, Piece, Step, Surface, TrialId};

use crate::{
    Evidence, EvidenceKind,
    anchor::{Anchor, corrected},
    conditions::{conditions, has_conditions},
    draws::vector,
    evidence::Application,
    lessons::{Key, Lessons, mix_of, untouched},
    look::Look,
    target::as_seen,
};

/// Where a part starts from.
#[derive(Clone, Debug)]
pub(crate) struct Start {
    /// Joint draws of its colour, dry.
    dry: Vec<Lab>,
    /// Joint draws of it left natural, in the look that is judged.
    natural: Vec<Lab>,
    /// Whether what it looks like left natural is carried from its dry colour.
    natural_from_dry: bool,
    notes: Vec<String>,
}

/// What a schedule gives.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    /// Joint draws of the final colour, in the look that is judged.
    pub(crate) draws: Vec<Lab>,
    pub(crate) evidence: Evidence,
}

impl Start {
    /// None where the part has no reading.
    pub(crate) fn of(piece: &Piece, lessons: &Lessons, part: &Part, look: Look) -> Option<Self> {
        let moment = untouched(piece, Surface::Part(part.id));
        let name = part.id.to_string();
        let (dry, dry_from) = as_seen(piece, lessons, &moment, Look::Dry, (&name, &part.wood))?;
        let (natural, natural_from) = as_seen(piece, lessons, &moment, look, (&name, &part.wood))?;
        let mut notes = Vec::new();
        for (from, to) in [(dry_from, Look::Dry), (natural_from, look)] {
            if from != to {
                let (_, how) = lessons.coats.carry(&[], from, to, (&name, &part.wood));
                notes.extend(how.map(|how| how.words(&part.name, from, to)));
            }
        }
        Some(Self { dry, natural, natural_from_dry: natural_from == Look::Dry, notes })
    }

    /// Joint draws of the part left natural, in the look that is judged.
    pub(crate) fn natural(&self) -> &[Lab] {
        &self.natural
    }
}

/// Predicts colour steps (and their preparations) on a part, as it will be seen in `look`; corrected by the trials
/// like it that were read in that look.
pub(crate) fn outcome(
    lessons: &Lessons,
    anchors: &[Anchor],
    part: &Part,
    start: &Start,
    steps: &[Step],
    look: Look,
) -> Outcome {
    let surface = Place { name: &part.id.to_string(), part: Some(part), wood: &part.wood };
    let (draws, mut evidence) = by_laws(lessons, surface, &start.dry, steps, look);
    for note in start.notes.iter().rev() {
        evidence.notes.insert(0, note.clone());
    }
    if evidence.kind == EvidenceKind::NoEffect && !start.natural_from_dry {
        return Outcome { draws: start.natural.clone(), evidence };
    }
    let draws = corrected(anchors, part, steps, draws);
    Outcome { draws, evidence }
}

/// Where steps are done.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place<'a> {
    /// Names this use.
    pub(crate) name: &'a str,
    /// The part, or the one a board stands for.
    pub(crate) part: Option<&'a Part>,
    /// The wood.
    pub(crate) wood: &'a str,
}

/// What the laws alone say of steps on wood of this colour, dry.
pub(crate) fn by_laws(
    lessons: &Lessons,
    place: Place<'_>,
    dry: &[Lab],
    steps: &[Step],
    look: Look,
) -> (Vec<Lab>, Evidence) {
    let on = (place.name, place.wood);
    let mut trials: BTreeSet<TrialId> = BTreeSet::new();
    let mut evidence =
        Evidence { trials: Vec::new(), kind: EvidenceKind::NoEffect, law_weights: Vec::new(), notes: Vec::new() };
    let (mut draws, mut at, mut largest) = (dry.to_vec(), Look::Dry, 0.0);
    for (index, step) in steps.iter().enumerate() {
        let Some((key, strength)) = Key::of(step) else { continue };
        let Some(lesson) = lessons.effects.get(&key) else { continue };
        if at == Look::Dry && key.look() == Look::Sealed {
            (draws, _) = lessons.coats.carry(&draws, at, Look::Sealed, on);
            at = Look::Sealed;
        }
        let conditions = if has_conditions(key) { conditions(place.part, &steps[..=index]) } else { Vec::new() };
        let application = Application {
            strength,
            conditions: &conditions,
            used: Some(place.name),
            wood: Some(place.wood),
            mix: Some(&mix_of(step)),
        };
        let after = lesson.effect.draws(&draws, &application);
        let moved: f64 = draws.iter().zip(&after).map(|(a, b)| (vector(*a) - vector(*b)).norm()).sum();
        if moved > largest {
            largest = moved;
            evidence.law_weights = lesson.effect.law_weights();
        }
        draws = after;
        trials.extend(&lesson.trials);
        evidence.kind = match (evidence.kind, lesson.kind) {
            (EvidenceKind::NoEffect, kind) => kind,
            (kind, other) => kind.max(other),
        };
        for note in &lesson.notes {
            if !evidence.notes.contains(note) {
                evidence.notes.push(note.clone());
            }
        }
    }
    let (draws, how) = lessons.coats.carry(&draws, at, look, on);
    if how.is_some_and(|how| how.pairs == 0) {
        evidence.notes.push(format!("{} carried to {} by published directions only", at.words(), look.words()));
    }
    evidence.trials = trials.into_iter().collect();
    (draws, evidence)
}
