//! A schedule on a part to the colour it is expected to give.

use colour::Lab;
use piece::{Part, Piece, Step, Surface};

use crate::{
    Evidence, EvidenceKind,
    anchor::Anchors,
    chain::{Chains, Place},
    lessons::{Lessons, untouched},
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

    /// Chains of steps on the part.
    pub(crate) fn chains<'a>(&self, lessons: &'a Lessons, part: &'a Part) -> Chains<'a> {
        Chains::new(lessons, Place::of(part), &self.dry)
    }

    /// The same in the first few draws only.
    pub(crate) fn glimpse<'a>(&self, lessons: &'a Lessons, part: &'a Part, draws: usize) -> Chains<'a> {
        Chains::new(lessons, Place::of(part), &self.dry[..draws.min(self.dry.len())])
    }

    /// Joint draws of the part left natural, in the look that is judged.
    pub(crate) fn natural(&self) -> &[Lab] {
        &self.natural
    }
}

/// Predicts colour steps (and their preparations) on a part, as it will be seen in `look`; corrected by the trials
/// like it that were read in that look.
pub(crate) fn outcome(
    chains: &Chains<'_>,
    anchors: &Anchors,
    part: &Part,
    start: &Start,
    steps: &[Step],
    look: Look,
) -> Outcome {
    let (draws, mut evidence) = chains.seen_because(steps, look);
    for note in start.notes.iter().rev() {
        evidence.notes.insert(0, note.clone());
    }
    if evidence.kind == EvidenceKind::NoEffect && !start.natural_from_dry {
        return Outcome { draws: start.natural.clone(), evidence };
    }
    Outcome { draws: anchors.corrected(part, steps, draws), evidence }
}
