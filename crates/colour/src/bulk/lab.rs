//! Linear RGB or XYZ to CIELAB, and back.

use std::sync::LazyLock;

use nalgebra::Matrix3;
use wide::{CmpGt, f32x8, i32x8};

use super::planes::{LANES, Lanes, load, store};
use crate::{rgb, white};

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
            store(self.lanes(load(from)), to);
        }
    }

    /// Lab of each pixel of 8-bit sRGB.
    ///
    /// # Source
    /// IEC 61966-2-1:1999, 5.2; CIE 15:2004, 8.2.1.
    pub fn lab_from_srgb8(&self, codes: &[[u8; 3]], lab: &mut [[f32; 3]]) {
        for (from, to) in codes.chunks(LANES).zip(lab.chunks_mut(LANES)) {
            store(self.lanes(load_codes(from)), to);
        }
    }

    /// Lab of eight colours.
    ///
    /// # Source
    /// CIE 15:2004, 8.2.1.
    #[inline]
    pub fn lanes(&self, [r, g, b]: Lanes) -> Lanes {
        let root = |[kr, kg, kb]: [f32; 3]| {
            let t = r * f32x8::splat(kr) + g * f32x8::splat(kg) + b * f32x8::splat(kb);
            let line = t * f32x8::splat(LINE.1) + f32x8::splat(LINE.2);
            t.cmp_gt(f32x8::splat(LINE.0)).blend(cube_root(t), line)
        };
        let f = [root(self.rows[0]), root(self.rows[1]), root(self.rows[2])];
        let scaled = |value: f32x8, by: f32| value * f32x8::splat(by);
        [scaled(f[1], 116.0) - f32x8::splat(16.0), scaled(f[0] - f[1], 500.0), scaled(f[1] - f[2], 200.0)]
    }
}

/// XYZ over that of white (D50), of eight Lab colours: what [`ToLab`] turns round.
///
/// # Source
/// CIE 15:2004, 8.2.1, inverted.
#[inline]
pub fn xyz_over_white([l, a, b]: Lanes) -> Lanes {
    let k = f32x8::splat;
    let y = (l + k(16.0)) * k(1.0 / 116.0);
    let cube = |f: f32x8| {
        let line = (f - k(LINE.2)) * k(1.0 / LINE.1);
        f.cmp_gt(k(6.0 / 29.0)).blend(f * f * f, line)
    };
    [cube(y + a * k(1.0 / 500.0)), cube(y), cube(y - b * k(1.0 / 200.0))]
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
pub(super) fn load_codes(from: &[[u8; 3]]) -> Lanes {
    let linear = &*LINEAR_FROM_CODE;
    let mut planes = [[0f32; LANES]; 3];
    for (at, pixel) in from.iter().take(LANES).enumerate() {
        for channel in 0..3 {
            planes[channel][at] = linear[usize::from(pixel[channel])];
        }
    }
    planes.map(f32x8::from)
}
