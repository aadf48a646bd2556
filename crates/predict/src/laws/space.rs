//! Three reflectances that stand for a colour.
//!
//! Linear RGB of the wide-gamut space of ISO 22028-2 (white D50, nothing to adapt), clipped inside (0, 1).

use colour::{Lab, Xyz, lab_from_xyz, xyz_from_lab};
use nalgebra::{Matrix3, Vector3};

use super::Channels;

/// The least reflectance a channel can have.
pub const DARKEST: f64 = 1e-4;
/// The greatest reflectance a channel can have.
pub const LIGHTEST: f64 = 0.9999;

/// ISO 22028-2:2013, reference output medium metric RGB: XYZ (D50) to linear RGB.
const RGB_FROM_XYZ: [[f64; 3]; 3] =
    [[1.345_943_3, -0.255_607_5, -0.051_111_8], [-0.544_598_9, 1.508_167_3, 0.020_535_1], [0.0, 0.0, 1.211_812_8]];

/// The three reflectances of a colour.
pub fn channels_from_lab(lab: Lab) -> Channels {
    let xyz = xyz_from_lab(lab);
    std::array::from_fn(|row| {
        let [x, y, z] = RGB_FROM_XYZ[row];
        let r = x * xyz.x + y * xyz.y + z * xyz.z;
        if r.is_nan() { DARKEST } else { r.clamp(DARKEST, LIGHTEST) }
    })
}

/// The colour of three reflectances.
pub fn lab_from_channels(channels: Channels) -> Lab {
    // The inverse by hand, so that there and back is exact to rounding: the last row holds Z alone.
    let [[a, b, c], [d, e, f], [_, _, g]] = RGB_FROM_XYZ;
    let z = channels[2] / g;
    let (u, v) = (channels[0] - c * z, channels[1] - f * z);
    let det = a * e - b * d;
    lab_from_xyz(Xyz::new((e * u - b * v) / det, (a * v - d * u) / det, z))
}

/// XYZ (D50) to channels.
pub(super) fn rgb_from_xyz() -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| RGB_FROM_XYZ[row][column])
}

/// Channels to XYZ (D50).
pub(super) fn xyz_from_rgb() -> Matrix3<f64> {
    let [[a, b, c], [d, e, f], [_, _, g]] = RGB_FROM_XYZ;
    let det = a * e - b * d;
    Matrix3::new(
        e / det,
        -b / det,
        (b * f - e * c) / (det * g),
        -d / det,
        a / det,
        (d * c - a * f) / (det * g),
        0.0,
        0.0,
        1.0 / g,
    )
}

/// How fast L*, a*, b* (rows) change with each of three reflectances (columns).
///
/// # Source
/// CIE 15:2004, 8.2.1, differentiated.
pub(crate) fn lab_slopes(channels: Channels) -> Matrix3<f64> {
    let xyz_from_rgb = xyz_from_rgb();
    let relative = (xyz_from_rgb * Vector3::from(channels)).component_div(&colour::white::D50);
    let slope = relative.map(|t| {
        let cbrt = t.cbrt();
        if t > 216.0 / 24389.0 { 1.0 / (3.0 * cbrt * cbrt) } else { 24389.0 / 27.0 / 116.0 }
    });
    let by_f = Matrix3::new(0.0, 116.0, 0.0, 500.0, -500.0, 0.0, 0.0, 200.0, -200.0);
    by_f * Matrix3::from_diagonal(&slope.component_div(&colour::white::D50)) * xyz_from_rgb
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draws::vector;

    /// Against differences of the conversion itself, which is palette's.
    #[test]
    fn slopes_are_those_of_the_conversion() {
        for channels in [[0.4, 0.2, 0.08], [0.005, 0.004, 0.003], [0.9, 0.8, 0.5]] {
            let slopes = lab_slopes(channels);
            for channel in 0..3 {
                let mut there = channels;
                let h = 1e-6 * channels[channel];
                there[channel] += h;
                let by = (vector(lab_from_channels(there)) - vector(lab_from_channels(channels))) / h;
                assert!((by - slopes.column(channel)).norm() < 1e-3 * by.norm(), "{by} {slopes}");
            }
        }
    }
}
