//! Three reflectances that stand for a colour.
//!
//! Linear RGB of the wide-gamut space of ISO 22028-2 (white D50, nothing to adapt), clipped inside (0, 1).

use colour::{Lab, Xyz, lab_from_xyz, xyz_from_lab};

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
