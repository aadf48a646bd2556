//! A trial, and why, in words.

use piece::{Piece, Surface, TrialId};

use super::{trial::Candidate, weighed::After};
use crate::{
    EvidenceKind,
    lessons::Key,
    routes::{every_pair, field::Field, judged::Judged},
    time, trade,
};

/// Odds that rise by less are as they were: so much comes from the draws.
const LEAST_GAIN: f64 = 0.02;

/// 'oak stain reduced 1:2 on board 4'.
pub(super) fn trial(piece: &Piece, candidate: &Candidate) -> String {
    let steps = trade::schedule_words(piece, &candidate.steps);
    match candidate.on {
        Surface::Board(_) => format!("{steps} on {}", piece.surface_name(candidate.on)),
        Surface::Part(_) => {
            format!("{steps} on an offcut of its wood, or a hidden spot of {}", piece.surface_name(candidate.on))
        }
    }
}

/// 'stop, and do it: darken the rest'.
pub(super) fn stop(route: &str, best: &Judged) -> String {
    if best.changed.is_empty() { "stop, and leave natural".to_owned() } else { format!("stop, and do it: {route}") }
}

/// Why one would stop, or not.
pub(super) fn why_stop(field: &Field<'_>, best: &Judged, most_worth_hours: f64, nothing_to_try: bool) -> String {
    let every_pair = every_pair(field.piece, &field.left_out);
    let odds = format!("{} that {every_pair} is within tolerance", percent(best.chance_all_within));
    if nothing_to_try {
        format!("{odds}; nothing at hand could be tried: add a product, or read what a board looks like")
    } else if most_worth_hours > 0.0 {
        format!("{odds}; a trial is expected to save {} beyond what it costs", time::hours(most_worth_hours))
    } else {
        format!("{odds}; no trial is expected to save more than it costs")
    }
}

/// What a trial would tell, and because of what.
pub(super) fn why(
    field: &Field<'_>,
    candidate: &Candidate,
    trials: &[TrialId],
    plans: &[Judged],
    names: &[String],
    after: &[After],
    best: &Judged,
) -> String {
    format!("{}; {}", tells(field, plans, names, after, best), because(field, candidate, trials))
}

fn tells(field: &Field<'_>, plans: &[Judged], names: &[String], after: &[After], best: &Judged) -> String {
    let mut counts: Vec<(usize, usize)> = Vec::new();
    for one in after {
        match counts.iter_mut().find(|(plan, _)| *plan == one.best) {
            Some((_, count)) => *count += 1,
            None => counts.push((one.best, 1)),
        }
    }
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    let first = counts.first().map_or(0, |(plan, _)| *plan);
    let other_name = counts.iter().find(|(plan, _)| names[*plan] != names[first]);
    if let Some((other, _)) = other_name {
        return format!("tells apart '{}' from '{}'", names[first], names[*other]);
    }
    if let Some((other, _)) = counts.get(1) {
        let (one, two) = (&plans[first].choices, &plans[*other].choices);
        if let Some(place) = (0..one.len()).find(|place| one[*place] != two[*place]) {
            let words = |choice: usize| trade::schedule_words(field.piece, field.steps(place, choice));
            let part = &field.parts[place].0.name;
            return format!("tells apart, for {part}, '{}' from '{}'", words(one[place]), words(two[place]));
        }
    }
    let chance = after.iter().map(|one| one.chance_all_within).sum::<f64>() / after.len().max(1) as f64;
    let (name, before) = (&names[first], best.chance_all_within);
    if chance < before + LEAST_GAIN {
        return format!("would hardly change '{name}', nor its odds, now {}", percent(before));
    }
    format!("makes surer of '{name}': the odds would go from {} to {}", percent(before), percent(chance))
}

/// 'because only trial 2 on the same wood stands behind it'.
fn because(field: &Field<'_>, candidate: &Candidate, trials: &[TrialId]) -> String {
    let piece = field.piece;
    let untried = candidate.steps.iter().find(|step| {
        let lesson = Key::of(step).and_then(|(key, _)| field.lessons.effects.get(&key));
        lesson.is_some_and(|lesson| lesson.trials.is_empty())
    });
    if let Some(step) = untried {
        return format!("because {} was not tried yet", trade::step_name(piece, step));
    }
    let behind = crate::because::because(piece, candidate.part(piece), trials, EvidenceKind::Tested);
    let behind = behind.as_deref().and_then(|words| words.strip_prefix("because of ")).unwrap_or("no trial");
    match trials {
        [_] => format!("because only {behind} stands behind it"),
        _ => format!("because {behind} leave it this uncertain"),
    }
}

fn percent(chance: f64) -> String {
    format!("{:.0} %", 100.0 * chance)
}
