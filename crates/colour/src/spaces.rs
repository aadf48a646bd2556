//! CIELAB and XYZ at D50, as types and conversions of the `palette` library.

use palette::{IntoColor, white_point::D50};

/// CIELAB relative to D50, 2° observer: L* in 0..=100, a* and b* unbounded.
pub type Lab = palette::Lab<D50, f64>;

/// CIE XYZ relative to D50, 2° observer, Y = 1 for the perfect diffuser.
pub type Xyz = palette::Xyz<D50, f64>;

/// XYZ (D50, Y = 1 for white) to CIELAB (D50).
///
/// # Source
/// CIE 15:2004, 8.2.1, with the exact rational constants.
pub fn lab_from_xyz(xyz: Xyz) -> Lab {
    xyz.into_color()
}

/// CIELAB (D50) to XYZ (D50, Y = 1 for white).
///
/// # Source
/// CIE 15:2004, 8.2.1, inverted.
pub fn xyz_from_lab(lab: Lab) -> Xyz {
    lab.into_color()
}

/// Lightness, chroma and hue angle (degrees in 0..360) of a CIELAB colour. The hue of a neutral is 0.
pub fn lch_from_lab(lab: Lab) -> (f64, f64, f64) {
    let chroma = lab.a.hypot(lab.b);
    let hue = if chroma == 0.0 { 0.0 } else { lab.b.atan2(lab.a).to_degrees().rem_euclid(360.0) };
    (lab.l, chroma, hue)
}
