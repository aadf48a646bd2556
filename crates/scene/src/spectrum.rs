//! A spectrum: 81 numbers.

/// First wavelength.
pub const NM_FIRST: f64 = 380.0;
/// Step between wavelengths.
pub const NM_STEP: f64 = 5.0;
/// Number of wavelengths, 380–780 nm.
pub const NM_COUNT: usize = 81;

/// Reflectance factor, relative power or sensitivity, 380–780 nm every 5 nm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spectrum(pub [f64; NM_COUNT]);

impl Spectrum {
    /// The same value everywhere.
    pub const fn flat(value: f64) -> Self {
        Self([value; NM_COUNT])
    }

    /// From a function of the wavelength in nm.
    pub fn from_fn(value: impl Fn(f64) -> f64) -> Self {
        Self(std::array::from_fn(|i| value(NM_FIRST + NM_STEP * i as f64)))
    }

    /// From knots (nm, value) in ascending order, linear between, constant beyond.
    pub fn from_knots(knots: &[(f64, f64)]) -> Self {
        Self::from_fn(|nm| {
            let above = knots.partition_point(|knot| knot.0 < nm);
            match (above.checked_sub(1).and_then(|below| knots.get(below)), knots.get(above)) {
                (Some(&(n0, v0)), Some(&(n1, v1))) => v0 + (v1 - v0) * (nm - n0) / (n1 - n0),
                (Some(&(_, value)), None) | (None, Some(&(_, value))) => value,
                (None, None) => 0.0,
            }
        })
    }

    /// A new spectrum, value by value.
    pub fn map(&self, change: impl Fn(f64) -> f64) -> Self {
        Self(self.0.map(change))
    }

    /// Value by value with another.
    pub fn zip(&self, other: &Self, combine: impl Fn(f64, f64) -> f64) -> Self {
        Self(std::array::from_fn(|i| combine(self.0[i], other.0[i])))
    }

    /// Sum of the products with another spectrum.
    pub fn dot(&self, other: &Self) -> f64 {
        self.0.iter().zip(&other.0).map(|(a, b)| a * b).sum()
    }

    /// This reflectance with its absorption over scattering, K/S = (1−R)²/2R, times `factor`: deeper above 1, paler below.
    ///
    /// # Source
    /// Kubelka, Munk 1931 (opaque layer); R = 1 + q − √(q² + 2q).
    pub fn with_absorption(&self, factor: f64) -> Self {
        self.map(|r| {
            let r = r.clamp(1e-4, 0.9999);
            let q = factor * (1.0 - r).powi(2) / (2.0 * r);
            1.0 + q - (q * q + 2.0 * q).sqrt()
        })
    }
}
