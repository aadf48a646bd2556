//! What a JPEG rounded off: the mean colour of each of its blocks, in coarse steps where it is heavily compressed. On an even surface all
//! blocks are rounded the same way, so that it does not average out, however many there are. Where they differ by a good part of a step,
//! they are rounded this way and that, and most of it does.

use std::f64::consts::PI;

use colour::rgb::{linear_from_srgb, srgb_from_linear};
use colour::{Lab, calibration::Fit};
use nalgebra::{Matrix3, Vector3};

use crate::photo::ColourSteps;
use crate::region::Measured;

/// Red, green and blue by the two components of colour, Cb and Cr.
///
/// # Source
/// ITU-T T.871 (2011), 7.
const RGB_BY_COLOUR: [[f64; 3]; 2] = [[0.0, -0.344_136, 1.772], [1.402, -0.714_136, 0.0]];

/// The region with its error widened by what was rounded off: what lies anywhere within a step is as far off as the step over √12, as a
/// standard deviation, less what averages out.
///
/// # Source
/// ITU-T T.81 (1992), A.3.4: quantisation is rounding to the nearest step.
pub(super) fn widened(mut measured: Measured, steps: ColourSteps, fit: &Fit) -> Measured {
    let at = |codes: [f64; 3]| vector(fit.lab_beside(codes.map(linear_from_srgb), measured.place));
    let codes = measured.device_linear_rgb.map(srgb_from_linear);
    let here = at(codes);
    let added: Matrix3<f64> = RGB_BY_COLOUR
        .iter()
        .zip(steps.codes.into_iter().zip(measured.block_colour_variance))
        .map(|(by, (step, variance))| {
            let sd = (shared_by_all(step, variance) / 12.0).sqrt() * step / 255.0;
            let off = at([0, 1, 2].map(|channel| (codes[channel] + sd * by[channel]).clamp(0.0, 1.0))) - here;
            off * off.transpose()
        })
        .sum();
    measured.own += added;
    measured
}

/// The share of the variance of rounding to steps of `step` that is the same for all values rounded, whose variance afterwards is
/// `variance`: it does not average out.
///
/// The error of rounding is a sawtooth. Averaged over values that are spread, each wave of its Fourier series is damped by the
/// characteristic function of their distribution, taken as normal. Rounding itself has added a twelfth of the square of a step to their
/// variance (Sheppard's correction); where they differ little it has added less, and the share is stated too large.
///
/// # Source
/// Fourier series of a sawtooth, the first Bernoulli polynomial: NIST Digital Library of Mathematical Functions, 24.8(i).
fn shared_by_all(step: f64, variance: f64) -> f64 {
    const WAVES: u32 = 20;
    if step <= 0.0 {
        return 1.0;
    }
    let spread = (variance / (step * step) - 1.0 / 12.0).max(0.0);
    let wave = |number: u32| {
        let squared = f64::from(number * number);
        (-4.0 * PI * PI * squared * spread).exp() / squared
    };
    // The waves of a value that does not vary add up to all of the variance.
    let all: f64 = (1..=WAVES).map(|number| 1.0 / f64::from(number * number)).sum();
    (1..=WAVES).map(wave).sum::<f64>() / all
}

fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values spread normally and rounded to whole steps, again and again about other middles: what their mean is off, squared and averaged,
    /// against the twelfth of a single value. It is never stated smaller by more than a fiftieth, and little is left beyond half a step.
    #[test]
    fn what_rounding_leaves_in_a_mean_is_stated() {
        const VALUES: usize = 400;
        const MIDDLES: usize = 200;
        // Quantiles of a normal distribution, evenly spread in probability.
        let normal: Vec<f64> = (0..VALUES).map(|k| quantile((k as f64 + 0.5) / VALUES as f64)).collect();
        for spread in [0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.8] {
            let (mut left, mut stated) = (0.0, 0.0);
            for middle in (0..MIDDLES).map(|k| (k as f64 + 0.5) / MIDDLES as f64 - 0.5) {
                let rounded: Vec<f64> = normal.iter().map(|value| (middle + spread * value).round()).collect();
                let mean = rounded.iter().sum::<f64>() / VALUES as f64;
                let variance = rounded.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / VALUES as f64;
                left += 12.0 * (mean - middle).powi(2) / MIDDLES as f64;
                stated += shared_by_all(1.0, variance) / MIDDLES as f64;
            }
            assert!(stated > left - 0.02, "{spread}: {left} left, {stated} stated");
            assert!(spread < 0.5 || stated < 0.05, "{spread}: {left} left, {stated} stated");
            assert!(spread > 0.0 || stated > 0.99, "{stated}");
        }
    }

    /// Of the standard normal distribution, by summing its density from far below.
    fn quantile(probability: f64) -> f64 {
        const STEP: f64 = 1e-3;
        let (mut at, mut below) = (-8.0, 0.0);
        while below < probability {
            below += STEP * f64::exp(-0.5 * at * at) / (2.0 * PI).sqrt();
            at += STEP;
        }
        at
    }
}
