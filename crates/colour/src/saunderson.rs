//! The surface of a film: what it reflects outside and what it holds back inside.
//!
//! For films with a smooth surface only. Bare wood has no such interface: leave it out there.

/// The reflection of an interface between air and a film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interface {
    /// k₁: share of the light from outside reflected at the surface, 0..1.
    pub outside: f64,
    /// k₂: share of the diffuse light from inside held back at the surface, 0..1.
    pub inside: f64,
}

/// Whether a reading holds the light reflected at the surface itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Specular {
    /// The gloss is in the reading (a sphere with its trap closed).
    Included,
    /// The gloss is left out of it (45°/0° instruments, and photos free of glare).
    Excluded,
}

impl Interface {
    /// The interface of a film of refractive index `n` under diffuse light from inside and directed light from outside:
    /// [`k1_normal`] and [`k2_diffuse`].
    ///
    /// # Source
    /// Judd (1942), DOI 10.6028/jres.029.015.
    pub fn from_index(n: f64) -> Self {
        Interface { outside: k1_normal(n), inside: k2_diffuse(n) }
    }

    /// The reflectance read from outside, of a material whose reflectance inside is `internal` (0..1).
    ///
    /// # Source
    /// Saunderson (1942), DOI 10.1364/JOSA.32.000727: R_m = k₁ + (1 − k₁)(1 − k₂)R/(1 − k₂R), without the first k₁ when
    /// the specular part is left out.
    pub fn measured_from_internal(&self, internal: f64, specular: Specular) -> f64 {
        let Interface { outside: k1, inside: k2 } = *self;
        let diffuse = (1.0 - k1) * (1.0 - k2) * internal / (1.0 - k2 * internal);
        match specular {
            Specular::Included => k1 + diffuse,
            Specular::Excluded => diffuse,
        }
    }

    /// The reflectance inside a material, read from outside as `measured`; the inverse of
    /// [`Interface::measured_from_internal`]. Below zero when the reading is darker than the surface alone allows.
    ///
    /// # Source
    /// Saunderson (1942), inverted.
    pub fn internal_from_measured(&self, measured: f64, specular: Specular) -> f64 {
        let Interface { outside: k1, inside: k2 } = *self;
        let diffuse = match specular {
            Specular::Included => measured - k1,
            Specular::Excluded => measured,
        };
        diffuse / ((1.0 - k1) * (1.0 - k2) + k2 * diffuse)
    }
}

/// Share of light reflected outside at normal incidence, for refractive index `n` ≥ 1 against air.
///
/// # Source
/// Fresnel: ((n − 1)/(n + 1))².
pub fn k1_normal(n: f64) -> f64 {
    ((n - 1.0) / (n + 1.0)).powi(2)
}

/// Share of perfectly diffuse light reflected outside, for refractive index `n` ≥ 1 against air.
///
/// # Source
/// Judd (1942), DOI 10.6028/jres.029.015: the closed integral of Fresnel's equations over the hemisphere (Walsh 1926).
pub fn k1_diffuse(n: f64) -> f64 {
    if n == 1.0 {
        return 0.0;
    }
    let (n2, n3, n4) = (n * n, n.powi(3), n.powi(4));
    0.5 + (n - 1.0) * (3.0 * n + 1.0) / (6.0 * (n + 1.0).powi(2))
        + n2 * (n2 - 1.0).powi(2) / (n2 + 1.0).powi(3) * ((n - 1.0) / (n + 1.0)).ln()
        - 2.0 * n3 * (n2 + 2.0 * n - 1.0) / ((n2 + 1.0) * (n4 - 1.0))
        + 8.0 * n4 * (n4 + 1.0) / ((n2 + 1.0) * (n4 - 1.0).powi(2)) * n.ln()
}

/// Share of perfectly diffuse light held back inside a film of refractive index `n` ≥ 1 against air.
///
/// # Source
/// Judd (1942): 1 − k₂ = (1 − k₁)/n², with the diffuse k₁.
pub fn k2_diffuse(n: f64) -> f64 {
    1.0 - (1.0 - k1_diffuse(n)) / (n * n)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn comes_back_and_is_monotone(k1 in 0.0..0.2, k2 in 0.0..0.8, r in 0.0..1.0, more in 1e-6..0.1) {
            let surface = Interface { outside: k1, inside: k2 };
            for specular in [Specular::Included, Specular::Excluded] {
                let measured = surface.measured_from_internal(r, specular);
                prop_assert!((surface.internal_from_measured(measured, specular) - r).abs() < 1e-12);
                prop_assert!(surface.measured_from_internal(r + more, specular) > measured);
            }
        }
    }

    #[test]
    fn white_stays_white_with_the_gloss_in_and_no_interface_changes_nothing() {
        let surface = Interface::from_index(1.5);
        assert!((surface.measured_from_internal(1.0, Specular::Included) - 1.0).abs() < 1e-15);
        assert_eq!(Interface { outside: 0.0, inside: 0.0 }.measured_from_internal(0.37, Specular::Excluded), 0.37);
        let none = Interface::from_index(1.0);
        assert!(none.outside == 0.0 && none.inside == 0.0);
        assert!(surface.measured_from_internal(f64::NAN, Specular::Included).is_nan());
    }
}
