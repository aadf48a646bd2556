//! What was learned of each step, as plain data.

use piece::{Piece, TrialId};

use super::{Key, Lesson, Lessons};
use crate::{EvidenceKind, Interval, conditions, evidence::Scatter, set_aside::sound, trade};

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
    /// What changes how much of it takes, for dye and stain.
    pub takes: Vec<Takes>,
    /// What to know about it.
    pub notes: Vec<String>,
    /// What it owes to the shop book, or why what the book says is left aside.
    pub from_book: Option<String>,
}

/// How much more or less of a step takes under a condition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Takes {
    /// The condition: one of [`conditions::NAMES`].
    pub condition: &'static str,
    /// The factor on the strength, as the trials teach it.
    pub factor: Interval,
    /// The factor that is believed before any trial varies the condition.
    pub believed: f64,
}

/// Learns from all trials of a piece; each step that has an effect, then trials that taught nothing and why.
pub fn learned(piece: &Piece) -> (Vec<Learned>, Vec<String>) {
    let sound = sound(piece);
    let piece = sound.as_ref();
    let lessons = Lessons::learn(piece);
    let all = lessons.effects.into_iter().map(|(key, lesson)| Learned {
        takes: takes(piece, key, &lesson),
        words: lesson.tried.first().map_or_else(String::new, |step| trade::step_words(piece, step)),
        trials: lesson.trials,
        kind: lesson.kind,
        law_weights: lesson.effect.law_weights(),
        scatter: lesson.effect.belief().typical(),
        notes: lesson.notes,
        from_book: lesson.from_book,
    });
    (all.collect(), lessons.notes)
}

fn takes(piece: &Piece, key: Key, lesson: &Lesson) -> Vec<Takes> {
    let Some(product) = key.product().filter(|_| conditions::has_conditions(key)) else { return Vec::new() };
    let believed = conditions::modifiers(conditions::is_pigment(piece, product));
    let each = conditions::NAMES.into_iter().zip(lesson.effect.factors()).zip(believed);
    each.map(|((condition, factor), modifier)| Takes { condition, factor, believed: modifier.log_factor.exp() })
        .collect()
}
