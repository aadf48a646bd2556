//! The exact bottleneck search: one choice per group of parts, so that the worst pair is least.

use std::sync::OnceLock;

/// How far one choice of a group is from every choice of another: `(group_a, group_b, choice_a)` for group_a < group_b.
pub(crate) type Apart<'a> = &'a (dyn Fn(usize, usize, usize) -> Vec<f64> + Sync);

/// What is searched: for each pair of parts in sight how far their choices are apart, as a share of what is tolerated;
/// and for each group what each choice costs.
///
/// Differences between groups are asked for only where the search comes by, a row at a time, and kept.
pub(crate) struct Problem<'a> {
    /// Worst ratio inside one group (its parts among themselves, and against the match sample): `alone[group][choice]`.
    alone: Vec<Vec<f64>>,
    /// What a choice costs.
    cost: Vec<Vec<f64>>,
    /// Rows of differences, `rows[a][b][choice_a]` for a < b; none where the groups do not meet.
    rows: Vec<Vec<Vec<OnceLock<Vec<f64>>>>>,
    apart: Apart<'a>,
}

/// Costs and ratios nearer to each other than this are equal.
const SLACK: f64 = 1e-9;

/// A choice for each group.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    pub(crate) choices: Vec<usize>,
    /// Worst ratio.
    pub(crate) worst: f64,
    pub(crate) cost: f64,
}

impl<'a> Problem<'a> {
    /// A problem from what each choice is alone and costs; `meet` lists the groups that meet, the lower one first.
    pub(crate) fn new(alone: Vec<Vec<f64>>, cost: Vec<Vec<f64>>, meet: &[(usize, usize)], apart: Apart<'a>) -> Self {
        let count = alone.len();
        let mut rows: Vec<Vec<Vec<OnceLock<Vec<f64>>>>> = (0..count).map(|_| vec![Vec::new(); count]).collect();
        for &(a, b) in meet {
            rows[a][b] = vec![OnceLock::new(); alone[a].len()];
        }
        Self { alone, cost, rows, apart }
    }

    /// The plans with the least worst ratio among the allowed choices of each group, at most so many, best first; of equals
    /// the cheaper first. None where a group has no choice.
    pub(crate) fn best_few(&self, allowed: &[Vec<usize>], most: usize) -> Vec<Plan> {
        Search::new(self, allowed, f64::INFINITY, false, most).run()
    }

    /// The cheapest plan whose worst ratio is at most `limit`; of equals the one with the least worst ratio.
    pub(crate) fn cheapest_within(&self, allowed: &[Vec<usize>], limit: f64) -> Option<Plan> {
        Search::new(self, allowed, limit, true, 1).run().pop()
    }

    /// Differences of one choice of a group to every choice of a later one; None where they do not meet.
    fn row(&self, a: usize, choice_a: usize, b: usize) -> Option<&[f64]> {
        let row = self.rows[a][b].get(choice_a)?;
        Some(row.get_or_init(|| (self.apart)(a, b, choice_a)))
    }

    fn worst_with(&self, chosen: &[usize], group: usize, choice: usize) -> f64 {
        let between = chosen.iter().enumerate().filter_map(|(other, one)| self.row(other, *one, group));
        between.map(|row| row[choice]).fold(self.alone[group][choice], f64::max)
    }
}

/// One search, depth first. What is chosen so far and the least the groups to come must add bound worst and cost from
/// below, so a branch that cannot beat the worst plan kept is cut.
struct Search<'a> {
    problem: &'a Problem<'a>,
    allowed: &'a [Vec<usize>],
    limit: f64,
    by_cost: bool,
    most: usize,
    /// Least cost and least worst of the groups from each on.
    rest: Vec<(f64, f64)>,
    chosen: Vec<usize>,
    /// Best first.
    kept: Vec<Plan>,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem<'a>, allowed: &'a [Vec<usize>], limit: f64, by_cost: bool, most: usize) -> Self {
        let mut rest = vec![(0.0, 0.0f64)];
        for (group, choices) in allowed.iter().enumerate().rev() {
            let least = |table: &[f64]| choices.iter().map(|one| table[*one]).fold(f64::INFINITY, f64::min);
            let (cost, worst) = rest[rest.len() - 1];
            rest.push((cost + least(&problem.cost[group]), worst.max(least(&problem.alone[group]))));
        }
        rest.reverse();
        Self { problem, allowed, limit, by_cost, most, rest, chosen: Vec::new(), kept: Vec::new() }
    }

    fn run(mut self) -> Vec<Plan> {
        self.descend(0.0, 0.0);
        self.kept
    }

    fn key(&self, worst: f64, cost: f64) -> (f64, f64) {
        if self.by_cost { (cost, worst) } else { (worst, cost) }
    }

    /// Keeps a plan where it is better than one that is kept, or where there is room.
    fn keep(&mut self, worst: f64, cost: f64) {
        let key = self.key(worst, cost);
        let place = self.kept.partition_point(|plan| self.key(plan.worst, plan.cost) <= key);
        if place < self.most {
            self.kept.insert(place, Plan { choices: self.chosen.clone(), worst, cost });
            self.kept.truncate(self.most);
        }
    }

    /// Whether no plan with this worst ratio and cost up to a group can be kept.
    fn is_hopeless(&self, group: usize, worst: f64, cost: f64) -> bool {
        let (rest_cost, rest_worst) = self.rest[group + 1];
        let worst = worst.max(rest_worst);
        let bound = self.key(worst, cost + rest_cost);
        // A hair of slack: sums of costs in another order round differently.
        let cut = self.kept.get(self.most - 1).is_some_and(|last| {
            let last = self.key(last.worst, last.cost);
            bound.0 > last.0 + SLACK || bound.0 >= last.0 && bound.1 > last.1 + SLACK
        });
        worst > self.limit || cut
    }

    fn descend(&mut self, worst: f64, cost: f64) {
        let group = self.chosen.len();
        let Some(choices) = self.allowed.get(group) else {
            self.keep(worst, cost);
            return;
        };
        let with = |choice: &usize| {
            let with = self.problem.worst_with(&self.chosen, group, *choice).max(worst);
            (with, cost + self.problem.cost[group][*choice], *choice)
        };
        let mut next: Vec<(f64, f64, usize)> =
            choices.iter().map(with).filter(|(worst, cost, _)| !self.is_hopeless(group, *worst, *cost)).collect();
        next.sort_by(|a, b| {
            let (a_key, b_key) = (self.key(a.0, a.1), self.key(b.0, b.1));
            a_key.0.total_cmp(&b_key.0).then(a_key.1.total_cmp(&b_key.1)).then(a.2.cmp(&b.2))
        });
        for (worst, cost, choice) in next {
            // More may have been found since.
            if self.is_hopeless(group, worst, cost) {
                continue;
            }
            self.chosen.push(choice);
            self.descend(worst, cost);
            self.chosen.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn brute_force(problem: &Problem<'_>, by_cost: bool, limit: f64) -> Option<(f64, f64)> {
        let mut plans = vec![Vec::new()];
        for count in problem.alone.iter().map(Vec::len) {
            plans =
                plans.iter().flat_map(|plan| (0..count).map(move |one| [plan.clone(), vec![one]].concat())).collect();
        }
        let value = |plan: &Vec<usize>| {
            let mut worst = 0.0f64;
            for group in 0..plan.len() {
                worst = worst.max(problem.worst_with(&plan[..group], group, plan[group]));
            }
            (worst, plan.iter().enumerate().map(|(group, choice)| problem.cost[group][*choice]).sum::<f64>())
        };
        let values = plans.iter().map(value).filter(|(worst, _)| *worst <= limit);
        values.min_by(|a, b| {
            if by_cost {
                a.1.total_cmp(&b.1).then(a.0.total_cmp(&b.0))
            } else {
                a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
            }
        })
    }

    proptest! {
        #[test]
        fn equals_brute_force(
            numbers in prop::collection::vec(0u8..40, 200),
            counts in prop::collection::vec(1usize..5, 1..5),
            meets in prop::collection::vec(any::<bool>(), 16),
        ) {
            let mut numbers = numbers.into_iter().cycle().map(f64::from);
            let mut next = || numbers.next().unwrap();
            let groups = counts.len();
            let alone: Vec<Vec<f64>> = counts.iter().map(|count| (0..*count).map(|_| next() / 4.0).collect()).collect();
            let cost: Vec<Vec<f64>> = counts.iter().map(|count| (0..*count).map(|_| next()).collect()).collect();
            let mut meet = Vec::new();
            for a in 0..groups {
                meet.extend((a + 1..groups).filter(|b| meets[a * 4 + b]).map(|b| (a, b)));
            }
            let table: Vec<f64> = (0..256).map(|_| next()).collect();
            let one = |a: usize, b: usize, i: usize, j: usize| table[(a * 67 + b * 29 + i * 13 + j * 5) % 256];
            let apart = |a: usize, b: usize, i: usize| (0..counts[b]).map(|j| one(a, b, i, j)).collect();
            let problem = Problem::new(alone, cost, &meet, &apart);
            let all: Vec<Vec<usize>> = counts.iter().map(|count| (0..*count).collect()).collect();
            let found = problem.best_few(&all, 1).pop().unwrap();
            prop_assert_eq!(Some((found.worst, found.cost)), brute_force(&problem, false, f64::INFINITY));
            let few = problem.best_few(&all, 3);
            prop_assert!(few.windows(2).all(|pair| (pair[0].worst, pair[0].cost) <= (pair[1].worst, pair[1].cost)));
            prop_assert_eq!(few.len(), counts.iter().product::<usize>().min(3));
            let limit = found.worst + 5.0;
            let found = problem.cheapest_within(&all, limit).map(|plan| (plan.worst, plan.cost));
            prop_assert_eq!(found, brute_force(&problem, true, limit));
        }
    }
}
