//! The plans worth judging: for every choice of which groups to change, those whose worst pair is least on means.

use super::{colours::Colours, field::Field};
use crate::{
    rank::hours,
    search::{Apart, Problem},
    trade::{self, Worth},
};

/// A choice of schedule for each part, by place.
pub(crate) type Choices = Vec<usize>;

/// A plan is not refined below this share of what is tolerated: the work would not be seen.
const GOOD_ENOUGH: f64 = 0.6;
/// Groups up to which every choice of groups to change is tried.
const MOST_GROUPS: usize = 6;
/// Plans judged for each choice of groups to change.
const FEW: usize = 6;
/// Where all plans are no more than this, every one of them is judged.
const ALL: usize = 600;

impl Field<'_> {
    /// Plans to judge: all of them while they are few; else for each choice of groups to change the few nearest to a match
    /// on means, and the cheapest about as good as the best.
    pub(crate) fn plans(&self) -> Vec<Choices> {
        let counts: Vec<usize> = self.schedules.iter().map(Vec::len).collect();
        let all = counts.iter().try_fold(1usize, |product, count| product.checked_mul(*count));
        if all.is_some_and(|all| all <= ALL) {
            return every(&counts).into_iter().map(|of_groups| self.spread(&of_groups)).collect();
        }
        let colours = Colours::on_means(self);
        let apart = |a, b, choice| colours.apart(a, b, choice);
        let problem = self.problem(&colours, &apart);
        let mut plans: Vec<Choices> = Vec::new();
        for changed in choices_of_groups(counts.len()) {
            let allowed: Vec<Vec<usize>> = (counts.iter().zip(&changed))
                .map(|(count, changed)| if *changed { (1..*count).collect() } else { vec![0] })
                .collect();
            let few = problem.best_few(&allowed, FEW);
            let Some(best) = few.first() else { continue };
            let limit = (best.worst * 1.1).max(GOOD_ENOUGH);
            for plan in problem.cheapest_within(&allowed, limit).iter().chain(&few) {
                let choices = self.spread(&plan.choices);
                if !plans.contains(&choices) {
                    plans.push(choices);
                }
            }
        }
        plans
    }

    /// The plan that would be best if this joint draw were the truth: the cheapest within tolerance; None where no plan is.
    pub(crate) fn best_in(&self, draw: usize) -> Option<Choices> {
        let colours = Colours::in_draw(self, draw);
        let apart = |a, b, choice| colours.apart(a, b, choice);
        let allowed: Vec<Vec<usize>> = self.schedules.iter().map(|schedules| (0..schedules.len()).collect()).collect();
        let plan = self.problem(&colours, &apart).cheapest_within(&allowed, 1.0)?;
        Some(self.spread(&plan.choices))
    }

    /// The bottleneck problem of some colours, and of how far the choices of two groups are apart in them.
    fn problem<'p>(&self, colours: &Colours<'_>, apart: Apart<'p>) -> Problem<'p> {
        let groups = 0..self.groups.len();
        let cost = |group: usize| (0..self.schedules[group].len()).map(|choice| self.cost(group, choice)).collect();
        let alone = groups.clone().map(|group| colours.alone(group)).collect();
        Problem::new(alone, groups.map(cost).collect(), &colours.meet(), apart)
    }

    /// What a choice of a group costs in hours, without waiting: parts dry side by side.
    fn cost(&self, group: usize, choice: usize) -> f64 {
        let steps = &self.schedules[group][choice];
        let undone = trade::irreversible(self.piece, steps).len() as f64;
        let of_part = |place: &usize| {
            let part = self.parts[*place].0;
            hours(part, steps)
                + Worth::DEFAULT.irreversible_hours * undone
                + Worth::DEFAULT.litre_hours * trade::litres(self.piece, part, steps)
        };
        self.groups[group].iter().map(of_part).sum()
    }

    /// Choices of groups as choices of parts.
    fn spread(&self, of_groups: &[usize]) -> Choices {
        (0..self.parts.len()).map(|place| of_groups[self.group_of(place)]).collect()
    }
}

/// Every combination of choices, the first group slowest.
fn every(counts: &[usize]) -> Vec<Vec<usize>> {
    counts.iter().fold(vec![Vec::new()], |plans, count| {
        plans.iter().flat_map(|plan| (0..*count).map(move |one| [plan.clone(), vec![one]].concat())).collect()
    })
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
