//! The laws in single precision, eight draws at a time.
//!
//! A prediction is 512 draws of one or more steps, and a ranking some hundreds of predictions. What is learned, and every
//! slope, comes from the same laws in `f64`; the test holds one against the other.

use std::sync::LazyLock;

use colour::bulk::{Lanes, ToLab, xyz_over_white};
use nalgebra::Matrix3;
use wide::{CmpGt, CmpLt, f32x8};

use super::{Law, space};

/// From channels to CIELAB, and the matrix from XYZ over white to channels.
static SPACE: LazyLock<(ToLab, [[f32; 3]; 3])> = LazyLock::new(|| {
    let over_white = space::rgb_from_xyz() * Matrix3::from_diagonal(&colour::white::D50);
    let rows = [0, 1, 2].map(|row| [0, 1, 2].map(|column| over_white[(row, column)] as f32));
    (ToLab::new(&space::xyz_from_rgb()), rows)
});

/// The three reflectances of eight colours.
#[inline]
pub(crate) fn channels_from_lab(lab: Lanes) -> Lanes {
    let [x, y, z] = xyz_over_white(lab);
    let channel = |[by_x, by_y, by_z]: [f32; 3]| {
        within_channel(x * f32x8::splat(by_x) + y * f32x8::splat(by_y) + z * f32x8::splat(by_z))
    };
    [channel(SPACE.1[0]), channel(SPACE.1[1]), channel(SPACE.1[2])]
}

/// The colours of eight times three reflectances.
#[inline]
pub(crate) fn lab_from_channels(channels: Lanes) -> Lanes {
    SPACE.0.lanes(channels)
}

impl Law {
    /// The constant of the law, as [`Law::channel_lanes`] takes it: σ of what hides, the floor of a factor; else 0.
    pub(crate) fn constant(self) -> f64 {
        match self {
            Self::Hiding { hiding } | Self::Film { hiding } => hiding / (1.0 - hiding),
            Self::Factor { floor } => floor,
            Self::Log | Self::RootKs | Self::Ks => 0.0,
        }
    }

    /// Reflectance of one channel after the step, as [`Law::channel`], for eight draws of reflectance `r` before it,
    /// effect `e` and strength `s`; each has a constant of its own, whatever that of `self` is.
    #[inline]
    pub(crate) fn channel_lanes(self, constant: f32x8, [r, e, s]: Lanes) -> f32x8 {
        let k = f32x8::splat;
        let taken = s * e;
        within_channel(match self {
            Self::Log => r * (-taken).exp(),
            Self::RootKs => {
                let root = (ks(r).sqrt() + taken * k(0.5)).fast_max(f32x8::ZERO);
                r_of(root * root)
            }
            Self::Ks => r_of(ks(r) + taken),
            Self::Hiding { .. } => r_of((ks(r) + taken) / (f32x8::ONE + s * constant)),
            Self::Film { .. } => film(r, e, constant, s),
            Self::Factor { .. } => {
                let q = ks(r);
                let taken = taken.fast_max(k(-40.0)).fast_min(k(40.0));
                q.cmp_gt(constant).blend(r_of(constant + (q - constant) * taken.exp()), r)
            }
        })
    }
}

#[inline]
fn within_channel(r: f32x8) -> f32x8 {
    // A number that is none becomes the darkest there is.
    r.fast_max(f32x8::splat(space::DARKEST as f32)).fast_min(f32x8::splat(space::LIGHTEST as f32))
}

/// As [`super::ks_from_r`].
#[inline]
fn ks(r: f32x8) -> f32x8 {
    let absorbed = f32x8::ONE - r;
    absorbed * absorbed / (r + r)
}

/// As [`super::r_from_ks`].
#[inline]
fn r_of(q: f32x8) -> f32x8 {
    let q = q.fast_max(f32x8::ZERO);
    f32x8::ONE / (f32x8::ONE + q + (q * (q + f32x8::splat(2.0))).sqrt())
}

/// As [`super::film`]: absorption `k` and scattering `s` > 0 per unit of thickness, thickness `x`.
///
/// # Source
/// Kubelka (1948), JOSA 38:448–457; z·coth z and z·cot z by their common series (Abramowitz and Stegun 1964, 4.5.67 and
/// 4.3.70) up to |z²| = 0.1, where the first term left out is 2e-8.
#[inline]
fn film(ground: f32x8, k: f32x8, s: f32x8, x: f32x8) -> f32x8 {
    let n = f32x8::splat;
    let thin = ground * (-(k + k) * x).exp();
    let sx = s * x;
    let sx_safe = sx.fast_max(n(1e-12));
    let a = f32x8::ONE + k / s;
    let b2 = a * a - f32x8::ONE;
    let z2 = b2 * sx * sx;
    let series = f32x8::ONE + z2 * (n(1.0 / 3.0) - z2 * (n(1.0 / 45.0) - z2 * (n(2.0 / 945.0) - z2 * n(1.0 / 4725.0))));
    let b = b2.abs().sqrt();
    let z = b * sx;
    // coth z = 1 + 2 / (exp 2z − 1)
    let coth = f32x8::ONE + n(2.0) / ((z + z).fast_min(n(80.0)).exp() - f32x8::ONE).fast_max(n(1e-12));
    let mut b_coth = z2.abs().cmp_lt(n(0.1)).blend(series / sx_safe, b * coth);
    let gives_out = z2.cmp_lt(n(-0.1));
    let mut all = f32x8::ZERO.cmp_gt(f32x8::ONE);
    if gives_out.any() {
        b_coth = gives_out.blend(b / z.tan(), b_coth);
        all = gives_out & (z.cmp_gt(n(std::f32::consts::PI)));
    }
    let below = a - ground + b_coth;
    let film = (f32x8::ONE - ground * (a - b_coth)) / below;
    let film = (all | below.cmp_lt(n(1e-9))).blend(f32x8::ONE, film);
    sx.cmp_gt(n(1e-6)).blend(film, thin)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::laws::Family;
    use colour::Lab;

    /// Against the laws in f64, which have their own published checks: woods from dark to pale, effects and strengths from
    /// none to strong, bleaching ones among them.
    #[test]
    fn lanes_agree_with_f64() {
        let laws = [Family::Colourant, Family::Change, Family::Coat].map(Family::laws).concat();
        for (law, _) in laws {
            for before in [[22.0, 6.0, 8.0], [45.0, 15.0, 26.0], [66.0, 9.0, 23.0], [84.0, 3.0, 17.0], [97.0, 0.0, 2.0]]
            {
                let before = Lab::new(before[0], before[1], before[2]);
                for effect in
                    [[0.0; 3], [0.3, 0.5, 0.9], [-0.2, -0.3, -0.5], [3.0, 4.0, 6.0], [0.02, 0.01, 0.4], [-2.0; 3]]
                {
                    for s in [0.0, 1e-7, 1e-3, 0.05, 0.3, 1.0, 2.5, 9.0] {
                        let exact = law.lab(before, effect, s);
                        let r = channels_from_lab([before.l, before.a, before.b].map(|v| f32x8::splat(v as f32)));
                        let after = [0, 1, 2].map(|at| {
                            let given = [r[at], f32x8::splat(effect[at] as f32), f32x8::splat(s as f32)];
                            law.channel_lanes(f32x8::splat(law.constant() as f32), given)
                        });
                        let [l, a, b] = lab_from_channels(after).map(|lanes| f64::from(lanes.to_array()[3]));
                        let off = (l - exact.l).abs().max((a - exact.a).abs()).max((b - exact.b).abs());
                        assert!(off < 0.02, "{law:?} {effect:?} × {s} on {before:?}: {l} {a} {b}, not {exact:?}");
                    }
                }
            }
        }
    }
}
