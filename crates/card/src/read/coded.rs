//! What a JPEG rounded off: the mean colour of each of its blocks, in coarse steps where it is heavily compressed. On an even surface all
//! blocks are rounded the same way, so that it does not average out, however many there are.

use colour::rgb::{linear_from_srgb, srgb_from_linear};
use colour::{Lab, calibration::Fit};
use nalgebra::{Matrix3, Vector3};

use crate::region::Measured;

/// Red, green and blue by the two components of colour, Cb and Cr.
///
/// # Source
/// ITU-T T.871 (2011), 7.
const RGB_BY_COLOUR: [[f64; 3]; 2] = [[0.0, -0.344_136, 1.772], [1.402, -0.714_136, 0.0]];

/// The region with its error widened by what was rounded off, with steps of so many codes of 255: what lies anywhere within a step is as
/// far off as the step over √12, as a standard deviation.
///
/// # Source
/// ITU-T T.81 (1992), A.3.4: quantisation is rounding to the nearest step.
pub(super) fn widened(mut measured: Measured, colour_steps: [f64; 2], fit: &Fit) -> Measured {
    let at = |codes: [f64; 3]| vector(fit.lab_beside(codes.map(linear_from_srgb), measured.place));
    let codes = measured.device_linear_rgb.map(srgb_from_linear);
    let here = at(codes);
    let added: Matrix3<f64> = RGB_BY_COLOUR
        .iter()
        .zip(colour_steps)
        .map(|(by, step)| {
            let sd = step / 12.0_f64.sqrt() / 255.0;
            let off = at([0, 1, 2].map(|channel| (codes[channel] + sd * by[channel]).clamp(0.0, 1.0))) - here;
            off * off.transpose()
        })
        .sum();
    measured.own += added;
    measured
}

fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}
