//! What the trade has against what stands in a piece: its plan, and the order of steps in its trials.

use piece::{Part, Piece, Problem, State, Step, Surface, Trial};

use super::{
    objection,
    objection::{out_of_place, part_objection},
    order_objection,
};

/// What the trade has against a piece: what `check` of the piece itself, which does not know the trade, cannot see.
pub fn problems(piece: &Piece) -> Vec<Problem> {
    let of_trial = |trial: &Trial| {
        let texts = [trial_objection(piece, trial), done_to_part(piece, trial)];
        let at = format!("trial {}", trial.id);
        texts.into_iter().flatten().map(move |text| Problem { at: at.clone(), text }).collect::<Vec<_>>()
    };
    let trials = piece.trials.iter().flat_map(|trial| of_trial(trial));
    trials.chain(plan_problems(piece)).collect()
}

/// What was done to a part itself that may not be done to it. A board that stands for it may be built otherwise.
fn done_to_part(piece: &Piece, trial: &Trial) -> Option<String> {
    let Surface::Part(id) = trial.on else { return None };
    let part = piece.part(id)?;
    let why = trial.steps().find_map(|step| part_objection(piece, part, step))?;
    Some(format!(
        "{why}, and it was done to {} itself: look what has lifted, worn thin or darkened before anything else, or correct how it is built and \
         what is barred on it",
        part.name
    ))
}

/// What the trade has against the plan of a piece, part by part.
pub fn plan_problems(piece: &Piece) -> Vec<Problem> {
    let planned = piece.plan.iter().flat_map(|plan| &plan.schedules);
    let of_plan = planned.filter_map(|(part, steps)| {
        let part = piece.part(*part)?;
        Some(Problem { at: format!("plan for {}", part.name), text: plan_objection(piece, part, steps)? })
    });
    of_plan.collect()
}

/// Why the steps that are planned for a part may not be done to it, and what to do; None where nothing speaks against them.
pub fn plan_objection(piece: &Piece, part: &Part, steps: &[Step]) -> Option<String> {
    let why = objection(piece, part, steps)?;
    Some(format!("{why}; choose another schedule, or correct how {} is built and what is barred on it", part.name))
}

/// Why the steps of a trial cannot have followed one another, and what to do; None where nothing speaks against them.
pub(crate) fn trial_objection(piece: &Piece, trial: &Trial) -> Option<String> {
    let why = order_objection(piece, &steps_done(piece, trial))?;
    let all = in_place(piece, trial) == trial.stages.len();
    Some(format!("{why}; {}correct its steps", if all { "" } else { "from there on it teaches nothing: " }))
}

/// How many stages of a trial there are before the first whose step cannot act on what the steps before it leave.
pub(crate) fn in_place(piece: &Piece, trial: &Trial) -> usize {
    let steps = steps_done(piece, trial);
    let added = steps.len() - trial.stages.len();
    let first = (0..steps.len()).find(|&index| out_of_place(&steps[..index], &steps[index]).is_some());
    first.map_or(trial.stages.len(), |index| index - added)
}

/// The steps of a trial; a glaze or toner that was put on what was read as coated goes over that sealer.
fn steps_done(piece: &Piece, trial: &Trial) -> Vec<Step> {
    let states = || trial.before.iter().filter_map(|id| piece.reading(*id)).map(|reading| &reading.state);
    let coated = |state: &State| matches!(state, State::Sealed | State::Topcoated { .. } | State::Washcoated);
    let over = trial.steps().next().is_some_and(|step| matches!(step, Step::Glaze { .. } | Step::Toner { .. }));
    let sealer = (over && states().next().is_some() && states().all(coated)).then_some(Step::Seal);
    sealer.into_iter().chain(trial.steps().cloned()).collect()
}
