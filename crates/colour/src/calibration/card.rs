//! The card's side of a fit: reference colours of one edition, how residuals of its patches hang together, weights.

use nalgebra::{DMatrix, Matrix3, Vector3};

use crate::metric::metric_root;
use crate::{Lab, lch_from_lab};

/// Range of the kernel over colours, in ΔE*ab.
const COLOUR_RANGE: f64 = 25.0;
/// Range of the kernel over the card, in patch pitches.
const CARD_RANGE_PITCHES: f64 = 1.2;
/// Variance of residuals alike in colour, relative to the patch's own noise.
const COLOUR_SHARE: f64 = 1.0;
/// Variance of residuals shared by neighbours on the card, relative to the patch's own noise.
const CARD_SHARE: f64 = 0.5;
/// Weight of a black patch: little light, most of it flare.
const BLACK_WEIGHT: f64 = 0.3;
/// A black patch: below this lightness and chroma.
const BLACK_BELOW: (f64, f64) = (25.0, 8.0);

/// One edition of the card.
#[derive(Debug, Clone)]
pub(super) struct Reference {
    pub(super) lab: Vec<Vector3<f64>>,
    /// Root of the local CIEDE2000 metric at each patch.
    pub(super) root: Vec<Matrix3<f64>>,
    /// Root of each patch's weight.
    pub(super) weight_root: Vec<f64>,
}

impl Reference {
    pub(super) fn new(lab: &[Lab]) -> Self {
        let weight = |l: &Lab| {
            let (lightness, chroma, _) = lch_from_lab(*l);
            if lightness < BLACK_BELOW.0 && chroma < BLACK_BELOW.1 { BLACK_WEIGHT } else { 1.0 }
        };
        Self {
            lab: lab.iter().map(|l| vector(*l)).collect(),
            root: lab.iter().map(|l| metric_root(*l)).collect(),
            weight_root: lab.iter().map(|l| weight(l).sqrt()).collect(),
        }
    }

    /// Correlated part of the residual at a colour with that at each of `patches`; with a place on the card also the
    /// part neighbours share.
    pub(super) fn kernel_to(
        &self,
        lab: &Vector3<f64>,
        pitch_place: Option<[f64; 2]>,
        patches: &[usize],
        pitches: &[[f64; 2]],
    ) -> Vec<f64> {
        let part = |&p: &usize| {
            let near = pitch_place.map_or(0.0, |at| CARD_SHARE * card_kernel(at, pitches[p]));
            COLOUR_SHARE * colour_kernel(lab, &self.lab[p]) + near
        };
        patches.iter().map(part).collect()
    }

    /// K of the given patches: own noise, likeness in colour, nearness on the card.
    pub(super) fn kernel(&self, patches: &[usize], pitches: &[[f64; 2]]) -> DMatrix<f64> {
        DMatrix::from_fn(patches.len(), patches.len(), |i, j| {
            let (p, q) = (patches[i], patches[j]);
            let own = if i == j { 1.0 } else { 0.0 };
            own + COLOUR_SHARE * colour_kernel(&self.lab[p], &self.lab[q])
                + CARD_SHARE * card_kernel(pitches[p], pitches[q])
        })
    }
}

/// exp(−d²/(2·25²)) over the distance in Lab.
pub(super) fn colour_kernel(a: &Vector3<f64>, b: &Vector3<f64>) -> f64 {
    (-(a - b).norm_squared() / (2.0 * COLOUR_RANGE * COLOUR_RANGE)).exp()
}

/// exp(−d²/(2·1.2²)) over the distance in patch pitches.
fn card_kernel(a: [f64; 2], b: [f64; 2]) -> f64 {
    let d2 = (a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2);
    (-d2 / (2.0 * CARD_RANGE_PITCHES * CARD_RANGE_PITCHES)).exp()
}

/// Lab as a vector.
pub(super) fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}

/// A vector as Lab.
pub(super) fn lab(v: &Vector3<f64>) -> Lab {
    Lab::new(v.x, v.y, v.z)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source of the values: the formula of the module in numpy 2.4.6.
    #[test]
    fn kernel_agrees_with_numpy() {
        let card = Reference::new(&[Lab::new(50.0, 0.0, 0.0), Lab::new(60.0, 10.0, 20.0), Lab::new(38.0, 14.0, -30.0)]);
        let k = card.kernel(&[0, 1, 2], &[[0.0, 0.0], [1.0, 0.0], [3.0, 2.0]]);
        let want = [[2.5, 0.97210753, 0.37631217], [0.97210753, 2.5, 0.12180622], [0.37631217, 0.12180622, 2.5]];
        for i in 0..3 {
            for j in 0..3 {
                assert!((k[(i, j)] - want[i][j]).abs() < 1e-8, "{i} {j} {}", k[(i, j)]);
            }
        }
    }

    #[test]
    fn only_black_weighs_less() {
        let card = Reference::new(&[
            Lab::new(20.5, 0.1, -0.5),
            Lab::new(28.0, 15.0, -50.0),
            Lab::new(36.0, 0.0, 0.0),
            Lab::new(20.5, 18.0, -6.0),
        ]);
        let weights: Vec<f64> = card.weight_root.iter().map(|w| (w * w * 10.0).round() / 10.0).collect();
        assert_eq!(weights, [0.3, 1.0, 1.0, 1.0]);
    }
}
