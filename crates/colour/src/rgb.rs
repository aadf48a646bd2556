//! RGB at the edges: sRGB for screens and photos without a profile, and a wide-gamut linear RGB at D50 for reckoning
//! with three channels of reflectance.

use crate::{Lab, Xyz, adaptation, lab_from_xyz, white, xyz_from_lab};
use nalgebra::{Matrix3, Vector3};
use palette::encoding::{FromLinear, IntoLinear, Srgb};
use std::sync::LazyLock;

/// Linear sRGB to XYZ relative to sRGB's own D65 white, which is the sum of the matrix's rows.
///
/// # Source
/// IEC 61966-2-1:1999, 5.2, with its four decimals.
pub const XYZ_D65_FROM_LINEAR_SRGB: Matrix3<f64> =
    Matrix3::new(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505);

/// Chromaticities of the red, green and blue of the wide-gamut RGB.
///
/// # Source
/// ISO 22028-2:2013, Table 1 (ROMM RGB); its white is D50.
pub const WIDE_PRIMARIES: [[f64; 2]; 3] = [[0.7347, 0.2653], [0.1596, 0.8404], [0.0366, 0.0001]];

/// How far outside 0..1 a linear channel may lie and still count as inside the gamut: half of the smallest step of an
/// 8-bit code in linear light, rounded up.
pub const GAMUT_SLACK: f64 = 2e-4;

/// A colour as an 8-bit sRGB code for a swatch, and whether the screen can show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swatch {
    /// The code of red, green and blue.
    pub code: [u8; 3],
    /// False when a channel had to be cut to fit, so that the swatch is not the colour.
    pub in_gamut: bool,
}

static SRGB: LazyLock<(Matrix3<f64>, Matrix3<f64>)> = LazyLock::new(|| {
    let own_white = XYZ_D65_FROM_LINEAR_SRGB * Vector3::repeat(1.0);
    let to_d50 = adaptation::bradford(own_white, white::D50).unwrap_or_else(|_| Matrix3::identity());
    pair(to_d50 * XYZ_D65_FROM_LINEAR_SRGB)
});

static WIDE: LazyLock<(Matrix3<f64>, Matrix3<f64>)> =
    LazyLock::new(|| pair(xyz_from_primaries(WIDE_PRIMARIES, white::D50).unwrap_or_else(Matrix3::identity)));

fn pair(forward: Matrix3<f64>) -> (Matrix3<f64>, Matrix3<f64>) {
    (forward, forward.try_inverse().unwrap_or_else(Matrix3::identity))
}

/// The matrix from linear RGB to XYZ for primaries of the given chromaticities, with RGB (1, 1, 1) exactly at `white`.
/// `None` when the primaries lie on one line.
///
/// # Source
/// SMPTE RP 177-1993, 3.3.
pub fn xyz_from_primaries(primaries: [[f64; 2]; 3], white: Vector3<f64>) -> Option<Matrix3<f64>> {
    let columns = primaries.map(|[x, y]| Vector3::new(x, y, 1.0 - x - y));
    let unscaled = Matrix3::from_columns(&columns);
    // Twice the area of the triangle of primaries; rounding leaves about 1e-16 of primaries on a line.
    if unscaled.determinant().abs() < 1e-12 {
        return None;
    }
    let gains = unscaled.try_inverse()? * white;
    Some(unscaled * Matrix3::from_diagonal(&gains))
}

/// Linear sRGB to XYZ at D50 (Y = 1 for white): the standard's matrix, then Bradford. White stays white.
///
/// # Source
/// IEC 61966-2-1:1999, 5.2; adaptation as in ICC.1:2022, Annex E.
pub fn xyz_from_linear_srgb_matrix() -> Matrix3<f64> {
    SRGB.0
}

/// Linear light (0..1) of an sRGB code value (0..1). Below zero the straight part goes on.
///
/// # Source
/// IEC 61966-2-1:1999, 5.2 (threshold 0.04045, 12.92, 1.055, 2.4), by `palette`.
pub fn linear_from_srgb(encoded: f64) -> f64 {
    <Srgb as IntoLinear<f64, f64>>::into_linear(encoded)
}

/// sRGB code value (0..1) of linear light (0..1); the inverse of [`linear_from_srgb`].
///
/// # Source
/// IEC 61966-2-1:1999, 5.2 (threshold 0.0031308), by `palette`.
pub fn srgb_from_linear(linear: f64) -> f64 {
    <Srgb as FromLinear<f64, f64>>::from_linear(linear)
}

/// XYZ (D50) of linear sRGB.
///
/// # Source
/// As [`xyz_from_linear_srgb_matrix`].
pub fn xyz_from_linear_srgb(rgb: [f64; 3]) -> Xyz {
    xyz(SRGB.0 * Vector3::from(rgb))
}

/// Linear sRGB of an XYZ (D50); outside 0..1 for a colour the screen cannot show.
///
/// # Source
/// As [`xyz_from_linear_srgb_matrix`], inverted.
pub fn linear_srgb_from_xyz(xyz: Xyz) -> [f64; 3] {
    (SRGB.1 * Vector3::new(xyz.x, xyz.y, xyz.z)).into()
}

/// Lab (D50) of an 8-bit sRGB code.
///
/// # Source
/// IEC 61966-2-1:1999, 5.2; Bradford to D50; CIE 15:2004, 8.2.1.
pub fn lab_from_srgb8(code: [u8; 3]) -> Lab {
    lab_from_xyz(xyz_from_linear_srgb(code.map(|c| linear_from_srgb(f64::from(c) / 255.0))))
}

/// The nearest 8-bit sRGB code of a Lab (D50), channel by channel, and whether the colour fits the screen.
///
/// A colour that is not a number comes out black and out of gamut.
///
/// # Source
/// As [`lab_from_srgb8`], inverted; channels cut to 0..1.
pub fn srgb8_from_lab(lab: Lab) -> Swatch {
    let linear = linear_srgb_from_xyz(xyz_from_lab(lab));
    let in_gamut = linear.iter().all(|c| (-GAMUT_SLACK..=1.0 + GAMUT_SLACK).contains(c));
    // `as` saturates and sends NaN to 0.
    Swatch { code: linear.map(|c| (srgb_from_linear(c.clamp(0.0, 1.0)) * 255.0).round() as u8), in_gamut }
}

/// Linear wide-gamut RGB (ROMM primaries, D50) of an XYZ (D50): three channels of reflectance, about long, middle and
/// short waves, with the perfect diffuser at (1, 1, 1).
///
/// # Source
/// ISO 22028-2:2013 (primaries); the matrix by SMPTE RP 177-1993.
pub fn linear_wide_from_xyz(xyz: Xyz) -> [f64; 3] {
    (WIDE.1 * Vector3::new(xyz.x, xyz.y, xyz.z)).into()
}

/// XYZ (D50) of linear wide-gamut RGB; the inverse of [`linear_wide_from_xyz`].
///
/// # Source
/// As [`linear_wide_from_xyz`].
pub fn xyz_from_linear_wide(rgb: [f64; 3]) -> Xyz {
    xyz(WIDE.0 * Vector3::from(rgb))
}

/// The matrix of [`xyz_from_linear_wide`].
///
/// # Source
/// As [`linear_wide_from_xyz`].
pub fn xyz_from_linear_wide_matrix() -> Matrix3<f64> {
    WIDE.0
}

fn xyz(v: Vector3<f64>) -> Xyz {
    Xyz::new(v.x, v.y, v.z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_stays_white() {
        for xyz in [xyz_from_linear_srgb([1.0; 3]), xyz_from_linear_wide([1.0; 3])] {
            let lab = lab_from_xyz(xyz);
            assert!((lab.l - 100.0).abs() < 1e-12 && lab.a.abs() < 1e-12 && lab.b.abs() < 1e-12, "{lab:?}");
        }
    }

    #[test]
    fn every_grey_code_and_the_corners_come_back() {
        for code in 0..=255u8 {
            for code in [[code; 3], [code, 0, 255], [255, code, 0], [0, 255, code]] {
                assert_eq!(srgb8_from_lab(lab_from_srgb8(code)), Swatch { code, in_gamut: true });
            }
        }
    }

    #[test]
    fn a_colour_beyond_the_screen_says_so() {
        assert!(!srgb8_from_lab(Lab::new(50.0, 0.0, -120.0)).in_gamut);
        assert!(!srgb8_from_lab(Lab::new(101.0, 0.0, 0.0)).in_gamut);
        let nan = srgb8_from_lab(Lab::new(f64::NAN, 0.0, 0.0));
        assert_eq!(nan, Swatch { code: [0; 3], in_gamut: false });
    }

    #[test]
    fn primaries_on_a_line_have_no_matrix() {
        assert_eq!(xyz_from_primaries([[0.3, 0.3], [0.4, 0.4], [0.2, 0.2]], white::D50), None);
    }
}
