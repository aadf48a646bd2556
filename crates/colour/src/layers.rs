//! Kubelka–Munk: absorption and scattering of a thick layer, and a finite film over something.
//!
//! Works on one band or channel at a time. Reflectances are 0..1 and inside the material: take the surface off with
//! [`saunderson`](crate::saunderson) first where there is one.

/// K/S of an infinitely thick layer with reflectance `r` (0..1): (1 − R)²/2R. Infinite at 0.
///
/// # Source
/// Kubelka, Munk (1931), Z. techn. Phys. 12:593–601; Kubelka (1948), DOI 10.1364/JOSA.38.000448.
pub fn ks_from_r(r: f64) -> f64 {
    (1.0 - r).powi(2) / (2.0 * r)
}

/// Reflectance of an infinitely thick layer with K/S = `ks`; the inverse of [`ks_from_r`]. A negative K/S, which no
/// material has, gives 1.
///
/// # Source
/// Kubelka, Munk (1931): R = 1 + q − √(q² + 2q), here as 1/(1 + q + √(q² + 2q)), which loses no digits when q is large.
pub fn r_from_ks(ks: f64) -> f64 {
    if ks < 0.0 {
        return 1.0;
    }
    1.0 / (1.0 + ks + (ks * (ks + 2.0)).sqrt())
}

/// A film that absorbs and scatters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// Absorption K per unit of thickness. Below zero it stands for what lightens.
    pub k: f64,
    /// Scattering S per unit of thickness, not negative.
    pub s: f64,
    /// Thickness X in the unit of K and S, not negative.
    pub thickness: f64,
}

impl Film {
    /// Reflectance of the film over a substrate of reflectance `substrate` (0..1).
    ///
    /// One analytic form for every K and S: cosh and sinh become cos and sin where K(K + 2S) < 0, and S → 0 gives
    /// Beer–Lambert twice through, R = R_g·exp(−2KX). Never NaN for finite arguments; where negative K amplifies without
    /// bound the result is infinite.
    ///
    /// # Source
    /// Kubelka (1948), DOI 10.1364/JOSA.38.000448: with m = K(K + 2S)X², c = cosh √m, s = sinh √m/√m,
    /// R = (R_g(c − (K + S)X s) + S X s)/(c + (K + S)X s − R_g S X s), which is (1 − R_g(a − b coth bSX))/(a − R_g + b coth bSX).
    pub fn over(&self, substrate: f64) -> f64 {
        let p = self.powers();
        let top = substrate * (p.c - p.sum * p.s) + p.sx * p.s;
        let bottom = p.c + (p.sum - substrate * p.sx) * p.s;
        if p.beyond || bottom <= 0.0 { f64::INFINITY } else { top / bottom }
    }

    /// Reflectance R₀ of the film alone, over perfect black.
    ///
    /// # Source
    /// As [`Film::over`], with R_g = 0.
    pub fn reflectance(&self) -> f64 {
        self.over(0.0)
    }

    /// Share T of light that passes the film once.
    ///
    /// # Source
    /// Kubelka (1948): T = b/(a sinh bSX + b cosh bSX).
    pub fn transmittance(&self) -> f64 {
        let p = self.powers();
        let bottom = p.c + p.sum * p.s;
        if p.beyond || bottom <= 0.0 { f64::INFINITY } else { p.scale / bottom }
    }

    fn powers(&self) -> Powers {
        let (kx, sx) = (self.k * self.thickness, self.s * self.thickness);
        let sum = kx + sx;
        let m = kx * (kx + 2.0 * sx);
        let mut powers = Powers { c: 1.0, s: 1.0, scale: 1.0, sum, sx, beyond: false };
        if m.abs() < 1e-3 {
            // Series of cosh √m and sinh √m/√m, good to 1e-16 here.
            powers.c = 1.0 + m / 2.0 * (1.0 + m / 12.0 * (1.0 + m / 30.0 * (1.0 + m / 56.0)));
            powers.s = 1.0 + m / 6.0 * (1.0 + m / 20.0 * (1.0 + m / 42.0 * (1.0 + m / 72.0)));
        } else if m > 0.0 {
            // Both times exp(−√m), so that a thick film does not overflow; the factor cancels in R.
            let root = m.sqrt();
            let twice = (-2.0 * root).exp();
            powers.c = (1.0 + twice) / 2.0;
            powers.s = (1.0 - twice) / (2.0 * root);
            powers.scale = (-root).exp();
        } else {
            let root = (-m).sqrt();
            powers.c = root.cos();
            powers.s = root.sin() / root;
            powers.beyond = root >= std::f64::consts::PI;
        }
        powers
    }
}

struct Powers {
    /// cosh √m, times `scale`.
    c: f64,
    /// sinh √m/√m, times `scale`.
    s: f64,
    scale: f64,
    /// (K + S)X.
    sum: f64,
    /// SX.
    sx: f64,
    /// Past the thickness at which negative K amplifies without bound.
    beyond: bool,
}

/// [`Film::over`] as a function.
///
/// # Source
/// As [`Film::over`].
pub fn film_over(k: f64, s: f64, thickness: f64, substrate: f64) -> f64 {
    Film { k, s, thickness }.over(substrate)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn ks_comes_back(r in 1e-4..1.0) {
            prop_assert!((r_from_ks(ks_from_r(r)) - r).abs() < 1e-10);
        }

        /// Two films, one over the other, are one film of both thicknesses: also where cosh turns into cos.
        #[test]
        fn films_add_up(k in -0.3..3.0, s in 0.0..3.0, first in 0.0..0.5, second in 0.0..0.5, ground in 0.0..0.9) {
            let whole = film_over(k, s, first + second, ground);
            let parts = film_over(k, s, second, film_over(k, s, first, ground));
            prop_assume!(whole.is_finite() && whole < 5.0);
            prop_assert!((whole - parts).abs() < 1e-9 * (1.0 + whole), "{whole} {parts}");
        }

        #[test]
        fn absorbing_films_stay_physical_and_darken_with_k(
            k in 0.0..50.0, more in 0.0..5.0, s in 0.0..20.0, x in 0.0..30.0, ground in 0.0..1.0,
        ) {
            let film = Film { k, s, thickness: x };
            let (r, t) = (film.over(ground), film.transmittance());
            prop_assert!((-1e-12..=1.0 + 1e-12).contains(&r) && (0.0..=1.0 + 1e-12).contains(&t));
            prop_assert!(film_over(k + more, s, x, ground) <= r + 1e-12);
            prop_assert!(film.reflectance() + t <= 1.0 + 1e-12);
        }
    }

    #[test]
    fn limits_are_the_textbook_ones() {
        // S → 0: Beer–Lambert, also when K lightens.
        for k in [-0.4, 0.3, 2.0] {
            assert!((film_over(k, 0.0, 0.7, 0.5) - 0.5 * (-2.0f64 * k * 0.7).exp()).abs() < 1e-15);
            assert!((film_over(k, 1e-9, 0.7, 0.5) - film_over(k, 0.0, 0.7, 0.5)).abs() < 1e-8);
        }
        // An endless film hides what is under it.
        assert!((film_over(0.3, 1.2, 1e6, 0.9) - r_from_ks(0.25)).abs() < 1e-14);
        // No film.
        assert_eq!(film_over(0.3, 1.2, 0.0, 0.42), 0.42);
    }

    /// K < 0 against direct integration of dR/dX = S − 2(K + S)R + S R² by 20 000 Runge–Kutta steps.
    #[test]
    fn negative_absorption_follows_the_differential_equation() {
        for (k, s, x, ground) in
            [(-0.2, 1.0, 1.0, 0.3), (-0.5, 0.4, 0.6, 0.2), (-1.2, 0.3, 0.4, 0.1), (-0.02, 5.0, 0.9, 0.6)]
        {
            let slope = |r: f64| s - 2.0 * (k + s) * r + s * r * r;
            let (n, mut r): (u32, f64) = (20_000, ground);
            let h = x / f64::from(n);
            for _ in 0..n {
                let k1 = slope(r);
                let k2 = slope(r + h / 2.0 * k1);
                let k3 = slope(r + h / 2.0 * k2);
                r += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + slope(r + h * k3));
            }
            assert!((film_over(k, s, x, ground) - r).abs() < 1e-9, "{k} {s} {x}: {r}");
        }
    }

    #[test]
    fn runaway_gain_is_infinite_and_nan_does_not_panic() {
        assert_eq!(film_over(-1.0, 1.0, 10.0, 0.5), f64::INFINITY);
        assert_eq!(film_over(-3.0, 1.0, 10.0, 0.5), f64::INFINITY);
        assert!(film_over(f64::NAN, 1.0, 1.0, 0.5).is_nan());
        assert!(r_from_ks(f64::NAN).is_nan());
        assert_eq!(r_from_ks(-0.1), 1.0);
    }
}
