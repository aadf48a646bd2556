//! Chlorine bleach and acid, which never come together on one piece of wood.

use piece::{Bleach, Piece, Step};

use super::{step_name, step_words};

/// Why these steps may not be done in one schedule for the gas that they would set free; None where they set none free.
///
/// # Source
/// Acid on hypochlorite sets chlorine free: Centers for Disease Control, MMWR 40(36), 619–621 (1991). That rinsing is not
/// trusted to keep them apart: common practice, no source.
pub(super) fn gas(piece: &Piece, steps: &[Step]) -> Option<String> {
    let bleaches = || steps.iter().filter_map(|step| Some((step, bleach(step)?)));
    let chlorine = bleaches().position(|(_, kind)| kind == Bleach::Chlorine)?;
    let (acid, (acid_step, acid_kind)) = bleaches().enumerate().find(|(_, (_, kind))| brings_acid(*kind).is_some())?;
    let chlorine_step = bleaches().nth(chlorine)?.0;
    let (earlier, later) = if acid < chlorine { (acid_step, chlorine_step) } else { (chlorine_step, acid_step) };
    Some(format!(
        "{}: never with {} in one schedule: {} {}, and acid sets chlorine gas free from chlorine bleach",
        step_words(piece, later),
        step_name(piece, earlier),
        step_name(piece, acid_step),
        brings_acid(acid_kind)?
    ))
}

fn bleach(step: &Step) -> Option<Bleach> {
    match step {
        Step::Bleach { kind, .. } => Some(*kind),
        _ => None,
    }
}

/// How a bleach brings acid onto the wood; None where it brings none.
fn brings_acid(kind: Bleach) -> Option<&'static str> {
    match kind {
        Bleach::Oxalic => Some("is an acid"),
        Bleach::TwoPart | Bleach::CausticAlone => Some("is neutralised with vinegar, an acid"),
        Bleach::Chlorine => None,
    }
}
