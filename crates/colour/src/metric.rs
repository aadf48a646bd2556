//! CIEDE2000 as a local metric: how a small step in Lab is measured at one colour.

use crate::Lab;
use nalgebra::{Matrix2, Matrix3, Vector3};

/// The matrix G at `lab` for which ΔE2000² ≈ dᵀ G d, for a small step d = (ΔL*, Δa*, Δb*).
///
/// G is symmetric and positive definite everywhere (|R_T| < 1.74, so the chroma–hue block has a positive determinant),
/// and continuous, also at the neutral axis, where it is diag(1/S_L², 2.25, 1). Relative error against the full formula
/// grows linearly with the step: under 2 % of ΔE up to ΔE 1 for the colours of wood.
///
/// # Source
/// The first-order expansion of ISO/CIE 11664-6:2014 about equal colours: the means of L*, C′, h′ become those of the
/// colour itself, and ΔC′, ΔH′ the step along and across the hue.
pub fn metric(lab: Lab) -> Matrix3<f64> {
    let (l, block) = parts(lab);
    join(l, block)
}

/// The symmetric positive definite root of [`metric`]: R with R R = G, so that ΔE2000 ≈ |R d|.
///
/// Being symmetric, its axes keep near those of Lab, so residuals of different colours may be compared axis by axis.
///
/// # Source
/// Closed form of the 2×2 root by Cayley–Hamilton: √M = (M + √det M · I)/√(tr M + 2√det M).
pub fn metric_root(lab: Lab) -> Matrix3<f64> {
    let (l, block) = parts(lab);
    let det = block.determinant().sqrt();
    join(l.sqrt(), (block + Matrix2::identity() * det) / (block.trace() + 2.0 * det).sqrt())
}

/// Length of the step `d` = (ΔL*, Δa*, Δb*) in the metric at `lab`: ΔE2000 to first order.
///
/// # Source
/// As [`metric`].
pub fn length(lab: Lab, d: Vector3<f64>) -> f64 {
    (metric_root(lab) * d).norm()
}

fn join(l: f64, block: Matrix2<f64>) -> Matrix3<f64> {
    Matrix3::new(l, 0.0, 0.0, 0.0, block.m11, block.m12, 0.0, block.m21, block.m22)
}

/// The lightness term and the (a*, b*) block of G.
fn parts(lab: Lab) -> (f64, Matrix2<f64>) {
    let c7 = lab.a.hypot(lab.b).powi(7);
    let g = 0.5 * (1.0 - (c7 / (c7 + 25f64.powi(7))).sqrt());
    let stretch = 1.0 + g;
    let a = stretch * lab.a;
    let c = a.hypot(lab.b);
    // At the neutral axis S_C = S_H = 1 and R_T = 0: the block is isotropic and any direction of hue serves.
    let (cos_h, sin_h) = if c == 0.0 { (1.0, 0.0) } else { (a / c, lab.b / c) };
    let h = lab.b.atan2(a).to_degrees().rem_euclid(360.0);
    let cos = |deg: f64| deg.to_radians().cos();
    let t = 1.0 - 0.17 * cos(h - 30.0) + 0.24 * cos(2.0 * h) + 0.32 * cos(3.0 * h + 6.0) - 0.20 * cos(4.0 * h - 63.0);
    let dtheta = 30.0 * (-((h - 275.0) / 25.0).powi(2)).exp();
    let c7 = c.powi(7);
    let r_t = -(2.0 * dtheta).to_radians().sin() * 2.0 * (c7 / (c7 + 25f64.powi(7))).sqrt();
    let l50 = (lab.l - 50.0).powi(2);
    let s_l = 1.0 + 0.015 * l50 / (20.0 + l50).sqrt();
    let s_c = 1.0 + 0.045 * c;
    let s_h = 1.0 + 0.015 * c * t;
    // (dC′, dH′) = turn · (da*, db*), the stretch 1 + G of a* included.
    let turn = Matrix2::new(cos_h * stretch, sin_h, -sin_h * stretch, cos_h);
    let form = Matrix2::new(1.0 / (s_c * s_c), r_t / (2.0 * s_c * s_h), r_t / (2.0 * s_c * s_h), 1.0 / (s_h * s_h));
    (1.0 / (s_l * s_l), turn.transpose() * form * turn)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::de2000;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn agrees_with_the_formula_for_small_steps(
            l in 0.0..100.0, a in -90.0..90.0, b in -90.0..90.0,
            dl in -1.0..1.0, da in -1.0..1.0, db in -1.0..1.0,
        ) {
            let step = Vector3::new(dl, da, db);
            prop_assume!(step.norm() > 0.1);
            let eps = 1e-4;
            // Nearer to neutral than a hundred steps the hue of the pair turns by more than first order.
            prop_assume!(f64::hypot(a, b) > 100.0 * eps);
            let at = Lab::new(l, a, b);
            let half = step * (eps / 2.0);
            let full = de2000(Lab::new(l - half.x, a - half.y, b - half.z), Lab::new(l + half.x, a + half.y, b + half.z));
            let local = length(at, step * eps);
            prop_assert!((full / local - 1.0).abs() < 1e-4, "{full} {local}");
        }

        #[test]
        fn root_squares_to_the_metric_and_is_positive(l in 0.0..100.0, a in -120.0..120.0, b in -120.0..120.0) {
            let at = Lab::new(l, a, b);
            let root = metric_root(at);
            prop_assert!((root * root - metric(at)).norm() < 1e-12);
            prop_assert!(metric(at).symmetric_eigenvalues().min() > 0.0);
            prop_assert!(root.symmetric_eigenvalues().min() > 0.0);
        }

        #[test]
        fn is_continuous_at_the_neutral_axis(l in 0.0..100.0, hue in 0.0..std::f64::consts::TAU) {
            let near = metric(Lab::new(l, 1e-7 * hue.cos(), 1e-7 * hue.sin()));
            prop_assert!((near - metric(Lab::new(l, 0.0, 0.0))).norm() < 1e-6);
        }
    }

    #[test]
    fn nan_gives_nan_and_no_panic() {
        assert!(length(Lab::new(f64::NAN, 1.0, 1.0), Vector3::new(1.0, 1.0, 1.0)).is_nan());
        assert!(metric(Lab::new(50.0, f64::NAN, 1.0)).m22.is_nan());
    }
}
