//! How far apart two colours are, from their joint draws.

use colour::{Difference, Lab, difference, metric_root};
use nalgebra::{Matrix3, Vector3};

use crate::{Interval, draws::vector, estimate::quantile, look::covariance};

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
    let mut sizes: Vec<f64> = each.iter().map(|one| one.de00).collect();
    sizes.sort_by(f64::total_cmp);
    let within = sizes.iter().filter(|size| **size <= tolerance_de00).count();
    let root =
        metric_root(Lab::new((first.l + second.l) / 2.0, (first.a + second.a) / 2.0, (first.b + second.b) / 2.0));
    let spread = covariance(first_draws.iter().zip(second_draws).map(|(a, b)| root * (vector(*b) - vector(*a))));
    let de00 = interval(best.de00, root * (vector(second) - vector(first)), &spread, &sizes);
    Judgement {
        difference: best,
        de00,
        dl: part(best.dl, |one| one.dl),
        dc: part(best.dc, |one| one.dc),
        dh: part(best.dh, |one| one.dh),
        chance_within: within as f64 / sizes.len().max(1) as f64,
    }
}

/// 90 % interval of ΔE2000.
///
/// ΔE is a norm, so an equal-tailed interval of its draws never covers a true zero. The squared distance d of the two
/// best estimates, in the metric whitened by its covariance, is non-central χ² with three degrees of freedom; its test
/// is inverted for the true distance. Where that reaches zero: from zero to the one-sided bound of the draws.
fn interval(de00: f64, d: Vector3<f64>, spread: &Matrix3<f64>, sorted_draws: &[f64]) -> Interval {
    let one_sided = Interval { mean: de00, low: 0.0, high: quantile(sorted_draws, 0.95).max(de00) };
    let Some(factor) = (spread + Matrix3::identity() * 1e-9).cholesky() else { return one_sided };
    let seen = d.dot(&factor.solve(&d)).max(0.0).sqrt();
    if seen <= 1e-9 || distance_cdf(seen, 0.0) < 0.95 {
        return one_sided;
    }
    let solve = |share: f64| {
        let (mut low, mut high) = (0.0, seen + 10.0);
        for _ in 0..80 {
            let middle = (low + high) / 2.0;
            if distance_cdf(seen, middle) > share { low = middle } else { high = middle }
        }
        (low + high) / 2.0
    };
    // Along the direction seen, distances in both metrics are in proportion.
    let (low, high) = (solve(0.95) / seen, solve(0.05) / seen);
    Interval { mean: de00, low: de00 * low, high: de00 * high }
}

/// Distribution of the length of a unit normal vector in three dimensions about a mean of length `s`, at `t`.
///
/// # Source
/// The non-central χ² distribution with three degrees of freedom in closed form, from its density
/// (t/s)·(φ(t − s) − φ(t + s)); Johnson, Kotz, Balakrishnan (1995), Continuous Univariate Distributions 2, ch. 29.
fn distance_cdf(t: f64, s: f64) -> f64 {
    let phi = |x: f64| (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt();
    if s < 1e-6 {
        return 2.0 * normal_cdf(t) - 1.0 - 2.0 * t * phi(t);
    }
    normal_cdf(t - s) + normal_cdf(t + s) - 1.0 - (phi(t - s) - phi(t + s)) / s
}

/// Distribution of the standard normal.
///
/// # Source
/// Marsaglia (2004), Evaluating the normal distribution, J. Stat. Software 11(4): its series about zero.
fn normal_cdf(x: f64) -> f64 {
    if x.abs() > 8.0 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut last, mut term, mut odd) = (x, 0.0, x, 1.0);
    while sum != last {
        last = sum;
        odd += 2.0;
        term *= x * x / odd;
        sum += term;
    }
    0.5 + sum * (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// χ² with three degrees of freedom: 0.95 at 7.815, 0.99 at 11.345 (Abramowitz and Stegun 1964, table 26.8).
    #[test]
    fn central_distances_of_the_table() {
        for (chi2, share) in [(7.815f64, 0.95), (11.345, 0.99), (2.366, 0.5)] {
            assert!((distance_cdf(chi2.sqrt(), 0.0) - share).abs() < 2e-4);
            assert!((distance_cdf(chi2.sqrt(), 1e-5) - share).abs() < 2e-3);
        }
    }

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
