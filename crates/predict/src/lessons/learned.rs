//! What was learned of each step, as plain data.

use piece::{Piece, TrialId};

use super::Lessons;
use crate::{EvidenceKind, evidence::Scatter, trade};

/// What a piece's trials teach of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct Learned {
    /// The step in words, as it was first tried.
    pub words: String,
    /// The trials it was learned from.
    pub trials: Vec<TrialId>,
    /// How good the evidence is.
    pub kind: EvidenceKind,
    /// The laws by name with their weights, heaviest first.
    pub law_weights: Vec<(&'static str, f64)>,
    /// How much one use is believed to differ from the next, from its repeats and those of the piece's other steps.
    pub scatter: Scatter,
    /// What to know about it.
    pub notes: Vec<String>,
}

/// Learns from all trials of a piece; each step that has an effect, then trials that taught nothing and why.
pub fn learned(piece: &Piece) -> (Vec<Learned>, Vec<String>) {
    let lessons = Lessons::learn(piece);
    let all = lessons.effects.into_values().map(|lesson| Learned {
        words: lesson.tried.first().map_or_else(String::new, |step| trade::step_words(piece, step)),
        trials: lesson.trials,
        kind: lesson.kind,
        law_weights: lesson.effect.law_weights(),
        scatter: lesson.effect.belief().typical(),
        notes: lesson.notes,
    });
    (all.collect(), lessons.notes)
}
