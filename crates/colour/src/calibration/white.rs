//! Exposure and white from greys: all that a card without colours, or with very few patches, can tell.

use nalgebra::{Matrix3, Vector3};

use super::card::{Reference, lab, vector};
use super::hypotheses::Seen;
use super::student::region_radius_squared;
use super::{CalibrationError, LeftOut, Working};
use crate::metric::metric_root;
use crate::{Lab, Xyz, de2000, lab_from_xyz, xyz_from_lab};

/// With fewer usable patches the whole fit is worse than this one.
///
/// # Source
/// 33 photos of 24-patch charts of which only some patches were given, error of the brown and yellow others: with a white, a
/// grey and a black the whole fit has a median ΔE2000 of 8.3 and this one 6.1; with one yellow besides 4.9 against 5.1.
const FEWEST_WITH_COLOURS: usize = 4;
/// Chroma from which on a patch counts as coloured.
const GREY_CHROMA: f64 = 8.0;
/// Darker greys tell more of flare than of exposure.
const DARK_L: f64 = 30.0;
/// Mean square, along the axes of the local CIEDE2000 metric, of how far brown and yellow colours then are off: with one grey,
/// and with more.
///
/// # Source
/// The same photos, 162 patches: a white, a middle grey or a light grey alone (mean of the three), and a white with a grey.
const OFF: [[f64; 3]; 2] = [[51.0, 28.0, 20.0], [34.0, 28.0, 17.0]];
/// Degrees of freedom of the multivariate t with it: its 90 % region then held nine in ten of them.
const DEGREES_OF_FREEDOM: f64 = 10.0;

/// Gains that bring a photo's greys to their reference.
#[derive(Debug, Clone)]
pub(super) struct White {
    xyz_from_rgb: Matrix3<f64>,
    gains: [f64; 3],
    greys: usize,
}

/// Whether these patches are too few, or too grey, for the whole fit.
pub(super) fn is_all(usable: &[usize], reference: &Reference) -> bool {
    usable.len() < FEWEST_WITH_COLOURS || usable.iter().all(|&p| is_grey(reference, p))
}

fn is_grey(reference: &Reference, p: usize) -> bool {
    reference.lab[p].y.hypot(reference.lab[p].z) < GREY_CHROMA
}

impl White {
    /// The gains by the greys among the given patches: per channel the median over those that are whole, without the dark
    /// ones where there are others.
    ///
    /// # Errors
    /// No grey, or none that is whole.
    pub(super) fn fit(
        seen: &[Seen],
        used: &[usize],
        reference: &Reference,
        working: &Working,
    ) -> Result<Self, CalibrationError> {
        let whole = |&p: &usize| {
            is_grey(reference, p)
                && !seen[p].clipped.contains(&true)
                && seen[p].device.iter().all(|light| *light > 1e-5)
        };
        let mut greys: Vec<usize> = used.iter().copied().filter(whole).collect();
        if greys.iter().any(|&p| reference.lab[p].x > DARK_L) {
            greys.retain(|&p| reference.lab[p].x > DARK_L);
        }
        let rgb_from_xyz = working.xyz_from_rgb.try_inverse();
        let (false, Some(rgb_from_xyz)) = (greys.is_empty(), rgb_from_xyz) else {
            return Err(CalibrationError::NoGrey { given: seen.len() });
        };
        let gains = [0, 1, 2].map(|ch| {
            let ratio = |&p: &usize| {
                let xyz = xyz_from_lab(lab(&reference.lab[p]));
                (rgb_from_xyz * Vector3::new(xyz.x, xyz.y, xyz.z))[ch] / seen[p].device[ch]
            };
            median(greys.iter().map(ratio).collect())
        });
        Ok(Self { xyz_from_rgb: working.xyz_from_rgb, gains, greys: greys.len() })
    }

    pub(super) fn lab(&self, device: [f64; 3]) -> Lab {
        let light = Vector3::from_fn(|ch, _| device[ch] * self.gains[ch]);
        let xyz = self.xyz_from_rgb * light;
        lab_from_xyz(Xyz::new(xyz.x, xyz.y, xyz.z))
    }

    /// By how much a colour changes per log of the light on it: of all light, of red, of blue.
    pub(super) fn by_light(&self, device: [f64; 3]) -> Matrix3<f64> {
        const STEP: f64 = 1e-4;
        let at = vector(self.lab(device));
        let with = |channels: [f64; 3]| {
            let more = [0, 1, 2].map(|ch| device[ch] * (1.0 + STEP * channels[ch]));
            (vector(self.lab(more)) - at) / STEP
        };
        Matrix3::from_columns(&[with([1.0; 3]), with([1.0, 0.0, 0.0]), with([0.0, 0.0, 1.0])])
    }

    /// Scale matrix of the multivariate t in Lab, and its degrees of freedom.
    pub(super) fn covariance(&self, at: Lab) -> (Matrix3<f64>, f64) {
        let off = Vector3::from(OFF[usize::from(self.greys > 1)]);
        let back = metric_root(at).try_inverse().unwrap_or_else(Matrix3::identity);
        (back * Matrix3::from_diagonal(&off) * back.transpose(), DEGREES_OF_FREEDOM)
    }

    /// What the other greys say of each.
    pub(super) fn leave_out(
        seen: &[Seen],
        readable: &[usize],
        usable: &[usize],
        reference: &Reference,
        working: &Working,
    ) -> Vec<Option<LeftOut>> {
        let without = |p: usize| {
            let others: Vec<usize> = usable.iter().copied().filter(|&other| other != p).collect();
            let white = Self::fit(seen, &others, reference, working).ok()?;
            let (found, want) = (white.lab(seen[p].device), lab(&reference.lab[p]));
            let (covariance, degrees_of_freedom) = white.covariance(found);
            let off = Vector3::new(found.l - want.l, found.a - want.a, found.b - want.b);
            let distance = covariance.try_inverse().map(|inverse| off.dot(&(inverse * off)));
            let holds = distance.is_some_and(|distance| distance <= region_radius_squared(0.9, degrees_of_freedom));
            Some(LeftOut { lab: found, de00: de2000(found, want), covariance, degrees_of_freedom, holds })
        };
        (0..seen.len()).map(|p| readable.contains(&p).then(|| without(p)).flatten()).collect()
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1);
    (values[last / 2] + values[last.div_ceil(2)]) / 2.0
}

#[cfg(test)]
mod tests {
    use super::super::{Prior, Sample, fit};
    use super::*;

    /// A grey as a camera records it whose flare adds `flare` to light it halves.
    fn grey(l: f64, flare: f64) -> Sample {
        let light = xyz_from_lab(Lab::new(l, 0.0, 0.0)).y;
        Sample {
            device: [0.5 * light + flare; 3],
            clipped: [false; 3],
            lab: Lab::new(l, 0.0, 0.0),
            place: [0.0; 2],
            pitch_place: [0.0; 2],
            glared: false,
        }
    }

    fn fitted(greys: &[Sample]) -> super::super::Fit {
        let prior = Prior::parse(include_str!("../../../../assets/calibration-prior.csv")).unwrap();
        fit(greys, &Working::srgb(), &prior).unwrap()
    }

    /// Flare of 1 % of white adds half as much again to a black of L* 20 and 1/40 to a light grey. Exposure is set by the grey
    /// alone, so a colour of half its recorded light has its own luminance, and the black is no second grey to be surer by.
    #[test]
    fn a_black_sets_no_exposure_where_there_is_a_grey() {
        let (light, black) = (grey(80.0, 0.0), grey(20.0, 0.01));
        let both = fitted(&[light, black]);
        let found = both.xyz([0.1; 3]);
        assert!((found.y - 0.2).abs() < 1e-6, "{found:?}");
        let at = Lab::new(50.0, 0.0, 0.0);
        assert_eq!(both.covariance(at), fitted(&[light]).covariance(at));
        // Where there is nothing but the black, it must do: 0.0299 of white (CIE 15: L* 20) is recorded as 0.0250.
        let alone = fitted(&[black]).xyz([black.device[0]; 3]);
        assert!((alone.y - 0.02989).abs() < 1e-4, "{alone:?}");
    }

    /// The mean squares measured with one grey, and with more, along L*, a*, b*. At a middle grey the root of the metric is 1,
    /// 1.5, 1 (ISO/CIE 11664-6: S_L = 1, S_C = 1, a′ = 1.5 a*), so that of a* is over 2.25.
    #[test]
    fn one_grey_is_stated_wider_than_two() {
        let of = |greys: &[Sample]| fitted(greys).covariance(Lab::new(50.0, 0.0, 0.0));
        for (greys, want) in [
            (vec![grey(80.0, 0.0)], [51.0, 28.0 / 2.25, 20.0]),
            (vec![grey(80.0, 0.0), grey(50.0, 0.0)], [34.0, 28.0 / 2.25, 17.0]),
        ] {
            let (found, dof) = of(&greys);
            assert!(
                (found - Matrix3::from_diagonal(&Vector3::from(want))).amax() < 1e-9,
                "{} greys: {found}",
                greys.len()
            );
            assert_eq!(dof, 10.0);
        }
    }
}
