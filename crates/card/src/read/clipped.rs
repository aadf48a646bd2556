//! Pixels of a region at the end of the scale: what they hide widens its error, or leaves no colour to tell.

use nalgebra::Vector3;

use crate::region::Measured;

/// From this share of clipped pixels on a region's colour is not told.
pub(super) const MOST: f64 = 0.05;

/// The region with its error widened by what its clipped pixels may hide.
///
/// They are glints, which are no colour of the wood and brighten its mean, or wood too bright to measure, whose mean is
/// darkened. The first moves the light by most: by all that those pixels give of it. That is allowed for as a standard
/// deviation along the light.
pub(super) fn widened(mut measured: Measured) -> Measured {
    let [red, green, blue] = measured.device_linear_rgb;
    // Luminance of linear sRGB (IEC 61966-2-1:1999).
    let light = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    let hidden = measured.clipped_share / light.clamp(0.01, 1.0);
    // Derivative of CIELAB with respect to the logarithm of light, where f is a cube root (CIE 15:2004, 8.2.1).
    let lab = measured.lab;
    let loading = Vector3::new(lab.l + 16.0, lab.a, lab.b) / 3.0 * hidden;
    measured.own += loading * loading.transpose();
    measured
}
