//! CIELAB and XYZ at D50, as types and conversions of the `palette` library.

use palette::{convert::IntoColorUnclamped, white_point::D50};

/// CIELAB relative to D50, 2° observer: L* in 0..=100, a* and b* unbounded.
pub type Lab = palette::Lab<D50, f64>;

/// CIE XYZ relative to D50, 2° observer, Y = 1 for the perfect diffuser.
pub type Xyz = palette::Xyz<D50, f64>;

/// XYZ (D50, Y = 1 for white) to CIELAB (D50). Nothing is cut: what lies beyond white or any surface stays there.
///
/// # Source
/// CIE 15:2004, 8.2.1, with the exact rational constants.
pub fn lab_from_xyz(xyz: Xyz) -> Lab {
    xyz.into_color_unclamped()
}

/// CIELAB (D50) to XYZ (D50, Y = 1 for white). Nothing is cut.
///
/// # Source
/// CIE 15:2004, 8.2.1, inverted.
pub fn xyz_from_lab(lab: Lab) -> Xyz {
    lab.into_color_unclamped()
}

/// Lightness, chroma and hue angle (degrees in 0..360) of a CIELAB colour. The hue of a neutral is 0.
pub fn lch_from_lab(lab: Lab) -> (f64, f64, f64) {
    let chroma = lab.a.hypot(lab.b);
    let hue = if chroma == 0.0 { 0.0 } else { lab.b.atan2(lab.a).to_degrees().rem_euclid(360.0) };
    (lab.l, chroma, hue)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Also outside 0..100 and far from grey, where a library that clamps would cut.
        #[test]
        fn lab_comes_back(l in -20.0..120.0, a in -200.0..200.0, b in -200.0..200.0) {
            let back = lab_from_xyz(xyz_from_lab(Lab::new(l, a, b)));
            prop_assert!((back.l - l).abs() < 1e-9 && (back.a - a).abs() < 1e-9 && (back.b - b).abs() < 1e-9, "{back:?}");
        }

        #[test]
        fn lightness_rises_with_luminance(y in 0.0..1.5, more in 1e-6..0.5) {
            let l = |y| lab_from_xyz(Xyz::new(0.5, y, 0.5)).l;
            prop_assert!(l(y + more) > l(y));
        }
    }

    #[test]
    fn neutral_has_no_hue_and_nan_does_not_panic() {
        assert_eq!(lch_from_lab(Lab::new(50.0, 0.0, 0.0)), (50.0, 0.0, 0.0));
        assert_eq!(lch_from_lab(Lab::new(50.0, 0.0, -3.0)), (50.0, 3.0, 270.0));
        assert!(lab_from_xyz(Xyz::new(f64::NAN, 0.5, 0.5)).a.is_nan());
    }
}
