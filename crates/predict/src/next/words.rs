//! A trial, and why, in words.

use piece::{Piece, Step, Surface, TrialId};

use super::{trial::Candidate, weighed::After};
use crate::{
    EvidenceKind,
    lessons::Key,
    odds::per_cent,
    routes::{every_pair, field::Field, judged::Judged, naming},
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

/// Odds below which no route is worth doing as it is (own judgement).
const LEAST_ODDS: f64 = 0.1;

/// 'stop, and do it: darken the rest'; not of what is as good as sure to fail.
pub(super) fn stop(route: &str, best: &Judged) -> String {
    match best.chance_all_within {
        _ if best.changed.is_empty() => "stop, and leave natural".to_owned(),
        chance if chance < LEAST_ODDS => format!("stop: nothing here is likely to match; the nearest is {route}"),
        _ => format!("stop, and do it: {route}"),
    }
}

/// Why one would stop, or not.
pub(super) fn why_stop(field: &Field<'_>, best: &Judged, most_worth_hours: f64, nothing_to_try: bool) -> String {
    let every_pair = every_pair(field.piece, &field.left_out);
    let odds = format!("{} chance that {every_pair} is within tolerance", per_cent(best.chance_all_within));
    let is_hopeless = !best.changed.is_empty() && best.chance_all_within < LEAST_ODDS;
    if nothing_to_try {
        format!("{odds}; nothing at hand could be tried: add a product, or read what a board looks like")
    } else if most_worth_hours > 0.0 {
        format!("{odds}; a trial is expected to save {} beyond what it costs", time::hours(most_worth_hours))
    } else if is_hopeless {
        let or = if field.target.is_some() { ", or agree on a match sample that these reach" } else { "" };
        format!("{odds}; no trial of what is at hand is expected to save more than it costs: try another product{or}")
    } else {
        format!("{odds}; no trial is expected to save more than it costs")
    }
}

/// What is weighed of a trial, for its reason.
pub(super) struct Weighed<'a> {
    pub(super) candidate: &'a Candidate,
    /// The trials behind its steps so far.
    pub(super) trials: &'a [TrialId],
    pub(super) after: &'a [After],
    pub(super) saves_hours: f64,
}

/// What a trial would tell, and because of what.
pub(super) fn why(
    field: &Field<'_>,
    plans: &[Judged],
    names: &[String],
    best: &Judged,
    weighed: &Weighed<'_>,
) -> String {
    match tells(field, plans, names, best, weighed) {
        Some(tells) => format!("{tells}; {}", reason(field, weighed, "because", "leave it this uncertain")),
        None => {
            let best_name = naming::name(field, best);
            let odds = per_cent(best.chance_all_within);
            // What speaks for a trial that tells nothing to speak of is no reason.
            let reason = reason(field, weighed, "though", "tell of its steps already");
            format!("would hardly change '{best_name}', nor its odds, now {odds}, {reason}")
        }
    }
}

/// None for a trial that saves nothing to speak of, or that is about none of the plans that may come out best.
fn tells(
    field: &Field<'_>,
    plans: &[Judged],
    names: &[String],
    best: &Judged,
    weighed: &Weighed<'_>,
) -> Option<String> {
    if !time::is_told(weighed.saves_hours) {
        return None;
    }
    let mut counts: Vec<(usize, usize)> = Vec::new();
    for one in weighed.after {
        match counts.iter_mut().find(|(plan, _)| *plan == one.best) {
            Some((_, count)) => *count += 1,
            None => counts.push((one.best, 1)),
        }
    }
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    let (first, others) = counts.split_first()?;
    let (first, others) = (first.0, || others.iter().map(|(plan, _)| *plan));
    let made: Vec<Key> = keys(&weighed.candidate.steps).collect();
    // Plans differ in what the trial is about where one of its steps is in what they do there.
    let place = |other: usize| {
        let (one, two) = (&plans[first].choices, &plans[other].choices);
        let is_about = |place: usize, choice: usize| keys(field.steps(place, choice)).any(|key| made.contains(&key));
        (0..one.len())
            .find(|at| one[*at] != two[*at] && (is_about(*at, one[*at]) || is_about(*at, two[*at])))
            .map(|at| (at, one[at], two[at]))
    };
    if let Some(other) = others().find(|other| names[*other] != names[first] && place(*other).is_some()) {
        return Some(format!("tells apart '{}' from '{}'", names[first], names[other]));
    }
    if let Some((at, one, two)) = others().find_map(place) {
        let words = |choice: usize| trade::schedule_words(field.piece, field.steps(at, choice));
        let part = &field.parts[at].0.name;
        return Some(format!("tells apart, for {part}, '{}' from '{}'", words(one), words(two)));
    }
    let chance = weighed.after.iter().map(|one| one.chance_all_within).sum::<f64>() / weighed.after.len().max(1) as f64;
    // Of one and the same plan the odds stay, on average, what they are: what a trial may show for it, it may show against it.
    let is_other = plans[first].choices != best.choices;
    (is_other && chance >= best.chance_all_within + LEAST_GAIN).then(|| {
        let [before, chance] = [best.chance_all_within, chance].map(per_cent);
        format!("makes surer of '{}': the odds would go from {before} to {chance}", names[first])
    })
}

fn keys(steps: &[Step]) -> impl Iterator<Item = Key> {
    steps.iter().filter_map(Key::of).map(|(key, _)| key)
}

/// 'because only trial 2 on the same wood stands behind it': after `word` what speaks for the trial, and of several trials behind it
/// what they do.
fn reason(field: &Field<'_>, weighed: &Weighed<'_>, word: &str, several: &str) -> String {
    match (untried(field, weighed), behind(field, weighed)) {
        (Some(step), _) => format!("{word} {step} was not tried yet"),
        (None, None) => format!("{word} no trial stands behind it"),
        (None, Some(behind)) if weighed.trials.len() == 1 => format!("{word} only {behind} stands behind it"),
        (None, Some(behind)) => format!("because {behind} {several}"),
    }
}

/// The first of its steps that nobody tried.
fn untried(field: &Field<'_>, weighed: &Weighed<'_>) -> Option<String> {
    let untried = weighed.candidate.steps.iter().find(|step| {
        let lesson = Key::of(step).and_then(|(key, _)| field.lessons.effects.get(&key));
        lesson.is_some_and(|lesson| lesson.trials.is_empty())
    });
    untried.map(|step| trade::step_name(field.piece, step))
}

/// 'trials 2 and 5 on the same wood'.
fn behind(field: &Field<'_>, weighed: &Weighed<'_>) -> Option<String> {
    let part = weighed.candidate.part(field.piece);
    let behind = crate::because::because(field.piece, part, weighed.trials, EvidenceKind::Tested)?;
    Some(behind.strip_prefix("because of ")?.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is as good as sure to fail is not to be done: it is called the nearest, and no more.
    #[test]
    fn one_is_told_to_do_only_what_may_match() {
        let best = |chance_all_within, changed: &[usize]| Judged {
            choices: vec![0],
            changed: changed.to_vec(),
            chance_all_within,
            expected_worst: 1.0,
            expected_miss: 0.5,
            hours: 1.0,
            wait_hours: 0.0,
            litres: 0.0,
            irreversible: Vec::new(),
        };
        assert_eq!(stop("Darken the rest", &best(0.31, &[1])), "stop, and do it: Darken the rest");
        let unlikely = stop("Darken the rest", &best(0.01, &[1]));
        assert_eq!(unlikely, "stop: nothing here is likely to match; the nearest is Darken the rest");
        assert_eq!(stop("Leave natural", &best(0.01, &[])), "stop, and leave natural");
    }
}
