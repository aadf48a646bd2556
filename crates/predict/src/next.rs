//! What to try next: the trial that is expected to save most, or to stop and do it.
//!
//! A trial is worth what it changes. What would be read of it, draw by draw, tells something of what every plan would
//! give (`told`); for each thing it might give the plans are weighed again (`weighed`). What the best plan is then
//! expected to count for less, on average, is what the trial is expected to save; what is left after its own cost decides.

mod candidates;
mod supposed;
mod told;
mod trial;
mod weighed;
mod words;

use piece::{Id, Piece, Product, Step, Surface, TrialId};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::{
    Caution, Error, GoOn, NotCompared, Result, caution,
    draws::COUNT,
    lessons::{Key, Lessons, part_of},
    mixes,
    routes::{
        field::{Field, Rest},
        judged::Judged,
        naming,
        plans::Choices,
        shown_plans,
    },
    set_aside::sound,
    trade::{self, Worth},
};
use candidates::{as_planned, candidates, plans};
use told::Told;
use trial::Candidate;
use weighed::{After, after, untried};

/// Area of a trial, m².
const TRIAL_AREA_M2: f64 = 0.03;

/// What each like trial made before counts against another, hours: the draws do not know where the laws are wrong, and a
/// repeat does not show it (common practice, no source: try another product, another strength, or another wood).
const REPEAT_HOURS: f64 = 0.8;
/// How much of it is seen at any other strength, and how far the rest reaches: the standard deviation of the kernel, in
/// logarithms of strength.
const ANY_STRENGTH: f64 = 0.5;
const LIKE_STRENGTH: f64 = 0.7;
/// How much of it is seen on another wood.
const OTHER_WOOD: f64 = 0.6;

/// What to try next, or to stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// The route that is best on the evidence so far, by name.
    pub best_route: String,
    /// Its chance that every pair is within tolerance.
    pub chance_all_within: f64,
    /// Hours it is expected to count for: work, what cannot be undone, and failing.
    pub expected_hours: f64,
    /// How many of these are for the chance of failing ([`Worth::failed_match_hours`]).
    pub failing_hours: f64,
    /// Trials that could be made, and to stop; best first.
    pub rows: Vec<NextRow>,
    /// Parts that nothing is said of, and why.
    pub left_out: Vec<NotCompared>,
}

/// A trial that could be made; or to stop, and do the best route.
#[derive(Clone, Debug, PartialEq)]
pub struct NextRow {
    /// In words: 'oak stain reduced 1:2 on board 4'.
    pub words: String,
    /// Where; None for stopping.
    pub on: Option<Surface>,
    /// The steps, up to the clear coats; none for stopping.
    pub steps: Vec<Step>,
    /// Hours it is expected to save.
    pub saves_hours: f64,
    /// Hours it costs, waiting reckoned in, and what a repeat is worth less.
    pub costs_hours: f64,
    /// How many of these are no work, but what it is worth less for being like trials already made.
    pub repeat_hours: f64,
    /// Hours of waiting for it to dry.
    pub wait_hours: f64,
    /// What it would tell, and because of what, in a sentence.
    pub why: String,
    /// The trials that stand behind its steps so far.
    pub trials: Vec<TrialId>,
    /// Cautions for its steps.
    pub cautions: Vec<Caution>,
    /// Mixes that its steps name and that are not in the piece yet ([`crate::with_mixes`]).
    pub mixes: Vec<Product>,
}

impl NextRow {
    /// Hours it is expected to save beyond what it costs; 0 for stopping.
    pub fn worth_hours(&self) -> f64 {
        self.saves_hours - self.costs_hours
    }
}

/// The trial to make next, with all that were weighed; 'stop, and do it' is always among them. What is best so far is the
/// first of [`crate::routes()`], unless that rests on no trial.
///
/// What things count for is [`Worth::DEFAULT`].
///
/// # Errors
/// As [`crate::routes()`].
pub fn next(piece: &Piece, go_on: GoOn<'_>) -> Result<Next> {
    if !go_on(0.0) {
        return Err(Error::Cancelled);
    }
    let worth = Worth::DEFAULT;
    let sound = sound(piece);
    let piece = sound.as_ref();
    let mut lessons = Lessons::learn(piece);
    let mixes = mixes::find(piece, &mut lessons);
    let with_mixes = mixes::with_mixes(piece, &mixes);
    let piece = with_mixes.as_ref();
    let shown = shown_plans(piece, &lessons, &|share| go_on(0.1 * share))?;
    supposed::suppose(piece, &mut lessons);
    let field = Field::new(piece, &lessons, Rest::OnTrialsButOne, go_on)?;
    field.work_out(&|share| go_on(0.1 + 0.4 * share))?;
    let shown: Vec<Choices> = shown.iter().filter_map(|steps| field.choices(steps)).collect();
    let judged: Vec<Judged> = plans(&field, &shown).iter().map(|plan| field.judge(plan)).collect();
    // What nobody tried is not done, however good it may be.
    let known = || judged.iter().filter(|plan| untried(&field, plan).is_empty());
    let first_shown = shown.iter().find_map(|choices| known().find(|plan| plan.choices == *choices));
    let best = first_shown.or_else(|| known().min_by(|a, b| Judged::order(a, b)));
    let Some(best) = best else { return Err(Error::NoParts) };
    let names: Vec<String> = judged.iter().map(|one| naming::name(&field, one)).collect();
    let hours = |after: &[After]| after.iter().map(|one| one.expected_hours).sum::<f64>() / after.len().max(1) as f64;
    let before = hours(&after(&field, &judged, &[], &Told::by_nothing(COUNT), &worth));

    let candidates = candidates(&field, &judged, best);
    let planned = as_planned(&field, best);
    let done = AtomicUsize::new(0);
    let row = |candidate: &Candidate| {
        let share = done.fetch_add(1, Ordering::Relaxed) as f64 / candidates.len() as f64;
        if !go_on(0.5 + 0.5 * share) {
            return Err(Error::Cancelled);
        }
        let readings = candidate.readings(piece, &lessons, field.look);
        let Some(told) = readings.and_then(|readings| Told::by(&readings)) else { return Ok(None) };
        let after = after(&field, &judged, &candidate.steps, &told, &worth);
        let trials = trials_behind(&lessons, &candidate.steps);
        let repeat_hours = REPEAT_HOURS * like_trials(piece, candidate, planned.contains(candidate));
        let saves_hours = (before - hours(&after)).max(0.0);
        let weighed = words::Weighed { candidate, trials: &trials, after: &after, saves_hours };
        Ok(Some(NextRow {
            words: words::trial(piece, candidate),
            on: Some(candidate.on),
            saves_hours,
            costs_hours: work_hours(piece, candidate, &worth) + repeat_hours,
            repeat_hours,
            wait_hours: wait_hours(piece, candidate),
            why: words::why(&field, &judged, &names, best, &weighed),
            cautions: caution::for_steps(&candidate.steps, piece),
            mixes: mixes::named(&mixes, &candidate.steps),
            steps: candidate.steps.clone(),
            trials,
        }))
    };
    let rows: Vec<Option<NextRow>> = candidates.par_iter().map(row).collect::<Result<_>>()?;
    let mut rows: Vec<NextRow> = rows.into_iter().flatten().collect();
    let most = rows.iter().map(NextRow::worth_hours).fold(f64::NEG_INFINITY, f64::max);
    let name = naming::name(&field, best);
    rows.push(NextRow {
        words: words::stop(&name, best),
        on: None,
        steps: Vec::new(),
        saves_hours: 0.0,
        costs_hours: 0.0,
        repeat_hours: 0.0,
        wait_hours: 0.0,
        why: words::why_stop(&field, best, most, rows.is_empty()),
        trials: Vec::new(),
        cautions: Vec::new(),
        mixes: Vec::new(),
    });
    // Stable: of equals the most wanted comes first, and stopping last.
    rows.sort_by(|a, b| b.worth_hours().total_cmp(&a.worth_hours()));
    Ok(Next {
        best_route: name,
        chance_all_within: best.chance_all_within,
        expected_hours: best.expected_hours(&worth),
        failing_hours: best.failing_hours(&worth),
        rows,
        left_out: field.left_out.clone(),
    })
}

fn trials_behind(lessons: &Lessons, steps: &[Step]) -> Vec<TrialId> {
    let keys = steps.iter().filter_map(Key::of);
    let mut trials: Vec<TrialId> =
        keys.filter_map(|(key, _)| lessons.effects.get(&key)).flat_map(|lesson| lesson.trials.clone()).collect();
    trials.sort_by_key(|id| id.number());
    trials.dedup();
    trials
}

fn wait_hours(piece: &Piece, candidate: &Candidate) -> f64 {
    crate::rank::wait_hours(piece, &candidate.steps)
}

/// What it takes at the bench, waiting reckoned in.
fn work_hours(piece: &Piece, candidate: &Candidate, worth: &Worth) -> f64 {
    let work = candidate.steps.iter().fold(0.0, |sum, step| sum + trade::hours(step, TRIAL_AREA_M2));
    worth.trial_hours + work + worth.waiting_hours * wait_hours(piece, candidate)
}

/// How many trials were made that are like it: of the same steps, less the further off in strength and on another wood. Of
/// what is planned, only the very same.
fn like_trials(piece: &Piece, candidate: &Candidate, is_planned: bool) -> f64 {
    let wood = |surface: Surface| part_of(piece, surface).and_then(|id| piece.part(id)).map(|part| part.wood.clone());
    let colours = |steps: &mut dyn Iterator<Item = &Step>| steps.filter_map(Key::of).collect::<Vec<_>>();
    let wanted = colours(&mut candidate.steps.iter());
    let here = wood(candidate.on);
    let like = |trial: &std::sync::Arc<piece::Trial>| {
        let made = colours(&mut trial.steps());
        let on_same_wood = wood(trial.on) == here;
        if is_planned {
            return if on_same_wood && made == wanted { 1.0 } else { 0.0 };
        }
        if made.len() != wanted.len() || made.iter().zip(&wanted).any(|((a, _), (b, _))| a != b) {
            return 0.0;
        }
        let apart: f64 = made.iter().zip(&wanted).map(|((_, a), (_, b))| (a / b).ln().abs()).sum();
        let of_wood = if on_same_wood { 1.0 } else { OTHER_WOOD };
        of_wood * (ANY_STRENGTH + (1.0 - ANY_STRENGTH) * (-0.5 * (apart / LIKE_STRENGTH).powi(2)).exp())
    };
    piece.trials.iter().map(like).sum()
}
