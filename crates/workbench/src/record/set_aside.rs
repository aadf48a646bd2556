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

/// What else there is to know of what is reckoned with: what is assumed of how the parts meet and of the grit, what stands in where a trial's
/// reading is missing, which trials the others contradict, and what is asked about the rest. What is said as a problem is not said
/// again.
pub(super) fn notes(piece: &piece::Piece) -> Vec<String> {
    let (_, notes) = predict::learned(piece);
    let problems: Vec<String> = piece.trials.iter().flat_map(|trial| of_trial(piece, trial)).collect();
    let odd = predict::odd_trials(piece).into_iter().map(|odd| odd.words);
    let assumed = predict::sight::assumed_meeting(piece).map(str::to_owned);
    let grit = predict::conditions::assumed_grit(piece);
    let notes = notes.into_iter().filter(|note| !problems.contains(note));
    assumed.into_iter().chain(grit).chain(notes).chain(odd).chain(predict::asked(piece)).collect()
}

fn of_trial(piece: &piece::Piece, trial: &piece::Trial) -> Vec<String> {
    piece::check::of_trial(piece, trial).iter().map(ToString::to_string).collect()
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
