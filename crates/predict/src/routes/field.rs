//! What routes are searched on: groups of alike parts, their schedules, and the pairs in sight.

use colour::{Lab, de2000};
use piece::{Meeting, Part, PartId, Piece, Step};
use rayon::prelude::*;

use super::{GOOD_ENOUGH, IRREVERSIBLE_HOURS, MOST_GROUPS, PartSchedule, Route, WorstPair, naming};
use crate::{
    Barred, Error, Estimate, EvidenceKind, GoOn, Result,
    anchor::{Anchor, anchors},
    draws::{COUNT, geometric_median},
    grouping::groups,
    judge::judge,
    lessons::{Key, Lessons},
    look::Look,
    outcome::{Outcome, Start, outcome},
    rank::{hours, row, wait_hours},
    schedule::offered,
    search::Problem,
    target::Target,
    trade,
};

/// A pair in sight, by place among the parts; the second is None for the match sample.
#[derive(Clone, Copy, Debug)]
struct Pair {
    a: usize,
    b: Option<usize>,
    tolerance_de00: f64,
}

/// Everything a route is made from.
pub(super) struct Field<'a> {
    piece: &'a Piece,
    lessons: &'a Lessons,
    look: Look,
    anchors: Vec<Anchor>,
    pub(super) parts: Vec<(&'a Part, Start)>,
    target: Option<Target>,
    target_mean: Option<Lab>,
    groups: Vec<Vec<usize>>,
    /// Schedules of each group; the first is 'leave natural'.
    schedules: Vec<Vec<Vec<Step>>>,
    /// Predicted mean of each part under each schedule of its group.
    means: Vec<Vec<Lab>>,
    pairs: Vec<Pair>,
    pub(super) barred: Vec<Barred>,
}

/// A plan judged by joint draws.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    /// A schedule for each part, by place.
    pub(super) steps: Vec<Vec<Step>>,
    outcomes: Vec<Outcome>,
    /// Places of the parts it changes.
    pub(super) changed: Vec<usize>,
    chance_all_within: f64,
    /// Mean over the draws of the worst ratio.
    pub(super) expected_worst: f64,
    hours: f64,
    wait_hours: f64,
    irreversible: Vec<String>,
}

impl Judged {
    /// Best odds first.
    pub(super) fn order(a: &Self, b: &Self) -> std::cmp::Ordering {
        b.chance_all_within
            .total_cmp(&a.chance_all_within)
            .then(a.expected_worst.total_cmp(&b.expected_worst))
            .then(a.irreversible.len().cmp(&b.irreversible.len()))
            .then(a.hours.total_cmp(&b.hours))
            .then_with(|| format!("{:?}", a.steps).cmp(&format!("{:?}", b.steps)))
    }

    /// Whether this plan is as good in everything and better in something.
    pub(super) fn beats(&self, other: &Self) -> bool {
        let ours = (self.expected_worst, self.hours, self.irreversible.len());
        let theirs = (other.expected_worst, other.hours, other.irreversible.len());
        ours.0 <= theirs.0 && ours.1 <= theirs.1 && ours.2 <= theirs.2 && ours != theirs
    }
}

impl<'a> Field<'a> {
    pub(super) fn new(
        piece: &'a Piece,
        lessons: &'a Lessons,
        look: Look,
        parts: Vec<(&'a Part, Start)>,
        target: Option<Target>,
        go_on: GoOn<'_>,
    ) -> Result<Self> {
        let natural: Vec<(&Part, Lab)> =
            parts.iter().map(|(part, start)| (*part, geometric_median(start.natural()))).collect();
        let apart = target.as_ref().and_then(|target| target.part);
        let groups = groups(&natural, apart);
        let tested = lessons.effects.values().any(|lesson| lesson.kind == EvidenceKind::Tested);
        let supported = |steps: &Vec<Step>| {
            let effects = steps.iter().filter_map(Key::of).filter_map(|(key, _)| lessons.effects.get(&key));
            !tested || effects.into_iter().all(|lesson| lesson.kind == EvidenceKind::Tested)
        };
        let (mut schedules, mut barred) = (Vec::new(), Vec::new());
        for group in &groups {
            let first = parts[group[0]].0;
            let offered = offered(piece, first, lessons);
            for place in group {
                let part = parts[*place].0.id;
                barred.extend(offered.barred.iter().map(|(what, why)| Barred {
                    part,
                    what: what.clone(),
                    why: why.clone(),
                }));
            }
            let keep = apart == Some(first.id);
            schedules.push(if keep {
                vec![Vec::new()]
            } else {
                offered.schedules.into_iter().filter(supported).collect()
            });
        }
        let anchors = anchors(piece, lessons, look);
        let mut means = vec![Vec::new(); parts.len()];
        for (index, group) in groups.iter().enumerate() {
            for place in group {
                let (part, start) = &parts[*place];
                let of =
                    |steps: &Vec<Step>| geometric_median(&outcome(lessons, &anchors, part, start, steps, look).draws);
                means[*place] = schedules[index].par_iter().map(of).collect();
            }
            if !go_on(0.1 + 0.6 * (index + 1) as f64 / groups.len() as f64) {
                return Err(Error::Cancelled);
            }
        }
        let target_mean = target.as_ref().map(|target| geometric_median(&target.draws));
        let pairs = pairs(piece, &parts, target.as_ref());
        Ok(Self { piece, lessons, look, anchors, parts, target, target_mean, groups, schedules, means, pairs, barred })
    }

    fn group_of(&self, place: usize) -> usize {
        self.groups.iter().position(|group| group.contains(&place)).unwrap_or(0)
    }

    fn problem(&self) -> Problem {
        let count = self.groups.len();
        let choices: Vec<usize> = self.schedules.iter().map(Vec::len).collect();
        let mut alone: Vec<Vec<f64>> = choices.iter().map(|count| vec![0.0; *count]).collect();
        let mut between: Vec<Vec<Vec<Vec<f64>>>> = vec![vec![Vec::new(); count]; count];
        for pair in &self.pairs {
            let group_a = self.group_of(pair.a);
            let Some(b) = pair.b else {
                for (choice, worst) in alone[group_a].iter_mut().enumerate() {
                    let apart = self.target_mean.map_or(0.0, |target| de2000(self.means[pair.a][choice], target));
                    *worst = worst.max(apart / pair.tolerance_de00);
                }
                continue;
            };
            let group_b = self.group_of(b);
            let ratio = |choice_a: usize, choice_b: usize| {
                de2000(self.means[pair.a][choice_a], self.means[b][choice_b]) / pair.tolerance_de00
            };
            if group_a == group_b {
                for (choice, worst) in alone[group_a].iter_mut().enumerate() {
                    *worst = worst.max(ratio(choice, choice));
                }
                continue;
            }
            let (low, high) = (group_a.min(group_b), group_a.max(group_b));
            let table = &mut between[low][high];
            if table.is_empty() {
                *table = vec![vec![0.0; choices[high]]; choices[low]];
            }
            for (choice_low, line) in table.iter_mut().enumerate() {
                for (choice_high, worst) in line.iter_mut().enumerate() {
                    let (choice_a, choice_b) =
                        if group_a == low { (choice_low, choice_high) } else { (choice_high, choice_low) };
                    *worst = worst.max(ratio(choice_a, choice_b));
                }
            }
        }
        let cost = (self.groups.iter().zip(&self.schedules))
            .map(|(group, schedules)| {
                let of = |steps: &Vec<Step>| -> f64 {
                    let undone = trade::irreversible(self.piece, steps).len() as f64;
                    let of_part = |place: &usize| hours(self.parts[*place].0, steps) + IRREVERSIBLE_HOURS * undone;
                    group.iter().map(of_part).sum()
                };
                schedules.iter().map(of).collect()
            })
            .collect();
        Problem { alone, between, cost }
    }

    /// For every choice of groups to change: the cheapest plan about as good as the best one. A schedule for each part.
    pub(super) fn plans(&self) -> Vec<Vec<Vec<Step>>> {
        let problem = self.problem();
        let mut plans: Vec<Vec<Vec<Step>>> = Vec::new();
        for changed in choices_of_groups(self.groups.len()) {
            let allowed: Vec<Vec<usize>> = (self.schedules.iter().zip(&changed))
                .map(|(schedules, changed)| if *changed { (1..schedules.len()).collect() } else { vec![0] })
                .collect();
            let Some(best) = problem.least_worst(&allowed) else { continue };
            let limit = (best.worst * 1.1).max(GOOD_ENOUGH);
            for plan in problem.cheapest_within(&allowed, limit).into_iter().chain([best]) {
                let steps: Vec<Vec<Step>> = (0..self.parts.len())
                    .map(|place| {
                        let group = self.group_of(place);
                        self.schedules[group][plan.choices[group]].clone()
                    })
                    .collect();
                if !plans.contains(&steps) {
                    plans.push(steps);
                }
            }
        }
        plans
    }

    /// Judges a plan by joint draws.
    pub(super) fn judge(&self, plan: &[Vec<Step>]) -> Judged {
        let outcomes: Vec<Outcome> = (self.parts.iter().zip(plan))
            .map(|((part, start), steps)| outcome(self.lessons, &self.anchors, part, start, steps, self.look))
            .collect();
        let (mut within, mut sum) = (0usize, 0.0);
        for draw in 0..COUNT {
            let worst = self.pairs.iter().map(|pair| self.ratio(&outcomes, pair, draw)).fold(0.0, f64::max);
            within += usize::from(worst <= 1.0);
            sum += worst;
        }
        let works = || self.parts.iter().map(|(part, _)| *part).zip(plan);
        let irreversible = works().flat_map(|(part, steps)| {
            trade::irreversible(self.piece, steps).into_iter().map(move |what| format!("{}: {what}", part.name))
        });
        Judged {
            chance_all_within: within as f64 / COUNT as f64,
            expected_worst: sum / COUNT as f64,
            hours: works().fold(0.0, |sum, (part, steps)| sum + hours(part, steps)),
            wait_hours: plan.iter().map(|steps| wait_hours(self.piece, steps)).fold(0.0, f64::max),
            irreversible: irreversible.collect(),
            changed: (0..plan.len()).filter(|place| !plan[*place].is_empty()).collect(),
            steps: plan.to_vec(),
            outcomes,
        }
    }

    fn ratio(&self, outcomes: &[Outcome], pair: &Pair, draw: usize) -> f64 {
        let a = outcomes[pair.a].draws[draw];
        let b = match (pair.b, &self.target) {
            (Some(b), _) => outcomes[b].draws[draw],
            (None, Some(target)) => target.draws[draw],
            (None, None) => a,
        };
        de2000(a, b) / pair.tolerance_de00
    }

    /// A judged plan as it is shown.
    pub(super) fn route(&self, judged: &Judged) -> Route {
        let estimates: Vec<Estimate> =
            judged.outcomes.iter().map(|outcome| Estimate::from_draws(outcome.draws.clone())).collect();
        let target = self.target.as_ref().map(|target| Estimate::from_draws(target.draws.clone()));
        let side = |pair: &Pair| match (pair.b, &target) {
            (Some(b), _) => Some(&estimates[b]),
            (None, target) => target.as_ref(),
        };
        let mean_ratio =
            |pair: &Pair| side(pair).map_or(0.0, |b| de2000(estimates[pair.a].mean, b.mean)) / pair.tolerance_de00;
        let worst = |pairs: &mut dyn Iterator<Item = &'_ Pair>| -> Option<Pair> {
            pairs.copied().reduce(|worst, pair| if mean_ratio(&pair) > mean_ratio(&worst) { pair } else { worst })
        };
        let worst_pair = worst(&mut self.pairs.iter()).and_then(|pair| {
            let b = side(&pair)?;
            let a = &estimates[pair.a];
            Some(WorstPair {
                a: self.parts[pair.a].0.name.clone(),
                b: pair.b.map_or_else(|| "match sample".to_owned(), |b| self.parts[b].0.name.clone()),
                de00: judge(a.mean, b.mean, &a.draws, &b.draws, pair.tolerance_de00).de00,
                tolerance_de00: pair.tolerance_de00,
            })
        });
        let schedules = (0..self.parts.len())
            .map(|place| {
                let part = self.parts[place].0;
                // Against the match sample; else against the neighbour it differs from most; alone, against itself.
                let of_it = |pair: &&Pair| pair.a == place || pair.b == Some(place);
                let limiting = worst(&mut self.pairs.iter().filter(of_it));
                let limiting = limiting.map(|pair| {
                    let other = if pair.a == place { pair.b } else { Some(pair.a) };
                    (other, pair.tolerance_de00)
                });
                let (against, tolerance_de00) = match (&target, limiting) {
                    (Some(target), _) => (target, self.piece.tolerances.match_sample_de00),
                    (None, Some((Some(other), tolerance))) => (&estimates[other], tolerance),
                    (None, _) => (&estimates[place], self.piece.tolerances.match_sample_de00),
                };
                let outcome = judged.outcomes[place].clone();
                let (row, _) = row(self.piece, part, &judged.steps[place], outcome, against, tolerance_de00);
                PartSchedule { part: part.id, row }
            })
            .collect();
        let mut route = Route {
            name: naming::name(self, judged, &estimates),
            why: String::new(),
            schedules,
            worst_pair,
            chance_all_within: judged.chance_all_within,
            hours: judged.hours,
            wait_hours: judged.wait_hours,
            irreversible_steps: judged.irreversible.clone(),
        };
        route.why = naming::why(&route);
        route
    }

    /// The part's colour left natural.
    pub(super) fn natural_mean(&self, place: usize) -> Lab {
        self.means[place][0]
    }

    /// Places of the parts of each group.
    pub(super) fn groups(&self) -> &[Vec<usize>] {
        &self.groups
    }
}

/// Pairs in sight, and each part against the match sample. A piece whose joints are not given is judged as if every part
/// met every other in another plane.
fn pairs(piece: &Piece, parts: &[(&Part, Start)], target: Option<&Target>) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for a in 0..parts.len() {
        for b in a + 1..parts.len() {
            let (id_a, id_b): (PartId, PartId) = (parts[a].0.id, parts[b].0.id);
            let meeting = piece.meeting(id_a, id_b).or(piece.joints.is_empty().then_some(Meeting::OtherPlanes));
            let tolerance = meeting.map(|meeting| piece.tolerances.of(id_a, id_b, meeting).max(0.1));
            pairs.extend(tolerance.map(|tolerance_de00| Pair { a, b: Some(b), tolerance_de00 }));
        }
    }
    if let Some(target) = target {
        let tolerance_de00 = piece.tolerances.match_sample_de00.max(0.1);
        let others = (0..parts.len()).filter(|place| target.part != Some(parts[*place].0.id));
        pairs.extend(others.map(|a| Pair { a, b: None, tolerance_de00 }));
    }
    pairs
}

/// Which groups to change: every choice while there are few; else none, one, two, all but one, all.
fn choices_of_groups(count: usize) -> Vec<Vec<bool>> {
    let of = |wanted: &dyn Fn(usize) -> bool| (0..count).map(wanted).collect::<Vec<bool>>();
    if count <= MOST_GROUPS {
        return (0..1usize << count).map(|bits| of(&|group| bits >> group & 1 == 1)).collect();
    }
    let mut choices = vec![of(&|_| false), of(&|_| true)];
    for one in 0..count {
        choices.push(of(&|group| group == one));
        choices.push(of(&|group| group != one));
        choices.extend((one + 1..count).map(|two| of(&|group| group == one || group == two)));
    }
    choices
}
