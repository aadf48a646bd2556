//! The colour to reach, and the look in which a match is judged.

use colour::Lab;
use piece::{MatchSample, PartId, Piece, Reading, State, Surface};

use crate::{
    Error, Result,
    coats::of_the_topcoat,
    draws::{COUNT, vector},
    lessons::{Lessons, untouched},
    look::{Look, Moment, covariance, pooled_draws},
};

/// A colour to reach.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// In words.
    pub(crate) words: String,
    /// Joint draws, in the look that is judged.
    pub(crate) draws: Vec<Lab>,
    /// The part it is, where it is one.
    pub(crate) part: Option<PartId>,
    /// From what look it was carried, where it was.
    pub(crate) carried: Option<String>,
}

/// The look in which a match is judged: topcoated, unless the match sample is a panel read spirit-wet or sealed, as a
/// stand-in for it.
pub(crate) fn judged_look(piece: &Piece) -> Look {
    let moment = match piece.match_sample {
        MatchSample::AllAlike | MatchSample::Part(_) => return Look::Topcoated,
        MatchSample::Reading(id) => Moment::new(piece, [id]),
        MatchSample::Board(id) => of_board(piece, id),
        MatchSample::Trial(id) => of_trial(piece, id),
        MatchSample::Photo(id) => of_photo(piece, id),
    };
    let looks: Vec<Look> = moment.readings.iter().filter_map(|reading| Look::of(&reading.state)).collect();
    match looks.iter().max() {
        Some(Look::SpiritWet) => Look::SpiritWet,
        Some(Look::Sealed) => Look::Sealed,
        _ => Look::Topcoated,
    }
}

fn of_board(piece: &Piece, id: piece::BoardId) -> Moment<'_> {
    // A signed-off panel is what was last done on it; without trials, what was read of it.
    let last = piece.trials.iter().rev().find(|trial| trial.on == Surface::Board(id));
    match last {
        Some(trial) if trial.stages.iter().any(|stage| !stage.readings.is_empty()) => of_trial(piece, trial.id),
        _ => untouched(piece, Surface::Board(id)),
    }
}

/// The readings after the last step of a trial that changed the colour.
fn of_trial(piece: &Piece, id: piece::TrialId) -> Moment<'_> {
    let Some(trial) = piece.trial(id) else { return Moment::default() };
    let moments = crate::lessons::moments_of(piece, trial);
    moments.into_iter().rev().map(|(_, moment)| moment).find(|moment| !moment.is_empty()).unwrap_or_default()
}

fn of_photo(piece: &Piece, id: piece::PhotoId) -> Moment<'_> {
    let from = |reading: &Reading| matches!(&reading.source, piece::Source::Photo { photo, .. } if *photo == id);
    Moment::new(piece, piece.readings.iter().filter(|reading| from(reading)).map(|reading| reading.id))
}

/// The match sample of a piece, in the look that is judged; None for 'all alike'.
pub(crate) fn match_target(piece: &Piece, lessons: &Lessons, look: Look) -> Result<Option<Target>> {
    let (words, moment, part) = match piece.match_sample {
        MatchSample::AllAlike => return Ok(None),
        MatchSample::Part(id) => {
            let part = piece.part(id).ok_or_else(|| Error::UnknownPart(id.to_string()))?;
            (part.name.clone(), untouched(piece, Surface::Part(id)), Some(id))
        }
        MatchSample::Reading(id) => {
            let words = piece.reading(id).map_or_else(
                || format!("reading {id}"),
                |reading| format!("reading {id} of {}", piece.surface_name(reading.of)),
            );
            (words, Moment::new(piece, [id]), None)
        }
        MatchSample::Board(id) => (piece.surface_name(Surface::Board(id)), of_board(piece, id), None),
        MatchSample::Trial(id) => (format!("what trial {id} gave"), of_trial(piece, id), None),
        MatchSample::Photo(id) => {
            let file = piece.photo(id).map_or_else(|| id.to_string(), |photo| photo.file.clone());
            (format!("the photo {file}"), of_photo(piece, id), None)
        }
    };
    let (name, wood) = match part.and_then(|id| piece.part(id)) {
        Some(part) => (part.id.to_string(), part.wood.clone()),
        None => (words.clone(), words.clone()),
    };
    let on = (name.as_str(), wood.as_str());
    let Some((draws, from)) = as_seen(piece, lessons, &moment, look, on) else {
        return Err(Error::NoMatchSample(format!(
            "no reading of {words} can be used; read the colour, or choose another match sample"
        )));
    };
    let carried = (from != look).then(|| format!("{words}, read {}, carried across to {}", from.words(), look.words()));
    Ok(Some(Target { words, draws, part, carried }))
}

/// A moment as it will be seen in a look: read in it, or carried across from the look that leaves the least open.
pub(crate) fn as_seen(
    piece: &Piece,
    lessons: &Lessons,
    moment: &Moment<'_>,
    look: Look,
    on: (&str, &str),
) -> Option<(Vec<Lab>, Look)> {
    let read_in = |from: Look| {
        let readings = moment.in_look(from);
        let of_it: Vec<&Reading> = readings.iter().copied().filter(|reading| of_the_topcoat(piece, reading)).collect();
        pooled_draws(if of_it.is_empty() { &readings } else { &of_it })
    };
    if let Some(read) = read_in(look) {
        return Some((read, look));
    }
    let carried = Look::ALL.into_iter().filter_map(|from| {
        let (carried, _) = lessons.coats.carry(&read_in(from)?, from, look, on);
        debug_assert_eq!(carried.len(), COUNT);
        Some((carried, from))
    });
    let spread = |draws: &[Lab]| covariance(draws.iter().map(|draw| vector(*draw))).trace();
    carried.min_by(|(a, _), (b, _)| spread(a).total_cmp(&spread(b)))
}

/// A state in words, as the user named it.
pub(crate) fn state_words(state: &State) -> String {
    match state {
        State::BareDry => "bare dry".to_owned(),
        State::SpiritWet { liquid, .. } if liquid.is_empty() => "spirit-wet".to_owned(),
        State::SpiritWet { liquid, .. } => format!("spirit-wet ({liquid})"),
        State::ColourWet => "colour wet".to_owned(),
        State::ColourDry => "colour dry".to_owned(),
        State::Washcoated => "washcoated".to_owned(),
        State::Sealed => "sealed".to_owned(),
        State::Topcoated { topcoat, sheen } => {
            let name =
                [topcoat.as_str(), sheen.as_str()].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>();
            if name.is_empty() { "topcoated".to_owned() } else { format!("topcoated ({})", name.join(", ")) }
        }
    }
}
