//! Fast kernels for pictures: CIELAB and ΔE2000 of many pixels, in single precision, eight pixels at a time.
//!
//! For what is shown and for statistics over many pixels; a colour that is stored comes from the `f64` functions. The
//! largest error against them is 1.5e-4 in Lab (140,608 codes of sRGB) and 3.9e-4 in ΔE2000 (137,172 pairs over the whole
//! of Lab), except where the hues of the two colours are opposite within 0.001 radians: there CIEDE2000 itself jumps.
//!
//! They run on one thread: divide a picture among threads by its rows.

use std::sync::LazyLock;

use nalgebra::Matrix3;
use wide::{CmpGt, CmpLt, f32x8, i32x8};

use crate::{Lab, rgb, white};

/// Pixels worked on together.
const LANES: usize = 8;
/// 25⁷ of CIEDE2000.
const C25: f32 = 6_103_515_625.0;
/// 1 − cos of the angle to 275° above which Δθ is below 2e-5 degrees.
const FAR_FROM_BLUE: f32 = 1.2;
/// Where the cube root of CIELAB gives way to a straight line, and the line's slope and offset.
///
/// # Source
/// CIE 15:2004, 8.2.1: (6/29)³, (29/6)²/3, 4/29.
const LINE: (f32, f32, f32) = (216.0 / 24389.0, 24389.0 / (27.0 * 116.0), 16.0 / 116.0);

static LINEAR_FROM_CODE: LazyLock<[f32; 256]> =
    LazyLock::new(|| std::array::from_fn(|code| rgb::linear_from_srgb(code as f64 / 255.0) as f32));

/// From linear RGB of some primaries to CIELAB (D50).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToLab {
    /// Rows of the matrix to XYZ over white.
    rows: [[f32; 3]; 3],
}

impl ToLab {
    /// For linear RGB of primaries with this matrix to XYZ (D50, Y = 1 for white); the unit matrix takes XYZ itself.
    pub fn new(xyz_from_rgb: &Matrix3<f64>) -> Self {
        let over_white = Matrix3::from_diagonal(&white::D50.map(|value| 1.0 / value)) * xyz_from_rgb;
        Self { rows: [0, 1, 2].map(|row| [0, 1, 2].map(|column| over_white[(row, column)] as f32)) }
    }

    /// For linear sRGB.
    pub fn srgb() -> Self {
        Self::new(&rgb::xyz_from_linear_srgb_matrix())
    }

    /// Lab of each pixel; as many as both slices have.
    ///
    /// # Source
    /// CIE 15:2004, 8.2.1.
    pub fn lab(&self, linear_rgb: &[[f32; 3]], lab: &mut [[f32; 3]]) {
        for (from, to) in linear_rgb.chunks(LANES).zip(lab.chunks_mut(LANES)) {
            store(self.of(load(from)), to);
        }
    }

    /// Lab of each pixel of 8-bit sRGB.
    ///
    /// # Source
    /// IEC 61966-2-1:1999, 5.2; CIE 15:2004, 8.2.1.
    pub fn lab_from_srgb8(&self, codes: &[[u8; 3]], lab: &mut [[f32; 3]]) {
        for (from, to) in codes.chunks(LANES).zip(lab.chunks_mut(LANES)) {
            store(self.of(load_codes(from)), to);
        }
    }

    #[inline]
    fn of(&self, [r, g, b]: [f32x8; 3]) -> [f32x8; 3] {
        let f = self.rows.map(|[kr, kg, kb]| {
            let t = r * f32x8::splat(kr) + g * f32x8::splat(kg) + b * f32x8::splat(kb);
            let line = t * f32x8::splat(LINE.1) + f32x8::splat(LINE.2);
            t.cmp_gt(f32x8::splat(LINE.0)).blend(cube_root(t), line)
        });
        let scaled = |value: f32x8, by: f32| value * f32x8::splat(by);
        [scaled(f[1], 116.0) - f32x8::splat(16.0), scaled(f[0] - f[1], 500.0), scaled(f[1] - f[2], 200.0)]
    }
}

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
            to.copy_from_slice(&self.of(load(from)).to_array()[..to.len()]);
        }
    }

    /// ΔE2000 of each pixel of linear RGB.
    pub fn de2000_from_linear(&self, to_lab: &ToLab, linear_rgb: &[[f32; 3]], de00: &mut [f32]) {
        for (from, to) in linear_rgb.chunks(LANES).zip(de00.chunks_mut(LANES)) {
            to.copy_from_slice(&self.of(to_lab.of(load(from))).to_array()[..to.len()]);
        }
    }

    /// ΔE2000 of each pixel of 8-bit sRGB.
    pub fn de2000_from_srgb8(&self, to_lab: &ToLab, codes: &[[u8; 3]], de00: &mut [f32]) {
        for (from, to) in codes.chunks(LANES).zip(de00.chunks_mut(LANES)) {
            to.copy_from_slice(&self.of(to_lab.of(load_codes(from))).to_array()[..to.len()]);
        }
    }

    /// The mean hue is the bisector of (a′, b) and its fellow, each scaled by the other's chroma, so no angle is ever
    /// formed: its multiples come from the sine and cosine by the addition theorems, Δθ from the squared angle to 275°
    /// as a series in 1 − cos. ΔH′² = 2(C′₁C′₂ − dot), and where that would cancel, 2 cross / |bisector| in its place.
    #[inline]
    fn of(&self, [l, a, b]: [f32x8; 3]) -> f32x8 {
        let k = f32x8::splat;
        let stretch = k(1.5) - k(0.5) * seventh_share(((a * a + b * b).sqrt() + k(self.chroma)) * k(0.5));
        let (a1, a2, b2) = (stretch * a, stretch * k(self.a), k(self.b));
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
        let (dl, dc, dh) = (k(self.l) - l, c2 - c1, dh_squared.fast_max(k(0.0)).sqrt().copysign(cross));

        let (cos2, sin2) = (k(2.0) * cos * cos - k(1.0), k(2.0) * sin * cos);
        let (cos3, sin3) = (cos * cos2 - sin * sin2, sin * cos2 + cos * sin2);
        let (cos4, sin4) = (k(2.0) * cos2 * cos2 - k(1.0), k(2.0) * sin2 * cos2);
        // cos(nh + φ) = cos nh cos φ − sin nh sin φ, with φ = −30°, 0, 6° and −63°, times the weights of T.
        let t = k(1.0) - (k(0.147_224_32) * cos + k(0.085) * sin)
            + k(0.24) * cos2
            + (k(0.318_247) * cos3 - k(0.033_449_11) * sin3)
            - (k(0.090_798_1) * cos4 + k(0.178_201_3) * sin4);
        let l_mean = (l + k(self.l)) * k(0.5) - k(50.0);
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

/// Cube root of positive, normal numbers: a guess of the inverse root from the exponent, two steps of fourth order.
///
/// # Source
/// Moroz et al. (2021), Fast calculation of cube root and inverse cube root, DOI 10.3390/en14041058 (the guess, within
/// 3.5 %); the step is the binomial series of (1 − h)^−⅓, h = 1 − t r³.
#[inline]
fn cube_root(t: f32x8) -> f32x8 {
    let k = f32x8::splat;
    let bits = i32x8::from(t.to_array().map(|value| value.to_bits() as i32));
    let third = (f32x8::from_i32x8(bits) * k(1.0 / 3.0)).fast_round_int();
    let guess = i32x8::splat(0x54a2_1d2a) - third;
    let mut r = f32x8::from(guess.to_array().map(|bits| f32::from_bits(bits as u32)));
    for _ in 0..2 {
        let h = k(1.0) - t * r * r * r;
        r += r * h * (k(1.0 / 3.0) + h * (k(2.0 / 9.0) + h * k(14.0 / 81.0)));
    }
    t * r * r
}

#[inline]
fn load(from: &[[f32; 3]]) -> [f32x8; 3] {
    let mut planes = [[0f32; LANES]; 3];
    for (at, pixel) in from.iter().take(LANES).enumerate() {
        for channel in 0..3 {
            planes[channel][at] = pixel[channel];
        }
    }
    planes.map(f32x8::from)
}

#[inline]
fn load_codes(from: &[[u8; 3]]) -> [f32x8; 3] {
    let linear = &*LINEAR_FROM_CODE;
    let mut planes = [[0f32; LANES]; 3];
    for (at, pixel) in from.iter().take(LANES).enumerate() {
        for channel in 0..3 {
            planes[channel][at] = linear[usize::from(pixel[channel])];
        }
    }
    planes.map(f32x8::from)
}

#[inline]
fn store(planes: [f32x8; 3], to: &mut [[f32; 3]]) {
    let planes = planes.map(f32x8::to_array);
    for (at, pixel) in to.iter_mut().enumerate() {
        *pixel = [planes[0][at], planes[1][at], planes[2][at]];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Xyz, de2000, lab_from_xyz};

    /// Most a Lab component of a colour in 0..100 may be off.
    const LAB: f64 = 2e-4;
    /// Most a ΔE2000 may be off, unless the hues are opposite within [`OPPOSITE`] radians.
    const DE00: f64 = 1e-3;
    const OPPOSITE: f64 = 1e-3;

    fn off(found: [f32; 3], lab: Lab) -> f64 {
        let [l, a, b] = found.map(f64::from);
        (l - lab.l).abs().max((a - lab.a).abs()).max((b - lab.b).abs())
    }

    /// Every fifth code of each channel, 140,608 colours, against the f64 functions.
    #[test]
    fn srgb_to_lab_agrees_with_f64() {
        let steps = || (0..=255u8).step_by(5);
        let codes: Vec<[u8; 3]> =
            steps().flat_map(|r| steps().flat_map(move |g| steps().map(move |b| [r, g, b]))).collect();
        let mut lab = vec![[0f32; 3]; codes.len()];
        ToLab::srgb().lab_from_srgb8(&codes, &mut lab);
        let worst = codes.iter().zip(&lab).map(|(code, lab)| off(*lab, rgb::lab_from_srgb8(*code))).fold(0.0, f64::max);
        assert!(worst < LAB, "{worst}");
    }

    /// XYZ from a millionth of white to above white, and below zero: the line and the root, and where they meet.
    #[test]
    fn xyz_to_lab_agrees_with_f64() {
        let levels: Vec<f64> = (0..200).map(|k| 1e-6 * 10f64.powf(f64::from(k) / 32.0)).chain([-0.01, 0.0]).collect();
        let xyz: Vec<[f32; 3]> = levels
            .iter()
            .enumerate()
            .map(|(k, y)| [levels[(k * 7) % 202], *y, levels[(k * 13) % 202]].map(|v| v as f32))
            .collect();
        let mut lab = vec![[0f32; 3]; xyz.len()];
        ToLab::new(&Matrix3::identity()).lab(&xyz, &mut lab);
        for (xyz, lab) in xyz.iter().zip(&lab) {
            let [x, y, z] = xyz.map(f64::from);
            let exact = lab_from_xyz(Xyz::new(x, y, z));
            // a* is 500 times a difference of roots as large as the colour itself: f32 keeps seven digits of each.
            let room = LAB * (1.0 + (exact.l.abs() + exact.a.abs() + exact.b.abs()) / 200.0);
            assert!(off(*lab, exact) < room, "{xyz:?}: {lab:?}, {exact:?}");
        }
    }

    /// Hues opposite within [`OPPOSITE`], by the stretched a′ that the formula compares.
    fn opposite(first: Lab, second: Lab) -> bool {
        let c_mean7 = ((first.a.hypot(first.b) + second.a.hypot(second.b)) / 2.0).powi(7);
        let stretch = 1.5 - 0.5 * (c_mean7 / (c_mean7 + 25f64.powi(7))).sqrt();
        let (a1, a2) = (stretch * first.a, stretch * second.a);
        let (cross, dot) = (a1 * second.b - first.b * a2, a1 * a2 + first.b * second.b);
        dot < 0.0 && cross.abs() <= OPPOSITE * dot.abs()
    }

    /// A grid of Lab against colours of wood, of paint and near grey: ours in f64 is checked by Sharma's pairs elsewhere.
    #[test]
    fn de2000_agrees_with_f64() {
        let grid: Vec<[f32; 3]> = (0..=20)
            .flat_map(|l| {
                (-16..=16).flat_map(move |a| (-16..=16).map(move |b| [l as f32 * 5.0, a as f32 * 7.3, b as f32 * 7.1]))
            })
            .collect();
        let (mut worst, mut left_out, mut count) = (0f64, 0, 0);
        for to in [
            [52.0, 12.0, 26.0],
            [71.0, 6.0, 19.0],
            [30.0, 1.0, -1.0],
            [50.0, 0.0, 0.0],
            [38.0, 28.0, -60.0],
            [80.0, -30.0, 5.0],
        ] {
            let to = Lab::new(to[0], to[1], to[2]);
            let mut found = vec![0f32; grid.len()];
            De2000To::new(to).de2000(&grid, &mut found);
            for (pixel, found) in grid.iter().zip(found) {
                let [l, a, b] = pixel.map(f64::from);
                let pixel = Lab::new(l, a, b);
                count += 1;
                if opposite(pixel, to) {
                    left_out += 1;
                } else {
                    worst = worst.max((f64::from(found) - de2000(pixel, to)).abs());
                }
            }
        }
        assert!(worst < DE00, "{worst}");
        // Left out are lines of the grid, no volume of it.
        assert!(left_out * 100 < count, "{left_out} of {count}");
    }

    /// The published pairs themselves; 10 and 14 have hues exactly opposite, where rounding decides.
    ///
    /// # Source
    /// Sharma, Wu, Dalal (2005), Table 1, pairs 1, 7, 17, 21, 25, 28, 30 and 34.
    #[test]
    fn published_pairs() {
        let pairs = [
            ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
            ([50.0, 0.0, 0.0], [50.0, -1.0, 2.0], 2.3669),
            ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
            ([50.0, 2.5, 0.0], [50.0, 3.1736, 0.5854], 1.0),
            ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
            ([22.7233, 20.0904, -46.694], [23.0331, 14.973, -42.5619], 2.0373),
            ([90.8027, -2.0831, 1.441], [91.1528, -1.6435, 0.0447], 1.4441),
            ([2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082),
        ];
        for (first, [l, a, b], published) in pairs {
            let mut found = [0f32];
            De2000To::new(Lab::new(l, a, b)).de2000(&[first], &mut found);
            assert!((f64::from(found[0]) - published).abs() < DE00, "{first:?}: {}, published {published}", found[0]);
        }
    }

    #[test]
    fn pixels_may_be_any_number_and_no_number() {
        let to = De2000To::new(Lab::new(50.0, 10.0, 20.0));
        let pixel = [50.0, 10.0, 20.0];
        let mut found = [9f32; 11];
        to.de2000(&[pixel; 11], &mut found);
        assert!(found.iter().all(|de00| *de00 < 1e-3), "{found:?}");
        to.de2000(&[[f32::NAN; 3], pixel], &mut found[..2]);
        assert!(found[0].is_nan() && !found[1].is_nan());
        to.de2000(&[], &mut []);
        let (mut fused, mut lab, mut apart) = ([0f32; 1], [[0f32; 3]; 1], [0f32; 1]);
        to.de2000_from_srgb8(&ToLab::srgb(), &[[120, 90, 60]], &mut fused);
        ToLab::srgb().lab_from_srgb8(&[[120, 90, 60]], &mut lab);
        to.de2000(&lab, &mut apart);
        assert_eq!(fused, apart);
    }
}
