//! White points, chromaticities, and CIELAB relative to any white.

use nalgebra::Vector3;

/// CIE illuminant A (incandescent lamp), 2° observer, XYZ with Y = 1.
///
/// # Source
/// ASTM E308-15, Table 5.
pub const A: Vector3<f64> = Vector3::new(1.098_50, 1.0, 0.355_85);

/// CIE illuminant C (old average daylight), 2° observer, XYZ with Y = 1.
///
/// # Source
/// ASTM E308-15, Table 5.
pub const C: Vector3<f64> = Vector3::new(0.980_74, 1.0, 1.182_32);

/// CIE illuminant D50 (warm daylight; the white of every [`Lab`](crate::Lab) and [`Xyz`](crate::Xyz) here), 2° observer.
///
/// # Source
/// ASTM E308-15, Table 5.
pub const D50: Vector3<f64> = Vector3::new(0.964_22, 1.0, 0.825_21);

/// CIE illuminant D65 (average daylight), 2° observer, XYZ with Y = 1.
///
/// # Source
/// ASTM E308-15, Table 5.
pub const D65: Vector3<f64> = Vector3::new(0.950_47, 1.0, 1.088_83);

/// XYZ from chromaticity and luminance. A chromaticity with y = 0 or a luminance of 0 is black.
///
/// # Source
/// CIE 15:2004, 7.3 (X = xY/y, Z = (1 − x − y)Y/y).
pub fn xyz_from_xy(x: f64, y: f64, luminance: f64) -> Vector3<f64> {
    if y == 0.0 || luminance == 0.0 {
        return Vector3::zeros();
    }
    Vector3::new(x * luminance / y, luminance, (1.0 - x - y) * luminance / y)
}

/// Chromaticity x, y of an XYZ of any scale; `None` for black.
///
/// # Source
/// CIE 15:2004, 7.3.
pub fn xy_from_xyz(xyz: Vector3<f64>) -> Option<[f64; 2]> {
    let sum = xyz.sum();
    (sum > 0.0).then(|| [xyz.x / sum, xyz.y / sum])
}

/// L*, a*, b* relative to `white`, for XYZ and white of the same scale.
///
/// For D50 use [`lab_from_xyz`](crate::lab_from_xyz), whose type says so; this one is for the edges, where a published
/// value or a photo is relative to another white.
///
/// # Source
/// CIE 15:2004, 8.2.1, with the exact rational constants ε = 216/24389 and κ = 24389/27.
pub fn lab_relative(xyz: Vector3<f64>, white: Vector3<f64>) -> [f64; 3] {
    let f = |t: f64| if t > EPSILON { t.cbrt() } else { (KAPPA * t + 16.0) / 116.0 };
    let [fx, fy, fz] = [f(xyz.x / white.x), f(xyz.y / white.y), f(xyz.z / white.z)];
    [116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)]
}

/// XYZ in the scale of `white` from L*, a*, b* relative to it; the inverse of [`lab_relative`].
///
/// # Source
/// CIE 15:2004, Annex D.
pub fn xyz_relative(lab: [f64; 3], white: Vector3<f64>) -> Vector3<f64> {
    let fy = (lab[0] + 16.0) / 116.0;
    let inverse = |f: f64| if f.powi(3) > EPSILON { f.powi(3) } else { (116.0 * f - 16.0) / KAPPA };
    white.component_mul(&Vector3::new(inverse(fy + lab[1] / 500.0), inverse(fy), inverse(fy - lab[2] / 200.0)))
}

const EPSILON: f64 = 216.0 / 24389.0;
const KAPPA: f64 = 24389.0 / 27.0;
