//! How a file's numbers may stand for light, whatever its profile says.

use crate::rgb::srgb_from_linear;

/// A way to read a file's numbers.
///
/// Most photos follow the curve that their profile describes, near enough for the fit's own curve terms to mend the
/// rest. Some do not: pictures developed without a tone curve, or with a weak one, are often written without saying so.
/// No small correction bridges that, so each way is fitted and weighed by its evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Curve {
    /// As the profile describes.
    Described,
    /// A weak curve: numbers to the power 1.4.
    Weak,
    /// No curve: numbers in proportion to light.
    Linear,
}

impl Curve {
    /// All ways, the usual one first.
    pub(super) const ALL: [Self; 3] = [Self::Described, Self::Weak, Self::Linear];

    /// Light by this curve, from light by the described one.
    pub(super) fn light(self, described: [f64; 3]) -> [f64; 3] {
        match self {
            Self::Described => described,
            Self::Weak => described.map(|v| srgb_from_linear(v).max(0.0).powf(1.4)),
            Self::Linear => described.map(|v| srgb_from_linear(v).max(0.0)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source of the values: IEC 61966-2-1:1999, 5.2: light 0.21404 has the code 0.5.
    #[test]
    fn half_the_scale_is_half_the_light_without_a_curve() {
        let described = [0.21404, 0.0, 1.0];
        assert_eq!(Curve::Described.light(described), described);
        let linear = Curve::Linear.light(described);
        assert!((linear[0] - 0.5).abs() < 2e-4, "{linear:?}");
        let weak = Curve::Weak.light(described);
        assert!((weak[0] - 0.5f64.powf(1.4)).abs() < 2e-4, "{weak:?}");
        for light in [linear, weak] {
            assert!(light[1].abs() < 1e-9 && (light[2] - 1.0).abs() < 1e-9, "{light:?}");
        }
    }
}
