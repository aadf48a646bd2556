//! When a surface was read: before a trial, after each of its steps, or outside any.

use piece::{PartId, Piece, Step, Surface, Trial};

use super::Key;
use crate::look::Moment;

/// The part a surface is, or stands for.
pub(crate) fn part_of(piece: &Piece, surface: Surface) -> Option<PartId> {
    match surface {
        Surface::Part(id) => Some(id),
        Surface::Board(id) => piece.board(id).map(|board| board.stands_for),
    }
}

/// The readings of a surface outside the stages of any trial.
pub(crate) fn untouched(piece: &Piece, surface: Surface) -> Moment<'_> {
    let in_stage = |id| piece.trials.iter().any(|trial| trial.stages.iter().any(|stage| stage.readings.contains(&id)));
    Moment::new(piece, piece.readings.iter().filter(|one| one.of == surface && !in_stage(one.id)).map(|one| one.id))
}

/// The moments of a trial: before it, and after each of its steps that changes the colour. A clear coat is a look of the
/// moment before it, not a new one.
pub(crate) fn moments_of<'a>(piece: &'a Piece, trial: &Trial) -> Vec<(Option<usize>, Moment<'a>)> {
    let mut moments = vec![(None, trial.before.clone())];
    for (index, stage) in trial.stages.iter().enumerate() {
        let same = matches!(stage.step, Step::Seal | Step::Topcoat { .. } | Step::LeaveNatural);
        match moments.last_mut() {
            Some((_, readings)) if same => readings.extend(&stage.readings),
            _ => moments.push((Some(index), stage.readings.clone())),
        }
    }
    moments.into_iter().map(|(index, ids)| (index, Moment::new(piece, ids))).collect()
}

/// What a trial starts from: its own readings before; else those of its surface or of another trial on it; else those of
/// the part it stands for.
pub(crate) fn start_of<'a>(piece: &'a Piece, trial: &Trial) -> Moment<'a> {
    start_and_whose(piece, trial).0
}

/// The same, and whose readings stand in for its own; None where they are its own.
pub(super) fn start_and_whose<'a>(piece: &'a Piece, trial: &Trial) -> (Moment<'a>, Option<StandIn>) {
    let before = |one: &Trial| Moment::new(piece, one.before.iter().copied());
    let own = before(trial);
    if !own.is_empty() {
        return (own, None);
    }
    let on_it = piece.trials.iter().filter(|other| other.on == trial.on).map(|other| before(other));
    let of_surface = std::iter::once(untouched(piece, trial.on)).chain(on_it).find(|moment| !moment.is_empty());
    if let Some(moment) = of_surface {
        return (moment, Some(StandIn::SameSurface));
    }
    let of_part = part_of(piece, trial.on).map(|part| untouched(piece, Surface::Part(part)));
    (of_part.unwrap_or_default(), Some(StandIn::ItsPart))
}

/// Whose readings stand in for those that a trial lacks before its first step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum StandIn {
    /// Others of the same surface.
    SameSurface,
    /// Those of the part that its board stands for.
    ItsPart,
}

/// The readings that another trial for the same part took after the very same steps up to `last`.
pub(super) fn same_so_far<'a>(piece: &'a Piece, trial: &Trial, last: usize) -> Option<Moment<'a>> {
    let colour_steps = |one: &Trial, last: usize| -> Vec<Step> {
        one.stages[..=last].iter().map(|stage| stage.step.clone()).filter(|step| Key::of(step).is_some()).collect()
    };
    let wanted = colour_steps(trial, last);
    let others = piece.trials.iter().filter(|other| other.id != trial.id);
    // The same surface first, then any that stands for the same part.
    let same_surface = others.clone().filter(|other| other.on == trial.on);
    let same_part = others.filter(|other| part_of(piece, other.on) == part_of(piece, trial.on));
    same_surface.chain(same_part).find_map(|other| {
        let mut moments = moments_of(piece, other).into_iter();
        moments
            .find_map(|(index, moment)| (colour_steps(other, index?) == wanted && !moment.is_empty()).then_some(moment))
    })
}
