//! CIEDE2000 of many colours.

use wide::{CmpGt, CmpLt, f32x8};

use super::{
    lab::{ToLab, load_codes},
    planes::{LANES, Lanes, Planes, load},
};
use crate::Lab;

/// 25⁷ of CIEDE2000.
const C25: f32 = 6_103_515_625.0;
/// 1 − cos of the angle to 275° above which Δθ is below 2e-5 degrees.
const FAR_FROM_BLUE: f32 = 1.2;

/// ΔE2000 of many colours to one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct De2000To {
    l: f32,
    a: f32,
    b: f32,
    chroma: f32,
}

impl De2000To {
    /// Differences to this colour.
    pub fn new(lab: Lab) -> Self {
        Self { l: lab.l as f32, a: lab.a as f32, b: lab.b as f32, chroma: lab.a.hypot(lab.b) as f32 }
    }

    /// ΔE2000 of each Lab colour.
    ///
    /// # Source
    /// As [`crate::difference::difference`].
    pub fn de2000(&self, lab: &[[f32; 3]], de00: &mut [f32]) {
        for (from, to) in lab.chunks(LANES).zip(de00.chunks_mut(LANES)) {
            to.copy_from_slice(&self.to(load(from)).to_array()[..to.len()]);
        }
    }

    /// ΔE2000 of each pixel of linear RGB.
    pub fn de2000_from_linear(&self, to_lab: &ToLab, linear_rgb: &[[f32; 3]], de00: &mut [f32]) {
        for (from, to) in linear_rgb.chunks(LANES).zip(de00.chunks_mut(LANES)) {
            to.copy_from_slice(&self.to(to_lab.lanes(load(from))).to_array()[..to.len()]);
        }
    }

    /// ΔE2000 of each pixel of 8-bit sRGB.
    pub fn de2000_from_srgb8(&self, to_lab: &ToLab, codes: &[[u8; 3]], de00: &mut [f32]) {
        for (from, to) in codes.chunks(LANES).zip(de00.chunks_mut(LANES)) {
            to.copy_from_slice(&self.to(to_lab.lanes(load_codes(from))).to_array()[..to.len()]);
        }
    }

    #[inline]
    fn to(&self, lab: Lanes) -> f32x8 {
        between(lab, [self.l, self.a, self.b].map(f32x8::splat), f32x8::splat(self.chroma))
    }
}

/// ΔE2000 of the first with the first, the second with the second, and so on; as many as both have.
///
/// # Source
/// As [`crate::difference::difference`].
pub fn de2000_of_pairs(first: &Planes, second: &Planes) -> Vec<f64> {
    let groups = first.groups().iter().zip(second.groups());
    let mut de00: Vec<f64> = groups.flat_map(|(a, b)| de2000_lanes(*a, *b).to_array()).map(f64::from).collect();
    de00.truncate(first.len().min(second.len()));
    de00
}

/// ΔE2000 of eight pairs of Lab colours.
///
/// # Source
/// As [`crate::difference::difference`].
#[inline]
pub fn de2000_lanes(first: Lanes, second: Lanes) -> f32x8 {
    between(first, second, (second[1] * second[1] + second[2] * second[2]).sqrt())
}

/// The mean hue is the bisector of (a′, b) and its fellow, each scaled by the other's chroma, so no angle is ever
/// formed: its multiples come from the sine and cosine by the addition theorems, Δθ from the squared angle to 275°
/// as a series in 1 − cos. ΔH′² = 2(C′₁C′₂ − dot), and where that would cancel, 2 cross / |bisector| in its place.
#[inline]
fn between([l, a, b]: Lanes, [l_to, a_to, b_to]: Lanes, chroma_to: f32x8) -> f32x8 {
    let k = f32x8::splat;
    let stretch = k(1.5) - k(0.5) * seventh_share(((a * a + b * b).sqrt() + chroma_to) * k(0.5));
    let (a1, a2, b2) = (stretch * a, stretch * a_to, b_to);
    let (c1, c2) = ((a1 * a1 + b * b).sqrt(), (a2 * a2 + b2 * b2).sqrt());
    // A neutral has no direction of its own: a trace of chroma lets the other one's stand.
    let (r1, r2) = (c1 + k(1e-12), c2 + k(1e-12));
    let (x, y) = (a1 * r2 + a2 * r1, b * r2 + b2 * r1);
    let over_sum = k(1.0) / (x * x + y * y).fast_max(k(1e-30)).sqrt();
    let (cos, sin) = (x * over_sum, y * over_sum);
    let (dot, cross, product) = (a1 * a2 + b * b2, a1 * b2 - b * a2, c1 * c2);
    let half = cross * over_sum;
    let (narrow, wide) = (k(4.0) * product * half * half, k(2.0) * (product - dot));
    let dh_squared = (k(2.0) * dot + product).cmp_gt(k(0.0)).blend(narrow, wide);
    let (dl, dc, dh) = (l_to - l, c2 - c1, dh_squared.fast_max(k(0.0)).sqrt().copysign(cross));

    let (cos2, sin2) = (k(2.0) * cos * cos - k(1.0), k(2.0) * sin * cos);
    let (cos3, sin3) = (cos * cos2 - sin * sin2, sin * cos2 + cos * sin2);
    let (cos4, sin4) = (k(2.0) * cos2 * cos2 - k(1.0), k(2.0) * sin2 * cos2);
    // cos(nh + φ) = cos nh cos φ − sin nh sin φ, with φ = −30°, 0, 6° and −63°, times the weights of T.
    let t = k(1.0) - (k(0.147_224_32) * cos + k(0.085) * sin)
        + k(0.24) * cos2
        + (k(0.318_247) * cos3 - k(0.033_449_11) * sin3)
        - (k(0.090_798_1) * cos4 + k(0.178_201_3) * sin4);
    let l_mean = (l + l_to) * k(0.5) - k(50.0);
    let l50 = l_mean * l_mean;
    let c_mean = (c1 + c2) * k(0.5);
    // S_L = s_l / root, so that one division serves the three weights.
    let root = (k(20.0) + l50).sqrt();
    let s_l = root + k(0.015) * l50;
    let s_c = k(1.0) + k(0.045) * c_mean;
    let s_h = k(1.0) + k(0.015) * c_mean * t;
    let over = k(1.0) / (s_l * s_c * s_h);
    let (l, c, h) = (dl * root * s_c * s_h * over, dc * s_l * s_h * over, dh * s_l * s_c * over);
    let mut squared = l * l + c * c + h * h;
    // 275°: cos 0.0871557, sin −0.9961947. Far from it, where all of wood lies, Δθ is nothing.
    let u = k(1.0) - (k(0.087_155_74) * cos - k(0.996_194_7) * sin);
    if u.cmp_lt(k(FAR_FROM_BLUE)).any() {
        let u = u.fast_min(k(FAR_FROM_BLUE));
        squared -= sine_of_twice_theta(u) * k(2.0) * seventh_share(c_mean) * c * h;
    }
    // Rounding may leave a tiny negative square; NaN stays NaN.
    squared.abs().sqrt()
}

/// √(c⁷ / (c⁷ + 25⁷)).
#[inline]
fn seventh_share(c: f32x8) -> f32x8 {
    let c2 = c * c;
    let c7 = c2 * c2 * c2 * c;
    (c7 / (c7 + f32x8::splat(C25))).sqrt()
}

/// sin 2Δθ, Δθ = 30° exp(−(δ/25°)²), from u = 1 − cos δ in 0..=1.2; at its end exp is 5e-7.
///
/// # Source
/// δ² = 2 Σ (2u)ⁿ / (n² C(2n, n)), the series of arcsin² (Borwein, Chamberland 2007, DOI 10.1155/2007/19381).
#[inline]
fn sine_of_twice_theta(u: f32x8) -> f32x8 {
    const SERIES: [f32; 7] = [2.0, 1.0 / 3.0, 4.0 / 45.0, 1.0 / 35.0, 16.0 / 1575.0, 8.0 / 2079.0, 32.0 / 21021.0];
    let k = f32x8::splat;
    let squared = SERIES.iter().rev().fold(k(0.0), |sum, &term| (sum + k(term)) * u);
    // −(180/25π)² δ² / 64, then the exponential to the fifth power and six squarings.
    let q = squared * k(-(57.295_78 * 57.295_78) / (625.0 * 64.0));
    let e = k(1.0) + q * (k(1.0) + q * (k(0.5) + q * (k(1.0 / 6.0) + q * (k(1.0 / 24.0) + q * k(1.0 / 120.0)))));
    let e = (0..6).fold(e, |e, _| e * e);
    let angle = e * k(std::f32::consts::FRAC_PI_3);
    let square = angle * angle;
    angle * (k(1.0) - square * (k(1.0 / 6.0) - square * (k(1.0 / 120.0) - square * k(1.0 / 5040.0))))
}
