//! What the shop book adds: uses on earlier pieces, which tell less than a trial of today.

use std::collections::BTreeMap;

use nalgebra::Matrix3;
use piece::{PastSource, PastUse, Piece, Step};

use super::{
    Key, Lesson,
    lesson::Teacher,
    moments::part_of,
    oddity::{self, Miss},
    uses::{Use, uses_of},
};
use crate::{EvidenceKind, coats::Coats, evidence::Observation};

/// What another day, batch and board add to the logarithm of the strength (common practice, no source).
const STRENGTH_SD: f64 = 0.2;
/// What they add per CIELAB axis: wood of one kind differs by about 2 in all (Buchelt, Wagenführ 2011).
const COLOUR_SD: f64 = 1.2;

/// What the trials of a piece have to tell the shop book: every use of a colour step between two moments at which the
/// surface was read.
pub fn past_uses(piece: &Piece) -> Vec<PastUse> {
    let coats = Coats::of(piece);
    let (mut uses, mut notes) = (BTreeMap::new(), Vec::new());
    for trial in &piece.trials {
        uses_of(piece, &coats, trial, &mut uses, &mut notes);
    }
    let told = |(key, one): (Key, &Use)| {
        let trial = piece.trial(one.trial)?;
        let stage = trial.steps().position(|step| *step == one.step)?;
        let part = part_of(piece, trial.on).and_then(|id| piece.part(id));
        Some(PastUse {
            step: one.step.clone(),
            wood: part.map_or_else(String::new, |part| part.wood.clone()),
            before: one.observation.before,
            after: one.observation.after,
            covariance: std::array::from_fn(|row| std::array::from_fn(|column| one.observation.reading[(row, column)])),
            lot: key.product().and_then(|id| piece.product(id)).map_or_else(String::new, |product| product.lot.clone()),
            source: PastSource { piece: piece.name.clone(), trial: trial.id.to_string(), stage: stage as u32 },
            made: trial.made.clone(),
        })
    };
    uses.iter().flat_map(|(key, uses)| uses.iter().map(|one| (*key, one))).filter_map(told).collect()
}

/// Uses of one product or bleach on earlier pieces.
#[derive(Clone, Debug, Default)]
pub(super) struct Past {
    pub(super) observations: Vec<Observation>,
    steps: Vec<Step>,
    /// Where they come from, each once, with the lot where it was noted.
    sources: Vec<String>,
}

impl Past {
    /// All that a piece has taken up, by what acted.
    pub(super) fn of(piece: &Piece) -> BTreeMap<Key, Self> {
        let mut all: BTreeMap<Key, Self> = BTreeMap::new();
        for one in &piece.past {
            let Some((key, strength)) = Key::of(&one.step).filter(|(_, strength)| *strength > 0.0) else { continue };
            let past = all.entry(key).or_default();
            let covariance = Matrix3::from_fn(|row, column| one.covariance[row][column]);
            past.observations.push(Observation {
                before: one.before,
                after: one.after,
                strength,
                reading: covariance + Matrix3::identity() * COLOUR_SD.powi(2),
                strength_sd: STRENGTH_SD,
                conditions: Vec::new(),
            });
            if !past.steps.contains(&one.step) {
                past.steps.push(one.step.clone());
            }
            let source = match one.lot.as_str() {
                "" => format!("'{}'", one.source.piece),
                lot => format!("'{}' (lot {lot})", one.source.piece),
            };
            if !past.sources.contains(&source) {
                past.sources.push(source);
            }
        }
        all
    }

    /// What it teaches where nothing was tried on this piece.
    pub(super) fn lesson(&self, piece: &Piece, key: Key) -> Option<Lesson> {
        let effect = Teacher::of(piece, key, None).recalling(&self.observations).teach(&[], &[])?;
        let words =
            format!("from the shop book only: {}; one trial here would tell whether it still holds", self.words());
        let lesson = Lesson::untried(effect, EvidenceKind::EarlierPieces, self.steps.clone());
        Some(Lesson { from_book: Some(words), ..lesson })
    }

    /// What of it stands beside what was tried here, and what to say of it: nothing where the uses of today contradict it.
    pub(super) fn beside(&self, piece: &Piece, key: Key, uses: &[Use]) -> (Vec<Observation>, String) {
        let recalled = Teacher::of(piece, key, None).recalling(&self.observations).teach(&[], &[]);
        let worst = recalled.and_then(|effect| {
            let misses = uses.iter().map(|one| Miss::of(&effect, &one.observation));
            misses.max_by(|a, b| a.distance2.total_cmp(&b.distance2))
        });
        match worst {
            Some(miss) if miss.distance2 > oddity::ODD_DISTANCE2 && miss.off_de00 > oddity::ODD_DE00 => {
                let note = format!(
                    "the shop book says otherwise by {:.0} ΔE2000 ({}): another lot, or another can? it is left aside here",
                    miss.off_de00,
                    self.words()
                );
                (Vec::new(), note)
            }
            _ => (self.observations.clone(), format!("learned on from the shop book: {}", self.words())),
        }
    }

    fn words(&self) -> String {
        let uses = self.observations.len();
        format!("{uses} {} on {}", if uses == 1 { "use" } else { "uses" }, self.sources.join(", "))
    }
}
