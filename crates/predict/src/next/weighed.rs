//! The plans as they would be weighed once a trial is read.

use std::collections::HashMap;

use colour::{Lab, metric};
use nalgebra::{Matrix3, Vector3};
use piece::Step;

use super::told::{Known, Told};
use crate::{
    draws::{COUNT, vector},
    lessons::Key,
    routes::{field::Field, judged::Judged},
    schedule::is_near,
    trade::Worth,
};

/// What a trial is supposed to give is taken from so many of the draws, evenly.
const SUPPOSED: usize = 32;
/// What stays uncertain then, from so many.
const LEFT: usize = 128;

/// The best plan after a trial that gave one thing.
#[derive(Clone, Copy, Debug)]
pub(super) struct After {
    pub(super) expected_hours: f64,
    pub(super) chance_all_within: f64,
    /// Place of the best plan among those weighed.
    pub(super) best: usize,
}

/// The best plan for each thing the trial may give, among those that rest on trials once these steps were tried.
pub(super) fn after(field: &Field<'_>, plans: &[Judged], tried: &[Step], told: &Told, worth: &Worth) -> Vec<After> {
    let mut known = Knowledge::new(field, told);
    let tried: Vec<Key> = tried.iter().filter_map(Key::of).map(|(key, _)| key).collect();
    // At whatever strength: what the laws do not know of other strengths stays uncertain, and a plan seldom needs one only.
    let like = |(key, _): &(Key, f64)| tried.contains(key);
    let rests = |plan: &Judged| untried(field, plan).iter().all(like);
    let supposed: Vec<(usize, f64, Vec<Supposed>)> = plans
        .iter()
        .enumerate()
        .filter(|(_, plan)| rests(plan))
        .map(|(at, plan)| (at, plan.sure_hours(worth), known.supposed(plan)))
        .collect();
    let best = |given: usize| {
        let of = |(at, sure, supposed): &(usize, f64, Vec<Supposed>)| {
            let Supposed { chance_all_within, expected_miss } = supposed[given];
            After { expected_hours: sure + worth.failed_match_hours * expected_miss, chance_all_within, best: *at }
        };
        supposed.iter().map(of).min_by(|a, b| a.expected_hours.total_cmp(&b.expected_hours))
    };
    (0..SUPPOSED).filter_map(best).collect()
}

/// The steps of a plan, with their strengths, that no trial at about that strength stands behind.
pub(super) fn untried(field: &Field<'_>, plan: &Judged) -> Vec<(Key, f64)> {
    let steps = plan.choices.iter().enumerate().flat_map(|(place, choice)| field.steps(place, *choice));
    let tried = |(key, strength): &(Key, f64)| {
        let lesson = field.lessons.effects.get(key);
        lesson.is_some_and(|lesson| !lesson.trials.is_empty() && is_near(lesson, *strength))
    };
    steps.filter_map(Key::of).filter(|used| !tried(used)).collect()
}

/// A plan after a trial that gave one thing.
#[derive(Clone, Copy, Debug)]
struct Supposed {
    chance_all_within: f64,
    expected_miss: f64,
}

/// What would be known of colours and pairs; each is worked out once.
struct Knowledge<'a> {
    field: &'a Field<'a>,
    told: &'a Told,
    /// By place of the part (none for the match sample) and choice.
    colours: HashMap<(Option<usize>, usize), Known>,
    /// By place among the pairs, and choices: squares of ratios, for each supposed trial those that are left.
    pairs: HashMap<(usize, usize, usize), Vec<f64>>,
}

impl<'a> Knowledge<'a> {
    fn new(field: &'a Field<'a>, told: &'a Told) -> Self {
        Self { field, told, colours: HashMap::new(), pairs: HashMap::new() }
    }

    /// A plan after each supposed trial.
    fn supposed(&mut self, plan: &Judged) -> Vec<Supposed> {
        let mut worst = vec![0.0f64; SUPPOSED * LEFT];
        for pair in 0..self.field.pairs.len() {
            let one = self.field.pairs[pair];
            let key = (pair, plan.choices[one.a], one.b.map_or(0, |b| plan.choices[b]));
            if !self.pairs.contains_key(&key) {
                let squares = self.squares(key);
                self.pairs.insert(key, squares);
            }
            if let Some(squares) = self.pairs.get(&key) {
                worst.iter_mut().zip(squares).for_each(|(worst, square)| *worst = worst.max(*square));
            }
        }
        let of = |left: &[f64]| Supposed {
            chance_all_within: left.iter().filter(|square| **square <= 1.0).count() as f64 / LEFT as f64,
            expected_miss: left.iter().map(|square| Worth::missed(square.sqrt())).sum::<f64>() / LEFT as f64,
        };
        worst.chunks(LEFT).map(of).collect()
    }

    /// Squares of the ratios of a pair to what is tolerated, to first order about what is expected.
    fn squares(&mut self, (pair, choice_a, choice_b): (usize, usize, usize)) -> Vec<f64> {
        let one = self.field.pairs[pair];
        let (a, b) = ((Some(one.a), choice_a), (one.b, choice_b));
        self.know(a);
        self.know(b);
        let (Some(a), Some(b)) = (self.colours.get(&a), self.colours.get(&b)) else { return Vec::new() };
        let mut squares = Vec::with_capacity(SUPPOSED * LEFT);
        for supposed in 0..SUPPOSED {
            let draw = supposed * (COUNT / SUPPOSED);
            let expected = a.expected[draw] - b.expected[draw];
            let middle = (a.expected[draw] + b.expected[draw]) / 2.0;
            let g: Matrix3<f64> = metric(Lab::new(middle.x, middle.y, middle.z)) / one.tolerance_de00.powi(2);
            squares.extend((0..LEFT).map(|left| {
                let draw = left * (COUNT / LEFT);
                let d = expected + a.left[draw] - b.left[draw];
                d.dot(&(g * d))
            }));
        }
        squares
    }

    fn know(&mut self, key: (Option<usize>, usize)) {
        let (field, told) = (self.field, self.told);
        self.colours.entry(key).or_insert_with(|| {
            let draws: Vec<Vector3<f64>> = match (key.0, &field.target) {
                (Some(place), _) => field.outcome(place, key.1).draws.iter().map(|lab| vector(*lab)).collect(),
                (None, Some(target)) => target.draws.iter().map(|lab| vector(*lab)).collect(),
                (None, None) => vec![Vector3::zeros(); COUNT],
            };
            told.of(&draws)
        });
    }
}
