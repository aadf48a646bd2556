//! A plan judged by joint draws: its odds, its worst pair, its work, and what all that counts for.

use super::{field::Field, plans::Choices};
use crate::{
    draws::COUNT,
    rank::{hours, wait_hours},
    trade::{self, Worth},
};

/// A plan judged.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Judged {
    /// A schedule for each part, by place.
    pub(crate) choices: Choices,
    /// Places of the parts it changes.
    pub(crate) changed: Vec<usize>,
    /// Share of the draws in which every pair is within tolerance.
    pub(crate) chance_all_within: f64,
    /// Mean over the draws of the worst ratio.
    pub(crate) expected_worst: f64,
    /// Mean over the draws of the share of a failed match that it counts for.
    pub(crate) expected_miss: f64,
    pub(crate) hours: f64,
    pub(crate) wait_hours: f64,
    pub(crate) litres: f64,
    /// What cannot be undone, part by part.
    pub(crate) irreversible: Vec<String>,
}

impl Field<'_> {
    /// Judges a plan by joint draws.
    pub(crate) fn judge(&self, choices: &Choices) -> Judged {
        let worst = self.worst_ratios(choices);
        let steps = |place: usize| self.steps(place, choices[place]);
        let works = || (0..choices.len()).map(|place| (self.parts[place].0, steps(place)));
        let irreversible = works().flat_map(|(part, steps)| {
            trade::irreversible(self.piece, steps).into_iter().map(move |what| format!("{}: {what}", part.name))
        });
        Judged {
            chance_all_within: worst.iter().filter(|worst| **worst <= 1.0).count() as f64 / COUNT as f64,
            expected_worst: worst.iter().sum::<f64>() / COUNT as f64,
            expected_miss: worst.iter().map(|worst| Worth::missed(*worst)).sum::<f64>() / COUNT as f64,
            hours: works().fold(0.0, |sum, (part, steps)| sum + hours(part, steps)),
            wait_hours: works().map(|(_, steps)| wait_hours(self.piece, steps)).fold(0.0, f64::max),
            litres: works().fold(0.0, |sum, (part, steps)| sum + trade::litres(self.piece, part, steps)),
            irreversible: irreversible.collect(),
            changed: (0..choices.len()).filter(|place| !steps(*place).is_empty()).collect(),
            choices: choices.clone(),
        }
    }

    /// The worst ratio of a plan, draw by draw.
    pub(crate) fn worst_ratios(&self, choices: &Choices) -> Vec<f64> {
        let mut worst = vec![0.0f64; COUNT];
        for (index, pair) in self.pairs.iter().enumerate() {
            let ratios = self.ratios(index, choices[pair.a], pair.b.map_or(0, |b| choices[b]));
            worst.iter_mut().zip(ratios.iter()).for_each(|(worst, ratio)| *worst = worst.max(*ratio));
        }
        worst
    }
}

impl Judged {
    /// Hours that the plan counts for whether it succeeds or not.
    pub(crate) fn sure_hours(&self, worth: &Worth) -> f64 {
        self.hours
            + worth.irreversible_hours * self.irreversible.len() as f64
            + worth.waiting_hours * self.wait_hours
            + worth.litre_hours * self.litres
    }

    /// Hours that the plan is expected to count for.
    pub(crate) fn expected_hours(&self, worth: &Worth) -> f64 {
        self.sure_hours(worth) + self.failing_hours(worth)
    }

    /// Hours of these for the chance that it fails.
    pub(crate) fn failing_hours(&self, worth: &Worth) -> f64 {
        worth.failed_match_hours * self.expected_miss
    }

    /// Least expected hours first.
    pub(crate) fn order(a: &Self, b: &Self) -> std::cmp::Ordering {
        let expected = |one: &Self| one.expected_hours(&Worth::DEFAULT);
        expected(a)
            .total_cmp(&expected(b))
            .then(a.expected_worst.total_cmp(&b.expected_worst))
            .then(a.irreversible.len().cmp(&b.irreversible.len()))
            .then(a.choices.cmp(&b.choices))
    }

    /// Whether this plan is as good in everything and better in something.
    pub(crate) fn beats(&self, other: &Self) -> bool {
        let of = |one: &Self| {
            let undone = one.irreversible.len() as f64;
            [-one.chance_all_within, one.expected_worst, one.hours, undone, one.wait_hours, one.litres]
        };
        let (ours, theirs) = (of(self), of(other));
        ours.iter().zip(theirs).all(|(ours, theirs)| *ours <= theirs) && ours != theirs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(chance_all_within: f64, expected_worst: f64, hours: f64) -> Judged {
        Judged {
            choices: vec![0],
            changed: vec![0],
            chance_all_within,
            expected_worst,
            expected_miss: 1.0,
            hours,
            wait_hours: 8.0,
            litres: 0.1,
            irreversible: Vec::new(),
        }
    }

    /// What is shown as having the best odds is not said to be beaten in everything by what has worse.
    #[test]
    fn a_plan_with_better_odds_is_not_beaten() {
        let (quick, surer) = (judged(0.01, 2.0, 1.0), judged(0.03, 2.1, 5.0));
        assert!(!quick.beats(&surer) && !surer.beats(&quick));
        assert!(judged(0.03, 2.0, 1.0).beats(&surer));
        assert!(!surer.beats(&surer));
    }
}
