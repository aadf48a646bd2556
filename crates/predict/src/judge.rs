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
}
