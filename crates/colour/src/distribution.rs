//! The few distributions that intervals need, in closed form.

use std::f64::consts::PI;

/// Density of the standard normal distribution.
pub fn normal_density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}

/// Probability that a standard normal number is at most `x`, to 1e-15 absolute.
///
/// # Source
/// Marsaglia (2004), DOI 10.18637/jss.v011.i04: Φ(x) = ½ + φ(x)(x + x³/3 + x⁵/(3·5) + …).
pub fn normal_cdf(x: f64) -> f64 {
    if x.is_nan() {
        return f64::NAN;
    }
    if x.abs() > 8.3 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut term, mut odd) = (x, x, 3.0);
    while term.abs() > 1e-17 * sum.abs() {
        term *= x * x / odd;
        sum += term;
        odd += 2.0;
    }
    0.5 + sum * normal_density(x)
}

/// The number a standard normal one stays below with probability `p` (0..1); infinite at the ends.
///
/// # Source
/// [`normal_cdf`], inverted by bisection to 1e-14.
pub fn normal_quantile(p: f64) -> f64 {
    match p {
        p if p.is_nan() => f64::NAN,
        p if p <= 0.0 => f64::NEG_INFINITY,
        p if p >= 1.0 => f64::INFINITY,
        _ => bisect(-8.3, 8.3, |x| normal_cdf(x) < p),
    }
}

/// Probability that three independent normal numbers of variance 1, whose means form a vector of length `mean`, form a
/// vector of length `length` or less: the non-central χ²₃ distribution of length², with non-centrality mean².
///
/// # Source
/// Johnson, Kotz, Balakrishnan (1995), Continuous Univariate Distributions 2, chapter 29 (odd degrees of freedom):
/// Φ(r − m) + Φ(r + m) − 1 − (φ(r − m) − φ(r + m))/m.
pub fn length_cdf(mean: f64, length: f64) -> f64 {
    let (m, r) = (mean, length);
    if r <= 0.0 {
        return 0.0;
    }
    if m.abs() < 1e-5 {
        return 2.0 * normal_cdf(r) - 1.0 - 2.0 * r * normal_density(r);
    }
    normal_cdf(r - m) + normal_cdf(r + m) - 1.0 - (normal_density(r - m) - normal_density(r + m)) / m
}

/// The `mean` for which [`length_cdf`] is `p`, or 0 when even a mean of 0 leaves less than that.
///
/// # Source
/// [`length_cdf`] falls with the mean; bisection to 1e-14 of the length.
pub fn mean_of_length(length: f64, p: f64) -> f64 {
    if length_cdf(0.0, length) <= p {
        return 0.0;
    }
    bisect(0.0, length + 9.0, |mean| length_cdf(mean, length) > p)
}

/// Where `below` turns from true to false.
fn bisect(mut low: f64, mut high: f64, below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1: norm.cdf.
    #[test]
    fn normal_agrees_with_the_library() {
        for (x, p) in NORMAL {
            assert!((normal_cdf(x) - p).abs() < 1e-15, "{x}");
            assert!((normal_quantile(p) - x).abs() < 1e-9, "{p}");
        }
        assert!(normal_cdf(f64::NAN).is_nan() && normal_quantile(f64::NAN).is_nan());
    }

    const NORMAL: [(f64, f64); 4] =
        [(-3.0, NORMAL_M3), (-0.7, NORMAL_M07), (1.0, NORMAL_1), (1.959963984540054, 0.975)];
    const NORMAL_M3: f64 = 0.0013498980316300933;
    const NORMAL_M07: f64 = 0.24196365222307303;
    const NORMAL_1: f64 = 0.8413447460685429;

    /// scipy 1.17.1: ncx2.cdf(x, 3, λ) (chi2.cdf at λ = 0).
    #[test]
    fn length_agrees_with_the_library() {
        for (x, lambda, p) in CHI {
            let found = length_cdf(f64::sqrt(lambda), f64::sqrt(x));
            assert!((found - p).abs() < 1e-10, "{x} {lambda}: {found} {p}");
        }
    }

    #[rustfmt::skip]
    const CHI: [(f64, f64, f64); 8] = [
        (7.814727903251179, 0.0, 0.9500000000000001),
        (6.251388631170325, 0.0, 0.8999999999999999),
        (1.0, 0.5, 0.16220059072318913),
        (4.0, 2.0, 0.48388135838807433),
        (9.0, 4.0, 0.720359840517157),
        (16.0, 25.0, 0.11026110902762838),
        (30.0, 20.0, 0.7887422303705065),
        (100.0, 81.0, 0.8144591100108596),
    ];

    /// The same distribution by another way: a Poisson mixture of central χ² (Patnaik 1949, DOI 10.1093/biomet/36.1-2.202),
    /// each by the recurrence of the incomplete gamma function.
    #[test]
    fn length_agrees_with_the_poisson_mixture() {
        let mixture = |x: f64, lambda: f64| {
            let half = lambda / 2.0;
            let mut weight = (-half).exp();
            // P(χ²₃ ≤ x), then P(χ²_{ν+2}) = P(χ²_ν) − 2·density of χ²_{ν+2} at x.
            let mut central = 2.0 * normal_cdf(x.sqrt()) - 1.0 - 2.0 * x.sqrt() * normal_density(x.sqrt());
            let mut step = 2.0 * x.sqrt() * normal_density(x.sqrt());
            let mut sum = 0.0;
            for j in 0..400 {
                sum += weight * central;
                weight *= half / f64::from(j + 1);
                step *= x / f64::from(2 * j + 3);
                central -= step;
            }
            sum
        };
        for x in [0.1, 1.0, 4.0, 9.0, 25.0] {
            for lambda in [1e-6, 0.3, 2.0, 10.0, 40.0] {
                let found = length_cdf(f64::sqrt(lambda), f64::sqrt(x));
                assert!((found - mixture(x, lambda)).abs() < 1e-9, "{x} {lambda}");
            }
        }
    }

    #[test]
    fn the_inverse_inverts() {
        for length in [0.5, 1.5, 2.9, 3.5, 8.0, 40.0] {
            for p in [0.05, 0.5, 0.95] {
                let mean = mean_of_length(length, p);
                if mean > 0.0 {
                    assert!((length_cdf(mean, length) - p).abs() < 1e-10);
                } else {
                    assert!(length_cdf(0.0, length) <= p);
                }
            }
        }
    }
}
