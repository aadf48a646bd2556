//! The exact bottleneck search: one choice per group of parts, so that the worst pair is least.

/// What is searched: for each pair of parts in sight a table of how far their choices are apart, as a share of what is
/// tolerated; and for each group what each choice costs.
#[derive(Clone, Debug, Default)]
pub(crate) struct Problem {
    /// Worst ratio inside one group (its parts among themselves, and against the match sample): `alone[group][choice]`.
    pub(crate) alone: Vec<Vec<f64>>,
    /// Worst ratio between two groups, `between[a][b][choice_a][choice_b]` for a < b; empty where they do not meet.
    pub(crate) between: Vec<Vec<Vec<Vec<f64>>>>,
    /// What a choice costs.
    pub(crate) cost: Vec<Vec<f64>>,
}

/// A choice for each group.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    pub(crate) choices: Vec<usize>,
    /// Worst ratio.
    pub(crate) worst: f64,
    pub(crate) cost: f64,
}

impl Problem {
    /// The plan with the least worst ratio among the allowed choices of each group; of equals the cheapest, then the
    /// first. None where a group has no choice.
    pub(crate) fn least_worst(&self, allowed: &[Vec<usize>]) -> Option<Plan> {
        Search::new(self, allowed, f64::INFINITY, false).run()
    }

    /// The cheapest plan whose worst ratio is at most `limit`; of equals the one with the least worst ratio.
    pub(crate) fn cheapest_within(&self, allowed: &[Vec<usize>], limit: f64) -> Option<Plan> {
        Search::new(self, allowed, limit, true).run()
    }

    fn worst_with(&self, chosen: &[usize], group: usize, choice: usize) -> f64 {
        let mut worst = self.alone[group][choice];
        for (other, other_choice) in chosen.iter().enumerate() {
            let table = &self.between[other][group];
            if !table.is_empty() {
                worst = worst.max(table[*other_choice][choice]);
            }
        }
        worst
    }
}

/// One search, depth first. What is chosen so far and the least the groups to come must add bound worst and cost from
/// below, so a branch that cannot beat the best is cut.
struct Search<'a> {
    problem: &'a Problem,
    allowed: &'a [Vec<usize>],
    limit: f64,
    by_cost: bool,
    /// Least cost and least worst of the groups from each on.
    rest: Vec<(f64, f64)>,
    chosen: Vec<usize>,
    best: Option<Plan>,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, allowed: &'a [Vec<usize>], limit: f64, by_cost: bool) -> Self {
        let mut rest = vec![(0.0, 0.0f64)];
        for (group, choices) in allowed.iter().enumerate().rev() {
            let least = |table: &[f64]| choices.iter().map(|one| table[*one]).fold(f64::INFINITY, f64::min);
            let (cost, worst) = rest[rest.len() - 1];
            rest.push((cost + least(&problem.cost[group]), worst.max(least(&problem.alone[group]))));
        }
        rest.reverse();
        Self { problem, allowed, limit, by_cost, rest, chosen: Vec::new(), best: None }
    }

    fn run(mut self) -> Option<Plan> {
        self.descend(0.0, 0.0);
        self.best
    }

    fn key(&self, worst: f64, cost: f64) -> (f64, f64) {
        if self.by_cost { (cost, worst) } else { (worst, cost) }
    }

    fn descend(&mut self, worst: f64, cost: f64) {
        let group = self.chosen.len();
        if group == self.allowed.len() {
            let better = self.best.as_ref().is_none_or(|best| self.key(worst, cost) < self.key(best.worst, best.cost));
            if better {
                self.best = Some(Plan { choices: self.chosen.clone(), worst, cost });
            }
            return;
        }
        let mut next: Vec<(f64, f64, usize)> = self.allowed[group]
            .iter()
            .map(|choice| {
                let with = self.problem.worst_with(&self.chosen, group, *choice).max(worst);
                (with, cost + self.problem.cost[group][*choice], *choice)
            })
            .collect();
        let order = |one: &(f64, f64, usize)| self.key(one.0, one.1);
        next.sort_by(|a, b| {
            let (a_key, b_key) = (order(a), order(b));
            a_key.0.total_cmp(&b_key.0).then(a_key.1.total_cmp(&b_key.1)).then(a.2.cmp(&b.2))
        });
        let (rest_cost, rest_worst) = self.rest[group + 1];
        for (worst, cost, choice) in next {
            let bound = self.key(worst.max(rest_worst), cost + rest_cost);
            let cut = self.best.as_ref().is_some_and(|best| {
                // A hair of slack: sums of costs in another order round differently.
                bound.0 > self.key(best.worst, best.cost).0 + 1e-9
            });
            if worst.max(rest_worst) > self.limit || cut {
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

    fn brute_force(problem: &Problem, by_cost: bool, limit: f64) -> Option<(f64, f64)> {
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
            let alone = counts.iter().map(|count| (0..*count).map(|_| next() / 4.0).collect()).collect();
            let cost = counts.iter().map(|count| (0..*count).map(|_| next()).collect()).collect();
            let mut between = vec![vec![Vec::new(); groups]; groups];
            for a in 0..groups {
                for b in a + 1..groups {
                    if meets[a * 4 + b] {
                        between[a][b] = (0..counts[a]).map(|_| (0..counts[b]).map(|_| next()).collect()).collect();
                    }
                }
            }
            let problem = Problem { alone, between, cost };
            let all: Vec<Vec<usize>> = counts.iter().map(|count| (0..*count).collect()).collect();
            let found = problem.least_worst(&all).unwrap();
            prop_assert_eq!(Some((found.worst, found.cost)), brute_force(&problem, false, f64::INFINITY));
            let limit = found.worst + 5.0;
            let found = problem.cheapest_within(&all, limit).map(|plan| (plan.worst, plan.cost));
            prop_assert_eq!(found, brute_force(&problem, true, limit));
        }
    }
}
