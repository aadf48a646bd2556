//! Trials that cannot be as they are written down.

use serde::Serialize;

/// A trial that cannot be as it is written down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAsideRecord {
    /// The trial.
    pub trial: String,
    /// What is wrong with it, and what to do.
    pub why: String,
    /// Whether nothing is learned from it.
    pub left_out: bool,
}

/// What else there is to know of what is reckoned with: what is assumed of how the parts meet, what stands in where a trial's
/// reading is missing, and which trials the others contradict. Of trials set aside it is said there.
pub(super) fn notes(piece: &piece::Piece, set_aside: &[SetAsideRecord]) -> Vec<String> {
    let (_, notes) = predict::learned(piece);
    let is_told = |note: &String| set_aside.iter().any(|one| note.starts_with(&format!("trial {}:", one.trial)));
    let odd = predict::odd_trials(piece).into_iter().map(|odd| odd.words);
    let assumed = predict::sight::assumed_meeting(piece).map(str::to_owned);
    assumed.into_iter().chain(notes.into_iter().filter(|note| !is_told(note))).chain(odd).collect()
}

/// Those of a piece.
pub(super) fn set_aside(piece: &piece::Piece) -> Vec<SetAsideRecord> {
    let record = |one: predict::SetAside| SetAsideRecord {
        trial: one.trial.to_string(),
        why: one.why,
        left_out: one.is_left_out,
    };
    predict::set_aside(piece).into_iter().map(record).collect()
}
