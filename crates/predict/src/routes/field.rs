//! What routes are searched on: groups of alike parts, their schedules, the pairs in sight, and what each schedule gives.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, OnceLock, PoisonError},
};

use colour::{
    Lab,
    bulk::{Planes, de2000_of_pairs},
};
use nalgebra::Vector3;
use piece::{Part, PartId, Piece, Step};
use rayon::prelude::*;

use super::{
    pairs::{Pair, pairs},
    plans::Choices,
};
use crate::{
    Barred, Error, EvidenceKind, GoOn, NotCompared, Result,
    anchor::Anchors,
    chain::Chains,
    draws::{geometric_median, moved, vector},
    grouping::groups,
    lessons::{Key, Lessons},
    look::Look,
    outcome::{Outcome, Start, outcome},
    schedule::{Reach, offered},
    target::{Target, judged_look, match_target},
};

/// Everything a route is made from. What a schedule gives is worked out where it is first asked for, and kept.
pub(crate) struct Field<'a> {
    pub(crate) piece: &'a Piece,
    pub(crate) lessons: &'a Lessons,
    pub(crate) look: Look,
    anchors: Anchors,
    /// Parts that have a reading, in the order of the piece.
    pub(crate) parts: Vec<(&'a Part, Start)>,
    pub(crate) target: Option<Target>,
    pub(crate) target_mean: Option<Lab>,
    /// Places of the parts of each group.
    pub(crate) groups: Vec<Vec<usize>>,
    group_of: Vec<usize>,
    /// Schedules of each group; the first is 'leave natural'.
    pub(crate) schedules: Vec<Vec<Vec<Step>>>,
    pub(crate) pairs: Vec<Pair>,
    pub(crate) barred: Vec<Barred>,
    /// Parts without a reading.
    pub(crate) left_out: Vec<NotCompared>,
    given: Vec<Vec<OnceLock<Outcome>>>,
    means: Vec<Vec<OnceLock<Lab>>>,
    /// What schedules give each part in the first few draws, where they are too many to work out all of them.
    glimpses: Option<Vec<Chains<'a>>>,
    chains: Vec<Chains<'a>>,
    ratios: Mutex<Ratios>,
}

/// Ratios of a pair, draw by draw, by its place among the pairs and the choices of its parts.
type Ratios = HashMap<(usize, usize, usize), Arc<Vec<f64>>>;

/// Schedules, of all parts together, up to which each is worked out in every draw before plans are looked for.
const WORKED_OUT: usize = 400;
/// Draws of a glimpse.
const GLIMPSE: usize = 16;

/// What the schedules of a field may rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rest {
    /// Trials of this piece; published figures only where there is none.
    OnTrials,
    /// Trials, but for at most one step of each schedule, at any strength of the grid: what trials to come would stand
    /// behind.
    OnTrialsButOne,
}

impl<'a> Field<'a> {
    /// The field of a piece with what was learned of it.
    pub(crate) fn new(piece: &'a Piece, lessons: &'a Lessons, rest: Rest, go_on: GoOn<'_>) -> Result<Self> {
        if piece.parts.is_empty() {
            return Err(Error::NoParts);
        }
        let look = judged_look(piece);
        let target = match_target(piece, lessons, look)?;
        let (mut parts, mut left_out) = (Vec::new(), Vec::new());
        for part in piece.parts.iter().map(AsRef::as_ref) {
            match Start::of(piece, lessons, part, look) {
                Some(start) => parts.push((part, start)),
                None => left_out.push(NotCompared {
                    parts: vec![part.id],
                    reason: format!("no reading of {}, so no route can be judged there; read the colour", part.name),
                }),
            }
        }
        if parts.is_empty() {
            return Err(Error::NoReading("any part".to_owned()));
        }
        if !go_on(0.1) {
            return Err(Error::Cancelled);
        }
        let natural: Vec<(&Part, Lab)> =
            parts.iter().map(|(part, start)| (*part, geometric_median(start.natural()))).collect();
        let groups = groups(&natural, target.as_ref().and_then(|target| target.part));
        let (schedules, barred) = schedules(piece, lessons, rest, &parts, &groups);
        let mut group_of = vec![0; parts.len()];
        for (group, places) in groups.iter().enumerate() {
            places.iter().for_each(|place| group_of[*place] = group);
        }
        let count: usize = group_of.iter().map(|group| schedules[*group].len()).sum();
        let glimpses = (count > WORKED_OUT)
            .then(|| parts.iter().map(|(part, start)| start.glimpse(lessons, part, GLIMPSE)).collect());
        let chains = parts.iter().map(|(part, start)| start.chains(lessons, part)).collect();
        let (given, means) = (empty(&group_of, &schedules), empty(&group_of, &schedules));
        Ok(Self {
            anchors: Anchors::of(piece, lessons, look),
            target_mean: target.as_ref().map(|target| geometric_median(&target.draws)),
            pairs: pairs(piece, &parts, target.as_ref()),
            ratios: Mutex::default(),
            piece,
            lessons,
            look,
            parts,
            target,
            groups,
            group_of,
            schedules,
            barred,
            left_out,
            given,
            means,
            glimpses,
            chains,
        })
    }

    /// The group of the part at this place.
    pub(crate) fn group_of(&self, place: usize) -> usize {
        self.group_of[place]
    }

    /// The schedule of the part at this place, by its choice.
    pub(crate) fn steps(&self, place: usize, choice: usize) -> &[Step] {
        &self.schedules[self.group_of[place]][choice]
    }

    /// The choices that give each part, by place, these steps; None where they are not among its schedules.
    pub(crate) fn choices(&self, steps: &[Vec<Step>]) -> Option<Choices> {
        let choice = |(place, steps): (usize, &Vec<Step>)| {
            self.schedules[self.group_of[place]].iter().position(|one| one == steps)
        };
        steps.iter().enumerate().map(choice).collect()
    }

    /// What the schedule of this choice gives the part at this place.
    pub(crate) fn outcome(&self, place: usize, choice: usize) -> &Outcome {
        self.given[place][choice].get_or_init(|| {
            let (part, start) = &self.parts[place];
            outcome(&self.chains[place], &self.anchors, part, start, self.steps(place, choice), self.look)
        })
    }

    /// The middle of what it gives: of all draws, or by a glimpse where schedules are many.
    pub(crate) fn mean(&self, place: usize, choice: usize) -> Lab {
        *self.means[place][choice].get_or_init(|| {
            let (_, start) = &self.parts[place];
            match &self.glimpses {
                _ if choice == 0 => geometric_median(start.natural()),
                None => geometric_median(&self.outcome(place, choice).draws),
                Some(glimpses) => {
                    let colours = glimpses[place].seen(self.steps(place, choice), self.look);
                    let count = colours.len().max(1) as f64;
                    let sum: Vector3<f64> = colours.iter().map(|lab| vector(*lab)).sum();
                    moved(Lab::new(0.0, 0.0, 0.0), sum / count)
                }
            }
        })
    }

    /// Works out the middle of every schedule of every part, on all cores.
    pub(crate) fn work_out(&self, go_on: GoOn<'_>) -> Result<()> {
        for place in 0..self.parts.len() {
            (0..self.means[place].len()).into_par_iter().with_min_len(8).for_each(|choice| {
                self.mean(place, choice);
            });
            if !go_on(0.1 + 0.6 * (place + 1) as f64 / self.parts.len() as f64) {
                return Err(Error::Cancelled);
            }
        }
        Ok(())
    }

    /// How far apart the pair at this place among the pairs is in every joint draw, as a share of what is tolerated.
    pub(crate) fn ratios(&self, pair: usize, choice_a: usize, choice_b: usize) -> Arc<Vec<f64>> {
        let key = (pair, choice_a, choice_b);
        let kept = || self.ratios.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept().get(&key) {
            return Arc::clone(found);
        }
        let Pair { a, b, tolerance_de00 } = self.pairs[pair];
        let a = &self.outcome(a, choice_a).draws;
        let b = match (b, &self.target) {
            (Some(b), _) => &self.outcome(b, choice_b).draws,
            (None, Some(target)) => &target.draws,
            (None, None) => a,
        };
        let ratios: Arc<Vec<f64>> = Arc::new(
            de2000_of_pairs(&Planes::of_lab(a), &Planes::of_lab(b))
                .into_iter()
                .map(|de00| de00 / tolerance_de00)
                .collect(),
        );
        kept().insert(key, Arc::clone(&ratios));
        ratios
    }

    /// Whether a plan changes the part that is the match sample.
    pub(crate) fn leaves_match(&self, changed: &[usize]) -> bool {
        let id = self.target.as_ref().and_then(|target| target.part);
        id.is_some() && changed.iter().any(|place| Some(self.parts[*place].0.id) == id)
    }
}

/// The schedules of each group, and what may not be done to each part.
fn schedules(
    piece: &Piece,
    lessons: &Lessons,
    rest: Rest,
    parts: &[(&Part, Start)],
    groups: &[Vec<usize>],
) -> (Vec<Vec<Vec<Step>>>, Vec<Barred>) {
    let any_tested = lessons.effects.values().any(|lesson| lesson.kind != EvidenceKind::PublishedOnly);
    let supported = |steps: &Vec<Step>| {
        let effects = steps.iter().filter_map(Key::of).filter_map(|(key, _)| lessons.effects.get(&key));
        let untested = effects.filter(|lesson| lesson.kind == EvidenceKind::PublishedOnly).count();
        match rest {
            Rest::OnTrials => untested == 0 || !any_tested,
            Rest::OnTrialsButOne => untested <= 1,
        }
    };
    let reach = if rest == Rest::OnTrials { Reach::NearTried } else { Reach::WholeGrid };
    let (mut schedules, mut barred) = (Vec::new(), Vec::new());
    for group in groups {
        let offered = offered(piece, parts[group[0]].0, lessons, reach);
        for place in group {
            let part: PartId = parts[*place].0.id;
            let of_part =
                offered.barred.iter().map(|(what, why)| Barred { part, what: what.clone(), why: why.clone() });
            barred.extend(of_part);
        }
        schedules.push(offered.schedules.into_iter().filter(supported).collect());
    }
    (schedules, barred)
}

/// A cell for each schedule of each part.
fn empty<T>(group_of: &[usize], schedules: &[Vec<Vec<Step>>]) -> Vec<Vec<OnceLock<T>>> {
    group_of.iter().map(|group| schedules[*group].iter().map(|_| OnceLock::new()).collect()).collect()
}
