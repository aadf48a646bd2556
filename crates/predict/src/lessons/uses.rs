//! Uses of steps in trials, each between two moments at which the surface was read.

use std::collections::BTreeMap;

use colour::Lab;
use nalgebra::Matrix3;
use piece::{Fidelity, Piece, Step, Surface, Trial, TrialId};

use super::{
    Key,
    moments::{StandIn, moments_of, part_of, same_so_far, start_and_whose},
};
use crate::{
    coats::Coats,
    conditions::{conditions, has_conditions, prepared, sanded_first},
    draws::vector,
    estimate::Estimate,
    evidence::{Observation, Unlike},
    look::{Look, Moment, covariance, covariance_of_difference, pooled_draws, pooled_lab},
};

/// What an unaged or otherwise bleached board adds, per CIELAB axis: its colour tells less of the part's (common practice,
/// no source).
const UNLIKE_COLOUR_SD: f64 = 1.5;
/// How far two places of one wood differ, per CIELAB axis: about 2 in all (Buchelt, Wagenführ 2011).
const WITHIN_WOOD_SD: f64 = 1.2;
/// What another grit, or another way of stripping, adds to the logarithm of how much takes, each (common practice, no
/// source).
const UNLIKE_STRENGTH_SD: f64 = 0.2;

/// One use of a step in a trial.
#[derive(Clone)]
pub(super) struct Use {
    pub(super) trial: TrialId,
    pub(super) step: Step,
    pub(super) prepared: Vec<Step>,
    /// How its board is unlike its part, in words; empty where it is like it.
    pub(super) unlike: Vec<&'static str>,
    /// How far it may be off its part for that; the observation has it.
    pub(super) unlike_by: Unlike,
    pub(super) observation: Observation,
}

/// In how many ways a board is unlike the part it stands for.
pub(crate) fn unlike(fidelity: &Fidelity) -> usize {
    unlikeness(fidelity).len()
}

/// How a board is unlike the part it stands for, in words.
fn unlikeness(fidelity: &Fidelity) -> Vec<&'static str> {
    let ways = [
        (fidelity.same_exposure, "not aged like it"),
        (fidelity.same_grit, "sanded to another grit"),
        (fidelity.same_stripping, "not stripped like it"),
    ];
    ways.into_iter().filter(|(same, _)| !same).map(|(_, words)| words).collect()
}

/// How truly a surface on which these steps are done stands for its part. Where both grits are noted, how they differ counts by
/// itself, and is nothing that is not known of the board.
fn stands_for<'a>(piece: &Piece, surface: Surface, steps: impl IntoIterator<Item = &'a Step>) -> Fidelity {
    let Surface::Board(id) = surface else { return Fidelity::FULL };
    let Some(board) = piece.board(id) else { return Fidelity::FULL };
    let noted = piece.part(board.stands_for).is_some_and(|part| part.sanded_to.is_some());
    Fidelity { same_grit: board.fidelity.same_grit || noted && sanded_first(steps).is_some(), ..board.fidelity }
}

/// How far a surface on which these steps are done may be off the part it stands for.
pub(crate) fn unlike_by<'a>(piece: &Piece, surface: Surface, steps: impl IntoIterator<Item = &'a Step>) -> Unlike {
    let fidelity = stands_for(piece, surface, steps);
    let prepared_otherwise = u8::from(!fidelity.same_grit) + u8::from(!fidelity.same_stripping);
    Unlike {
        colour_sd: if fidelity.same_exposure { 0.0 } else { UNLIKE_COLOUR_SD },
        strength_sd: UNLIKE_STRENGTH_SD * f64::from(prepared_otherwise).sqrt(),
    }
}

/// Adds the uses of steps in a trial, and notes of what teaches nothing and why.
pub(super) fn uses_of(
    piece: &Piece,
    coats: &Coats,
    trial: &Trial,
    uses: &mut BTreeMap<Key, Vec<Use>>,
    notes: &mut Vec<String>,
) {
    let part = part_of(piece, trial.on).and_then(|id| piece.part(id)).map(AsRef::as_ref);
    let unlike = unlikeness(&stands_for(piece, trial.on, trial.steps()));
    let unlike_by = unlike_by(piece, trial.on, trial.steps());
    let wood = part.map_or("", |part| part.wood.as_str());
    let (mut before, stand_in) = start_and_whose(piece, trial);
    // Only the first step starts from it.
    let mut stand_in =
        stand_in.filter(|_| !before.is_empty() && trial.stages.iter().any(|one| !one.readings.is_empty()));
    if let Some(whose) = stand_in {
        let (whose, so) = match whose {
            StandIn::SameSurface => ("another reading of its surface stands", ""),
            StandIn::ItsPart => ("a reading of its part stands", ", and it tells less"),
        };
        notes.push(format!("trial {}: not read before its first step; {whose} in{so}", trial.id));
    }
    let mut pending: Vec<usize> = Vec::new();
    for (index, moment) in moments_of(piece, trial) {
        if let Some(index) = index
            && Key::of(&trial.stages[index].step).is_some_and(|(_, strength)| strength > 0.0)
        {
            pending.push(index);
        }
        if moment.is_empty() {
            continue;
        }
        // Steps without a reading after them: another trial that did the same up to there may have one.
        if let [.., second_last, last] = pending.as_slice()
            && let Some(same) = same_so_far(piece, trial, *second_last)
        {
            before = same;
            stand_in = None;
            pending = vec![*last];
        }
        match pending.as_slice() {
            [index] => {
                let step = &trial.stages[*index].step;
                let steps: Vec<Step> = trial.stages[..=*index].iter().map(|stage| stage.step.clone()).collect();
                if let Some((key, strength)) = Key::of(step) {
                    let conditions = if has_conditions(key) { conditions(part, &steps) } else { Vec::new() };
                    let name = format!("{} {}", trial.id, index);
                    let guessed_sd = if stand_in == Some(StandIn::ItsPart) { WITHIN_WOOD_SD } else { 0.0 };
                    match observation(coats, &before, &moment, key.look(), (&name, wood)) {
                        Some((before, after, reading)) => uses.entry(key).or_default().push(Use {
                            trial: trial.id,
                            step: step.clone(),
                            prepared: prepared(&steps[..*index]),
                            unlike: unlike.clone(),
                            unlike_by,
                            observation: Observation {
                                before,
                                after,
                                strength,
                                reading: reading + Matrix3::identity() * (unlike_by.colour_sd.powi(2) + guessed_sd.powi(2)),
                                strength_sd: unlike_by.strength_sd,
                                conditions,
                            },
                        }),
                        None => notes.push(format!(
                            "trial {}: nothing was read before its first step, so it teaches nothing; read the bare surface",
                            trial.id
                        )),
                    }
                }
            }
            [_, _, ..] => notes.push(format!(
                "trial {}: {} colour steps between two readings cannot be told apart; read the colour after each",
                trial.id,
                pending.len()
            )),
            [] => {}
        }
        pending.clear();
        before = moment;
        stand_in = None;
    }
}

/// The colours before and after, in the look in which the step acts; read in it where possible, else both in one other
/// look, else each carried. With the covariance of their difference.
fn observation(
    coats: &Coats,
    before: &Moment<'_>,
    after: &Moment<'_>,
    look: Look,
    (name, wood): (&str, &str),
) -> Option<(Lab, Lab, Matrix3<f64>)> {
    let side = |moment: &Moment<'_>, name: &str| -> Option<(Lab, Vec<Lab>)> {
        let order = [look, Look::Sealed, Look::Topcoated, Look::SpiritWet, Look::Dry];
        let from = order.into_iter().find(|look| !moment.in_look(*look).is_empty())?;
        let readings = moment.in_look(from);
        let draws = pooled_draws(&readings)?;
        if from == look {
            return Some((pooled_lab(&readings), draws));
        }
        let (carried, _) = coats.carry(&draws, from, look, (name, wood));
        Some((Estimate::from_draws(carried.clone()).mean, carried))
    };
    // Both sealed or both topcoated is as good as both sealed for what goes over the sealer.
    let both = |look: Look| !before.in_look(look).is_empty() && !after.in_look(look).is_empty();
    if look == Look::Sealed && !both(look) && both(Look::Topcoated) {
        return observation(coats, before, after, Look::Topcoated, (name, wood));
    }
    let (read_before, read_after) = (before.in_look(look), after.in_look(look));
    if !read_before.is_empty() && !read_after.is_empty() {
        let covariance = covariance_of_difference(&read_before, &read_after);
        return Some((pooled_lab(&read_before), pooled_lab(&read_after), covariance + Matrix3::identity() * 0.01));
    }
    let (before, before_draws) = side(before, &format!("{name} before"))?;
    let (after, after_draws) = side(after, &format!("{name} after"))?;
    let differences = before_draws.iter().zip(&after_draws).map(|(before, after)| vector(*after) - vector(*before));
    Some((before, after, covariance(differences) + Matrix3::identity() * 0.01))
}
