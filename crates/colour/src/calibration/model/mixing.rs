//! From the channels' light to Lab: mixing, root-polynomial terms, and CIELAB, with their derivatives.

use nalgebra::{Matrix3, Vector3};

use super::{MIX, ROOT, Theta};
use crate::white::D50;

/// Below this a channel takes no part in the root terms: light too weak to tell from flare.
const ROOT_FLOOR: f64 = 1e-4;

/// The two other channels of each output, in the order of the mixing parameters.
pub(super) const OTHERS: [[usize; 2]; 3] = [[1, 2], [0, 2], [0, 1]];
/// The pairs of channels of the root terms.
pub(super) const PAIRS: [[usize; 2]; 3] = [[0, 1], [1, 2], [0, 2]];

/// √(x_p x_q) less the mean of the two: zero for a neutral.
pub(super) fn root_term(x: &Vector3<f64>, p: usize, q: usize) -> f64 {
    let (xp, xq) = (x[p].max(ROOT_FLOOR), x[q].max(ROOT_FLOOR));
    (xp * xq).sqrt() - (xp + xq) / 2.0
}

/// Mixing and root-polynomial terms, with derivatives.
pub(super) fn mix(theta: &Theta, x: &Vector3<f64>) -> (Vector3<f64>, Matrix3<f64>) {
    let mut out = *x;
    let mut by = Matrix3::identity();
    for i in 0..3 {
        for (k, &j) in OTHERS[i].iter().enumerate() {
            let a = theta[MIX + 2 * i + k];
            out[i] += a * (x[j] - x[i]);
            by[(i, j)] += a;
            by[(i, i)] -= a;
        }
        for (k, &[p, q]) in PAIRS.iter().enumerate() {
            let c = theta[ROOT + 3 * i + k];
            out[i] += c * root_term(x, p, q);
            let (xp, xq) = (x[p].max(ROOT_FLOOR), x[q].max(ROOT_FLOOR));
            if x[p] > ROOT_FLOOR {
                by[(i, p)] += c * ((xq / xp).sqrt() - 1.0) / 2.0;
            }
            if x[q] > ROOT_FLOOR {
                by[(i, q)] += c * ((xp / xq).sqrt() - 1.0) / 2.0;
            }
        }
    }
    (out, by)
}

/// Lab of an XYZ (D50) and its derivatives.
///
/// # Source
/// CIE 15:2004, 8.2.1, with the exact rational constants.
pub(super) fn lab_and_slope(xyz: &Vector3<f64>) -> (Vector3<f64>, Matrix3<f64>) {
    const EPSILON: f64 = 216.0 / 24389.0;
    const KAPPA: f64 = 24389.0 / 27.0;
    let mut f = [0.0; 3];
    let mut d = [0.0; 3];
    for k in 0..3 {
        let t = xyz[k] / D50[k];
        (f[k], d[k]) = if t > EPSILON {
            let root = t.cbrt();
            (root, 1.0 / (3.0 * root * root * D50[k]))
        } else {
            ((KAPPA * t + 16.0) / 116.0, KAPPA / 116.0 / D50[k])
        };
    }
    let lab = Vector3::new(116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2]));
    let slope =
        Matrix3::new(0.0, 116.0 * d[1], 0.0, 500.0 * d[0], -500.0 * d[1], 0.0, 0.0, 200.0 * d[1], -200.0 * d[2]);
    (lab, slope)
}
