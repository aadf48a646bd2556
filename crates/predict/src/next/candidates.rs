//! The trials worth weighing, and the plans they could decide between.

use std::sync::Arc;

use piece::{Board, Piece, Step, Surface, Trial, TrialId};
use rayon::prelude::*;

use super::trial::Candidate;
use crate::{
    draws::COUNT,
    lessons::{Key, part_of, unlike},
    routes::{field::Field, judged::Judged, plans::Choices},
    schedule::{Reach, strengths},
    trade,
};

/// Draws for which the best plan is looked for.
const BEST_IN: usize = 32;
/// Plans that are weighed by what is expected of them, besides those that are best in some draw.
const EXPECTED: usize = 6;
/// Most trials that are weighed.
const MOST: usize = 20;
/// Strengths of one product on one spot that are weighed.
const STRENGTHS: usize = 3;

/// The plans a trial could decide between: those shown as routes, those expected to count for the fewest hours, the best one
/// if a joint draw were the truth, for so many draws, and to leave natural.
pub(super) fn plans(field: &Field<'_>, shown: &[Choices]) -> Vec<Choices> {
    let mut judged: Vec<Judged> = field.plans().par_iter().map(|plan| field.judge(plan)).collect();
    judged.sort_by(Judged::order);
    let natural = vec![0; field.parts.len()];
    let best: Vec<Option<Choices>> =
        (0..BEST_IN).into_par_iter().map(|at| field.best_in(at * (COUNT / BEST_IN))).collect();
    let expected = judged.into_iter().map(|judged| judged.choices).take(EXPECTED);
    let mut plans: Vec<Choices> = Vec::new();
    for plan in shown.iter().cloned().chain(expected).chain(best.into_iter().flatten()).chain([natural]) {
        if !plans.contains(&plan) {
            plans.push(plan);
        }
    }
    plans
}

/// The best plan as it is, and what nobody tried on that wood; then trials of the steps of these plans, each at the strengths
/// they use and at its strongest, and of whole schedules with more than one colour step, the most wanted first. Each on the
/// spot that stands best for the parts it is meant for.
pub(super) fn candidates(field: &Field<'_>, plans: &[Judged], best: &Judged) -> Vec<Candidate> {
    let mut wanted: Vec<(Candidate, usize)> = Vec::new();
    let mut want = |candidate: Candidate, count: usize| match wanted.iter_mut().find(|(known, _)| *known == candidate) {
        Some((_, sum)) => *sum += count,
        None => wanted.push((candidate, count)),
    };
    for plan in plans {
        for group in &field.groups {
            let place = group[0];
            let on = spot(field, group);
            let steps = field.steps(place, plan.choices[place]);
            let colours: Vec<&Step> = steps.iter().filter(|step| Key::of(step).is_some()).collect();
            for step in &colours {
                want(Candidate { on, steps: alone(steps, step) }, 2);
                if let Some(strongest) = strongest(field, step) {
                    want(Candidate { on, steps: alone(std::slice::from_ref(&strongest), &strongest) }, 1);
                }
            }
            if colours.len() > 1 {
                want(Candidate { on, steps: steps.to_vec() }, 2);
            }
        }
    }
    // Stable: of equals the first wanted comes first.
    wanted.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let mut taken: Vec<Candidate> = Vec::new();
    let wanted = wanted.into_iter().map(|(candidate, _)| candidate);
    for candidate in as_planned(field, best).into_iter().chain(untried(field)).chain(wanted) {
        let kind =
            |one: &Candidate| (one.on, one.steps.iter().filter_map(Key::of).map(|(key, _)| key).collect::<Vec<_>>());
        let alike = taken.iter().filter(|one| kind(one) == kind(&candidate)).count();
        if alike < STRENGTHS && taken.len() < MOST && !taken.contains(&candidate) {
            taken.push(candidate);
        }
    }
    taken
}

/// What a plan does to each group, as it is: nothing shows better what it gives (common practice, no source: make a sample of
/// the whole schedule first).
pub(super) fn as_planned(field: &Field<'_>, plan: &Judged) -> Vec<Candidate> {
    let of_group = |group: &Vec<usize>| {
        let steps = field.steps(group[0], plan.choices[group[0]]);
        (!steps.is_empty()).then(|| Candidate { on: spot(field, group), steps: steps.to_vec() })
    };
    field.groups.iter().filter_map(of_group).collect()
}

/// A first trial of each product that nobody tried on some wood, in the middle of its grid.
fn untried<'f>(field: &'f Field<'_>) -> impl Iterator<Item = Candidate> + 'f {
    let groups = field.groups.iter().map(|group| (spot(field, group), field.parts[group[0]].0));
    groups.flat_map(move |(on, part)| {
        field.lessons.effects.iter().filter_map(move |(key, lesson)| {
            let wood = |id: &TrialId| {
                let trial = field.piece.trial(*id)?;
                part_of(field.piece, trial.on).and_then(|id| field.piece.part(id)).map(|part| &part.wood)
            };
            if lesson.found.is_some() || lesson.trials.iter().any(|trial| wood(trial) == Some(&part.wood)) {
                return None;
            }
            let grid = strengths(*key, lesson, Reach::WholeGrid);
            let step = grid.get(grid.len() / 2)?.clone();
            let steps = alone(std::slice::from_ref(&step), &step);
            trade::objection(field.piece, part, &steps).is_none().then_some(Candidate { on, steps })
        })
    })
}

/// A step by itself, with its preparations, and sealed under where it belongs over a sealer.
fn alone(steps: &[Step], step: &Step) -> Vec<Step> {
    let at = steps.iter().position(|one| one == step).unwrap_or(0);
    let mut alone = crate::conditions::prepared(&steps[..at]);
    if matches!(step, Step::Glaze { .. } | Step::Toner { .. }) {
        alone = vec![Step::Seal];
    }
    alone.push(step.clone());
    alone
}

fn strongest(field: &Field<'_>, step: &Step) -> Option<Step> {
    let (key, _) = Key::of(step)?;
    strengths(key, field.lessons.effects.get(&key)?, Reach::WholeGrid).pop()
}

/// Where a trial for a group is made: the board that stands most truly for one of its parts and is not spoiled, else a hidden
/// spot of the first that is no show face, else of the first.
fn spot(field: &Field<'_>, group: &[usize]) -> Surface {
    let parts = || group.iter().map(|place| field.parts[*place].0);
    let boards = field.piece.boards.iter().filter(|board| parts().any(|part| part.id == board.stands_for));
    let whole = boards.filter(|board| !is_spoiled(field.piece, board));
    if let Some(board) = whole.min_by_key(|board| (unlike(&board.fidelity), board.id)) {
        return Surface::Board(board.id);
    }
    let hidden = parts().find(|part| !part.show_face);
    Surface::Part(hidden.unwrap_or(field.parts[group[0]].0).id)
}

/// Whether nothing more can be learned on a board: something was done to it that may not be done to its part, as alkali lifts
/// veneer, or all that was tried on it began with a bleach, so that no strip is known to be as it was (common practice, no
/// source).
fn is_spoiled(piece: &Piece, board: &Board) -> bool {
    let trials = || piece.trials.iter().filter(|trial| trial.on == Surface::Board(board.id));
    let is_against = |step: &Step| {
        let part = piece.part(board.stands_for);
        part.is_some_and(|part| trade::part_objection(piece, part, step).is_some())
    };
    let is_bleached = |trial: &Arc<Trial>| trial.steps().any(|step| matches!(step, Step::Bleach { .. }));
    trials().flat_map(|trial| trial.steps()).any(is_against) || trials().next().is_some() && trials().all(is_bleached)
}
