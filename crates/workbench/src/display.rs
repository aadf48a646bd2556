//! What the screen shows of a colour: sRGB bytes, and crops of wood resampled in linear light.
//!
//! The screen is not the colour standard. A colour outside sRGB is shown as the nearest bytes and marked.

use colour::{Lab, Xyz, lab_from_xyz, xyz_from_lab};

/// XYZ (D50) to linear sRGB, Bradford-adapted.
///
/// # Source
/// Bruce Lindbloom, 'RGB/XYZ Matrices', sRGB, reference white D50: brucelindbloom.com/Eqn_RGB_XYZ_Matrix.html.
const SRGB_FROM_XYZ: [[f64; 3]; 3] =
    [[3.1338561, -1.6168667, -0.4906146], [-0.9787684, 1.9161415, 0.0334540], [0.0719453, -0.2289914, 1.4052427]];

/// Linear sRGB to XYZ (D50): the same source.
const XYZ_FROM_SRGB: [[f64; 3]; 3] =
    [[0.4360747, 0.3850649, 0.1430804], [0.2225045, 0.7168786, 0.0606169], [0.0139322, 0.0971045, 0.7141733]];

/// How far outside 0..=1 a linear channel may lie before the colour is marked: half a code at the dark end.
const GAMUT_SLACK: f64 = 0.002;

/// A colour as the screen can show it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Shown {
    /// sRGB bytes.
    pub rgb: [u8; 3],
    /// True when the colour lies outside sRGB, so that the bytes are only near it.
    pub out_of_gamut: bool,
}

/// A colour as the screen can show it.
pub fn shown(lab: Lab) -> Shown {
    let linear = linear_srgb_from_lab(lab);
    let out_of_gamut = linear.iter().any(|&c| !(-GAMUT_SLACK..=1.0 + GAMUT_SLACK).contains(&c));
    Shown { rgb: linear.map(byte_from_linear), out_of_gamut }
}

/// Linear sRGB of a CIELAB (D50) colour; unbounded.
pub fn linear_srgb_from_lab(lab: Lab) -> [f64; 3] {
    let xyz = xyz_from_lab(lab);
    multiply(&SRGB_FROM_XYZ, [xyz.x, xyz.y, xyz.z])
}

/// CIELAB (D50) of linear sRGB.
pub fn lab_from_linear_srgb(linear: [f64; 3]) -> Lab {
    let [x, y, z] = multiply(&XYZ_FROM_SRGB, linear);
    lab_from_xyz(Xyz::new(x, y, z))
}

/// The sRGB byte of a linear channel.
///
/// # Source
/// IEC 61966-2-1:1999.
pub fn byte_from_linear(linear: f64) -> u8 {
    let c = linear.clamp(0.0, 1.0);
    let encoded = if c <= 0.0031308 { 12.92 * c } else { 1.055 * c.powf(1.0 / 2.4) - 0.055 };
    (encoded * 255.0).round() as u8
}

/// The linear channel of an sRGB byte.
///
/// # Source
/// IEC 61966-2-1:1999.
pub fn linear_from_byte(byte: u8) -> f32 {
    let c = f32::from(byte) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// The linear channels of all 256 bytes.
pub fn linear_table() -> [f32; 256] {
    std::array::from_fn(|byte| linear_from_byte(byte as u8))
}

fn multiply(matrix: &[[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CSS Color Module Level 4 gives these colours as the same: white; rgb(255 0 0) and lab(54.29 80.805 69.891);
    /// rgb(0 128 0) and lab(46.277 -47.562 48.583). Tolerance one code.
    #[test]
    fn published_pairs_of_lab_and_srgb() {
        for (lab, rgb) in [
            ([100.0, 0.0, 0.0], [255, 255, 255]),
            ([54.29, 80.805, 69.891], [255, 0, 0]),
            ([46.277, -47.562, 48.583], [0, 128, 0]),
        ] {
            let found = shown(Lab::new(lab[0], lab[1], lab[2])).rgb;
            let worst = found.iter().zip(rgb).map(|(&a, b): (&u8, u8)| a.abs_diff(b)).max();
            assert!(worst <= Some(1), "{lab:?}: {found:?}, expected {rgb:?}");
        }
    }

    #[test]
    fn a_colour_outside_srgb_is_marked() {
        // Rec. 2020 green lies far outside sRGB.
        assert!(shown(Lab::new(87.0, -110.0, 85.0)).out_of_gamut);
        assert!(!shown(Lab::new(55.0, 10.0, 29.0)).out_of_gamut);
    }

    #[test]
    fn lab_round_trips_through_linear_srgb() {
        for lab in [Lab::new(55.0, 10.0, 29.0), Lab::new(20.0, -5.0, 3.0), Lab::new(95.0, 0.0, 2.0)] {
            let back = lab_from_linear_srgb(linear_srgb_from_lab(lab));
            assert!((back.l - lab.l).abs() < 1e-3 && (back.a - lab.a).abs() < 1e-3 && (back.b - lab.b).abs() < 1e-3);
        }
    }
}
