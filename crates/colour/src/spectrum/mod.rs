//! Spectral reflectance to XYZ, at one declared weighting: every 10 nm from 380 to 730 nm.
//!
//! The weight of a band is power × colour matching function at its wavelength (plain summation); each of the three
//! columns is then scaled, by at most 0.11 %, so that the perfect diffuser gets the published white point exactly.
//! Against 5 nm summation of 380–780 nm the 24 spectra of ISO 17321-1 differ by at most 0.03 in XYZ (Y = 100) and 0.11
//! ΔE*ab; tests/published holds it to that.

mod tables;

use crate::{Xyz, white};
use nalgebra::Vector3;
use std::sync::LazyLock;

/// Number of bands.
pub const BANDS: usize = 36;

/// Wavelength of the first band, nm.
pub const FIRST_NM: usize = 380;

/// Step from band to band, nm.
pub const STEP_NM: usize = 10;

/// Reflectance factor (0..1) at 380, 390 … 730 nm.
pub type Reflectance = [f64; BANDS];

/// The illuminants with a weighting of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Illuminant {
    /// Incandescent lamp.
    A,
    /// Warm daylight, the reference of this crate.
    D50,
    /// Average daylight.
    D65,
}

impl Illuminant {
    /// Its white point, XYZ with Y = 1.
    ///
    /// # Source
    /// ASTM E308-15, Table 5.
    pub fn white(self) -> Vector3<f64> {
        match self {
            Illuminant::A => white::A,
            Illuminant::D50 => white::D50,
            Illuminant::D65 => white::D65,
        }
    }
}

/// What each band adds to X, Y and Z.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighting {
    /// X, Y and Z of a surface that reflects one band alone.
    pub rows: [[f64; 3]; BANDS],
}

static WEIGHTINGS: LazyLock<[Weighting; 3]> =
    LazyLock::new(|| [Illuminant::A, Illuminant::D50, Illuminant::D65].map(Weighting::computed));

impl Weighting {
    /// The declared weighting for the 2° observer under an illuminant.
    ///
    /// # Source
    /// CIE 15:2004, 7.1 (summation) with its tables T.1 and T.4; white of ASTM E308-15, Table 5.
    pub fn of(illuminant: Illuminant) -> &'static Weighting {
        let [a, d50, d65] = &*WEIGHTINGS;
        match illuminant {
            Illuminant::A => a,
            Illuminant::D50 => d50,
            Illuminant::D65 => d65,
        }
    }

    fn computed(illuminant: Illuminant) -> Weighting {
        let column = illuminant as usize;
        let mut rows: [[f64; 3]; BANDS] =
            std::array::from_fn(|band| tables::OBSERVER[band].map(|bar| bar * tables::POWER[band][column]));
        for (axis, wanted) in illuminant.white().iter().enumerate() {
            let sum: f64 = rows.iter().map(|row| row[axis]).sum();
            for row in &mut rows {
                row[axis] *= wanted / sum;
            }
        }
        Weighting { rows }
    }

    /// XYZ of the perfect diffuser.
    pub fn white(&self) -> Vector3<f64> {
        self.xyz(&[1.0; BANDS])
    }

    /// XYZ of a reflectance under this weighting's light.
    ///
    /// # Source
    /// CIE 15:2004, 7.1.
    pub fn xyz(&self, reflectance: &Reflectance) -> Vector3<f64> {
        self.rows.iter().zip(reflectance).map(|(row, r)| Vector3::from(*row) * *r).sum()
    }
}

/// XYZ (D50, Y = 1 for white) of a reflectance.
///
/// # Source
/// CIE 15:2004, 7.1, at the weighting of this module.
pub fn xyz_from_reflectance(reflectance: &Reflectance) -> Xyz {
    let xyz = Weighting::of(Illuminant::D50).xyz(reflectance);
    Xyz::new(xyz.x, xyz.y, xyz.z)
}

/// L*, a*, b* of a reflectance under an illuminant, relative to that illuminant's own white.
///
/// # Source
/// CIE 15:2004, 7.1 and 8.2.1.
pub fn lab_under(reflectance: &Reflectance, illuminant: Illuminant) -> [f64; 3] {
    white::lab_relative(Weighting::of(illuminant).xyz(reflectance), illuminant.white())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_stays_white_and_the_scaling_is_small() {
        for illuminant in [Illuminant::A, Illuminant::D50, Illuminant::D65] {
            let weighting = Weighting::of(illuminant);
            assert!((weighting.white() - illuminant.white()).norm() < 1e-14);
            let plain: [f64; 3] = std::array::from_fn(|axis| {
                (0..BANDS).map(|b| tables::OBSERVER[b][axis] * tables::POWER[b][illuminant as usize]).sum()
            });
            for axis in 0..3 {
                let share = plain[axis] / plain[1] / illuminant.white()[axis];
                assert!((share - 1.0).abs() < 1.1e-3, "{illuminant:?} {axis} {share}");
            }
        }
    }

    #[test]
    fn brighter_spectra_are_brighter() {
        let dark = xyz_from_reflectance(&[0.2; BANDS]);
        let mut light = [0.2; BANDS];
        light[17] = 0.3;
        assert!(xyz_from_reflectance(&light).y > dark.y);
        assert!((dark.y - 0.2).abs() < 1e-15);
    }
}
