//! Chromatic adaptation: what a colour under one white looks like under another.

use crate::{Error, Result};
use nalgebra::{Matrix3, Vector3};

/// Bradford's sharpened cones, the ones ICC profiles use.
///
/// # Source
/// Lam (1985), thesis, University of Bradford; figures as in ICC.1:2022, Annex E.
pub const BRADFORD: Matrix3<f64> =
    Matrix3::new(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296);

/// The cones of CIECAM02.
///
/// # Source
/// CIE 159:2004.
pub const CAT02: Matrix3<f64> = Matrix3::new(0.7328, 0.4296, -0.1624, -0.7036, 1.6975, 0.0061, 0.0030, 0.0136, 0.9834);

/// The cones of CAM16.
///
/// # Source
/// Li, Li, Wang, Xu, Luo, Cui, Melgosa, Brill, Pointer (2017), DOI 10.1002/col.22131.
pub const CAT16: Matrix3<f64> =
    Matrix3::new(0.401288, 0.650173, -0.051461, -0.250268, 1.204414, 0.045854, -0.002079, 0.048952, 0.953127);

/// Hunt–Pointer–Estévez cones, normalised to D65.
///
/// # Source
/// Hunt, Pointer (1985), Color Res. Appl. 10:165–179.
pub const HUNT_POINTER_ESTEVEZ: Matrix3<f64> =
    Matrix3::new(0.40024, 0.70760, -0.08081, -0.22630, 1.16532, 0.04570, 0.0, 0.0, 0.91822);

/// XYZ of a colour seen under `to` that matches an XYZ seen under `from`: the matrix of the general von Kries form,
/// full adaptation, with the given cones. Whites are XYZ of one scale.
///
/// The white `from` itself becomes exactly `to`.
///
/// # Errors
/// [`Error::Singular`] when `cones` has no inverse, [`Error::NotFinite`] when `from` gives a cone no signal.
///
/// # Source
/// von Kries (1902); in matrix form as in CIE 160:2004, 2.2.
pub fn von_kries(cones: &Matrix3<f64>, from: Vector3<f64>, to: Vector3<f64>) -> Result<Matrix3<f64>> {
    let back = cones.try_inverse().ok_or(Error::Singular { what: "the matrix of the cones" })?;
    let gains = (cones * to).component_div(&(cones * from));
    if gains.iter().any(|gain| !gain.is_finite()) {
        return Err(Error::NotFinite { what: "the white to adapt from" });
    }
    Ok(back * Matrix3::from_diagonal(&gains) * cones)
}

/// The Bradford matrix from one white to another; [`von_kries`] with [`BRADFORD`].
///
/// # Errors
/// As [`von_kries`]; never between the whites of [`white`](crate::white).
///
/// # Source
/// ICC.1:2022, Annex E.
pub fn bradford(from: Vector3<f64>, to: Vector3<f64>) -> Result<Matrix3<f64>> {
    von_kries(&BRADFORD, from, to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::white;

    #[test]
    fn white_becomes_white_and_the_way_back_is_the_inverse() {
        for cones in [BRADFORD, CAT02, CAT16, HUNT_POINTER_ESTEVEZ, Matrix3::identity()] {
            for (from, to) in [(white::D65, white::D50), (white::A, white::D50), (white::C, white::D65)] {
                let there = von_kries(&cones, from, to).unwrap();
                assert!((there * from - to).norm() < 1e-14);
                let back = von_kries(&cones, to, from).unwrap();
                assert!((there * back - Matrix3::identity()).norm() < 1e-13);
            }
        }
    }

    #[test]
    fn useless_whites_and_cones_are_errors() {
        assert_eq!(bradford(Vector3::zeros(), white::D50), Err(Error::NotFinite { what: "the white to adapt from" }));
        assert!(von_kries(&Matrix3::zeros(), white::D65, white::D50).is_err());
        assert!(bradford(Vector3::new(f64::NAN, 1.0, 1.0), white::D50).is_err());
    }
}
