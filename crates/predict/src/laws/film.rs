//! A film of finite thickness over a ground.

use super::number::Number;

/// Reflectance of a film with absorption `k`, scattering `s` > 0 (both per unit thickness) and thickness `x` over a
/// ground of reflectance `ground`. `k` may be negative: the formula is analytic there, and a film that would give out
/// more light than it gets counts as 1.
///
/// # Source
/// Kubelka (1948), JOSA 38:448–457, hyperbolic solution; for b² < 0, b·coth(bSX) = β·cot(βSX) with β² = −b².
pub(super) fn reflectance<N: Number>(ground: f64, k: N, s: f64, x: N) -> N {
    let ground = N::of(ground);
    let (one, sx) = (N::of(1.0), N::of(s) * x);
    if s <= 0.0 || sx.value() < 1e-12 {
        return ground * (-(N::of(2.0) * k * x)).exp();
    }
    let a = one + k / N::of(s);
    let b2 = a * a - one;
    // b²·(SX)² small: the series of z·coth z, the same on both sides of zero.
    let z2 = b2 * sx * sx;
    let b_coth = if z2.value().abs() < 1e-6 {
        (one + z2 / N::of(3.0)) / sx
    } else if z2.value() > 0.0 {
        let b = b2.sqrt();
        b / (b * sx).tanh()
    } else {
        let beta = (-b2).sqrt();
        if (beta * sx).value() >= std::f64::consts::PI {
            return one;
        }
        beta / (beta * sx).tan()
    };
    let below = a - ground + b_coth;
    if below.value() <= 0.0 { one } else { (one - ground * (a - b_coth)) / below }
}

#[cfg(test)]
mod tests {
    use super::reflectance;

    /// Kubelka (1948), JOSA 38:448–457 and (1954), JOSA 44:330–335, DOI 10.1364/JOSA.44.000330; rows computed from the
    /// formula there and checked against its coth form (see tests/data/km_finite_layer.csv of the project).
    #[test]
    fn published_film() {
        // K, S, X, Rg, R
        for [k, s, x, ground, expected] in [
            [0.1, 1.0, 0.5, 0.0, 0.3189916689],
            [0.1, 1.0, 0.5, 0.35, 0.4765764555],
            [0.1, 1.0, 0.5, 0.8, 0.7486054542],
            [0.1, 1.0, 1.0, 0.1, 0.4818197360],
        ] {
            let found = reflectance(ground, k, s, x);
            assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
        }
    }

    #[test]
    fn smooth_where_the_absorption_changes_sign() {
        for k in [-0.3, -0.1, -1e-4, 0.0, 1e-4, 0.1] {
            let step = reflectance(0.4, k + 1e-6, 0.2, 1.0) - reflectance(0.4, k, 0.2, 1.0);
            assert!(step < 0.0 && step > -2e-6, "{step} at {k}");
        }
    }
}
