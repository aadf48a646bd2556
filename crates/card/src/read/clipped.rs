//! Pixels of a region at the end of the scale: what they hide widens its error, or leaves no colour to tell.

use colour::{Lab, Xyz, lab_from_xyz, xyz_from_lab};
use nalgebra::Vector3;

use crate::region::Measured;

/// From this share of clipped pixels on a region's colour is not told.
pub(super) const MOST: f64 = 0.05;

/// The region with its error widened by what its clipped pixels may hide.
///
/// They are glints, which are no colour of the wood and whiten its mean, or wood too bright to measure, whose mean is
/// darkened. The first moves the colour by most: to where the mean lies without them, taken as white at the top of the
/// scale. That way is allowed for as a standard deviation.
pub(super) fn widened(mut measured: Measured) -> Measured {
    let [red, green, blue] = measured.device_linear_rgb;
    // Luminance of linear sRGB (IEC 61966-2-1:1999).
    let light = (0.2126 * red + 0.7152 * green + 0.0722 * blue).clamp(0.01, 1.0);
    let mean = xyz_from_lab(measured.lab);
    let white = xyz_from_lab(Lab::new(100.0, 0.0, 0.0));
    let share = measured.clipped_share;
    let without = |mean: f64, white: f64, y: f64| ((mean - share * white * y / light) / (1.0 - share)).max(0.1 * mean);
    let [x, y, z] = [(mean.x, white.x), (mean.y, white.y), (mean.z, white.z)].map(|(m, w)| without(m, w, mean.y));
    let lab = lab_from_xyz(Xyz::new(x, y, z));
    let loading = Vector3::new(measured.lab.l - lab.l, measured.lab.a - lab.a, measured.lab.b - lab.b);
    measured.own += loading * loading.transpose();
    measured
}
