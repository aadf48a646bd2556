//! A lamp mirrored in a patch: its light is added to that of the paint.

use super::cell::Cell;
use super::colours::{self, CLIPPED};

/// Least light that shows, as a share of what white throws back.
const LEAST: f64 = 0.02;

/// A lamp has about the colour of the light on the card: what it adds in one channel over what it adds in another, at most,
/// and a share of white beyond that for what the fit does not know.
const UNEVEN: f64 = 1.7;
const UNSURE: f64 = 0.05;

/// Whether a patch is as much lighter than `expected` in each channel as by white light; `white` is what the lightest patch
/// of the card is expected to be. All encoded. Of a clipped channel it is known only that it is lighter.
pub(crate) fn adds(cell: &Cell, expected: &[f64; 3], white: &[f64; 3]) -> bool {
    let shares = [0, 1, 2].map(|c| (linear(cell.rgb[c]) - linear(expected[c])) / linear(white[c]).max(1e-3));
    let open = || (0..3).filter(|c| cell.raw[*c] < CLIPPED).map(|c| shares[c]);
    let most = open().fold(f64::MIN, f64::max);
    let least = open().fold(f64::MAX, f64::min);
    let lighter = shares.into_iter().fold(f64::MIN, f64::max) > LEAST;
    let bound = (0..3).filter(|c| cell.raw[*c] >= CLIPPED).map(|c| shares[c]).fold(LEAST, f64::max);
    lighter && least > LEAST && most <= UNEVEN * least + UNSURE && bound <= UNEVEN * least + UNSURE
}

/// Squared distance of a patch to what is expected of it, or to that with a lamp's light added, whichever is the nearest.
pub(crate) fn off(cell: &Cell, expected: &[f64; 3], white: &[f64; 3]) -> f64 {
    let shares = [0, 1, 2].map(|c| (linear(cell.rgb[c]) - linear(expected[c])) / linear(white[c]).max(1e-3));
    let mean = shares.iter().sum::<f64>() / 3.0;
    let lit = |share: f64| [0, 1, 2].map(|c| encoded(linear(expected[c]) + share.max(0.0) * linear(white[c])));
    let off = |share: f64| colours::off(cell, &lit(share));
    shares.into_iter().chain([0.0, mean]).map(off).fold(f64::INFINITY, f64::min)
}

fn encoded(linear: f64) -> f64 {
    linear.powf(1.0 / 2.2)
}

/// Light of an encoded value, near enough for any camera's curve.
fn linear(encoded: f64) -> f64 {
    encoded.max(0.0).powf(2.2)
}
