//! How far apart two colours are, from their joint draws.

use colour::{
    Difference, Lab,
    bulk::{Planes, de2000_of_pairs},
    de2000, difference,
};

use crate::{Interval, estimate::quantile};

/// Everything said of one difference.
#[derive(Clone, Debug)]
pub(crate) struct Judgement {
    pub(crate) difference: Difference,
    pub(crate) de00: Interval,
    pub(crate) dl: Interval,
    pub(crate) dc: Interval,
    pub(crate) dh: Interval,
    pub(crate) chance_within: f64,
}

/// How near one colour is to another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Nearness {
    pub(crate) de00: Interval,
    pub(crate) chance_within: f64,
    /// Mean ΔE2000 over the joint draws.
    pub(crate) expected: f64,
}

/// How near `second` is to `first`: best estimates and joint draws of each.
pub(crate) fn nearness(first: (Lab, &[Lab]), second: (Lab, &[Lab]), tolerance_de00: f64) -> Nearness {
    let sizes = de2000_of_pairs(&Planes::of_lab(first.1), &Planes::of_lab(second.1));
    let count = sizes.len().max(1) as f64;
    let within = sizes.iter().filter(|size| **size <= tolerance_de00).count();
    Nearness {
        de00: interval(de2000(first.0, second.0), first.1, second.1, &sizes),
        chance_within: within as f64 / count,
        expected: sizes.iter().sum::<f64>() / count,
    }
}

/// Judges `second` against `first`: best estimates and joint draws of each.
pub(crate) fn judge(
    first: Lab,
    second: Lab,
    first_draws: &[Lab],
    second_draws: &[Lab],
    tolerance_de00: f64,
) -> Judgement {
    let best = difference(first, second);
    let each: Vec<Difference> = first_draws.iter().zip(second_draws).map(|(a, b)| difference(*a, *b)).collect();
    let part = |mean: f64, value: fn(&Difference) -> f64| {
        let mut values: Vec<f64> = each.iter().map(value).collect();
        values.sort_by(f64::total_cmp);
        Interval { mean, low: quantile(&values, 0.05), high: quantile(&values, 0.95) }
    };
    let Nearness { de00, chance_within, .. } = nearness((first, first_draws), (second, second_draws), tolerance_de00);
    Judgement {
        difference: best,
        de00,
        dl: part(best.dl, |one| one.dl),
        dc: part(best.dc, |one| one.dc),
        dh: part(best.dh, |one| one.dh),
        chance_within,
    }
}

/// 90 % interval of ΔE2000 about the difference of the best estimates; from none to the largest draw where it cannot be
/// had.
fn interval(best: f64, first: &[Lab], second: &[Lab], sizes: &[f64]) -> Interval {
    match colour::interval::from_draws(first, second) {
        Ok(found) => Interval { mean: best, low: found.low.min(best), high: found.high.max(best) },
        Err(_) => Interval { mean: best, low: 0.0, high: sizes.iter().copied().fold(best, f64::max) },
    }
}

/// Two colours in sight of each other, by their joint draws, and the ΔE2000 tolerated between them.
pub(crate) type Side<'a> = (&'a [Lab], &'a [Lab], f64);

/// How far apart the worst of several pairs is, as a share of what is tolerated; None where there is no pair.
///
/// The worst of each joint draw is taken, whichever pair that is. The best single value is the median of these, so it is
/// above 1 exactly where the odds that all are within are less than even; the upper end leaves out a twentieth of the draws.
/// The worst pair is at least as far apart as any surely is: the lower end is the greatest of theirs. Where each may be none
/// it is 0, and the upper end the one-sided 90 % bound.
pub(crate) fn worst_of(pairs: &[Side<'_>]) -> Option<Interval> {
    let mut worst: Vec<f64> = Vec::new();
    let mut low = 0.0f64;
    for (first, second, tolerance_de00) in pairs {
        let sizes = de2000_of_pairs(&Planes::of_lab(first), &Planes::of_lab(second));
        worst.resize(sizes.len(), 0.0);
        worst.iter_mut().zip(&sizes).for_each(|(worst, size)| *worst = worst.max(size / tolerance_de00));
        low = colour::interval::from_draws(first, second).map_or(low, |found| low.max(found.low / tolerance_de00));
    }
    if worst.is_empty() {
        return None;
    }
    worst.sort_by(f64::total_cmp);
    let mean = quantile(&worst, 0.5);
    let high = quantile(&worst, if low > 0.0 { 0.95 } else { 0.9 });
    Some(Interval { mean, low: low.min(mean), high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_of_equal_colours_starts_at_zero() {
        let source = crate::draws::Source::named("test");
        let here = Lab::new(50.0, 8.0, 20.0);
        let around = |first: u32| -> Vec<Lab> {
            (0..512).map(|draw| crate::draws::moved(here, source.normal3(draw, first))).collect()
        };
        let judged = judge(here, here, &around(0), &around(3), 1.0);
        assert_eq!(judged.de00.low, 0.0);
        assert!(judged.de00.high > 1.0);
        let far = Lab::new(60.0, 8.0, 20.0);
        let moved: Vec<Lab> = around(3).iter().map(|lab| Lab::new(lab.l + 10.0, lab.a, lab.b)).collect();
        let judged = judge(here, far, &around(0), &moved, 1.0);
        assert!(judged.de00.low > 5.0 && judged.de00.low < judged.de00.mean && judged.de00.mean < judged.de00.high);
    }

    /// Three parts, read with an error that all share and one of their own, again and again (1,000 times each case, by the
    /// draws' own sequence): the interval of the worst of their pairs holds the true worst as often as it says, 90 % with a
    /// standard error of 0.95 %, wherever the parts are alike, one is off, or all are; and where one is far off not much oftener.
    #[test]
    fn the_worst_of_several_pairs_is_held_as_often_as_is_said() {
        use nalgebra::Vector3;
        const CASES: usize = 1000;
        let here = Lab::new(50.0, 10.0, 22.0);
        let (errors, draws) = (crate::draws::Source::named("readings"), crate::draws::Source::named("draws"));
        for apart in [[0.0, 0.0], [0.5, 0.0], [1.5, 1.5], [3.0, -1.0], [10.0, 0.5]] {
            let truth = [0.0, apart[0], apart[1]].map(|by| crate::draws::moved(here, Vector3::new(by, 0.3 * by, 0.0)));
            let pairs = [(0, 1, 2.0), (1, 2, 2.0), (0, 2, 3.0)];
            let worst =
                pairs.map(|(a, b, tolerance)| de2000(truth[a], truth[b]) / tolerance).into_iter().fold(0.0, f64::max);
            let mut held = 0;
            for case in 0..CASES {
                let read = |part: u32| {
                    crate::draws::moved(
                        truth[part as usize],
                        0.7 * errors.normal3(case, 3 * part) + errors.normal3(case, 9),
                    )
                };
                let of = |part: u32| -> Vec<Lab> {
                    let shared = |draw| draws.normal3(draw, 9);
                    let each =
                        |draw| crate::draws::moved(read(part), 0.7 * draws.normal3(draw, 3 * part) + shared(draw));
                    (0..crate::draws::COUNT).map(each).collect()
                };
                let colours = [of(0), of(1), of(2)];
                let sides = pairs.map(|(a, b, tolerance)| (colours[a].as_slice(), colours[b].as_slice(), tolerance));
                let Interval { low, high, .. } = worst_of(&sides).unwrap();
                held += usize::from((low..=high).contains(&worst));
            }
            let share = held as f64 / CASES as f64;
            assert!(share > 0.87, "{apart:?}: {share}");
            assert!(apart[0] < 10.0 || share < 0.96, "{apart:?}: {share}");
        }
    }
}
