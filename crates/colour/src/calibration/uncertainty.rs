//! How far off a reading may be: the left-out residuals of this photo, held against those of many photos.

use nalgebra::{Matrix3, Vector3};

use super::LeftOut;
use super::card::{colour_kernel, lab};
use super::hypotheses::{Photo, Predicted, Weighed};
use super::student::region_radius_squared;
use crate::de2000;
use crate::metric::metric_root;

/// Weight of what many photos showed, in patches (ν₀).
///
/// # Source
/// This and the two below: 47 photos of 24-patch charts, so that the stated region holds nine in ten both on photos that fit
/// well and on those that do not; a greater ν₀ and a smaller far weight hold too many on the first, too few on the second.
const PRIOR_PATCHES: f64 = 1.5;
/// A patch far off in colour still tells this much.
const FAR_WEIGHT: f64 = 0.6;
/// Scale of the covariance.
const SCALE: f64 = 0.97;
/// Share of truths the stated region is to hold.
const STATED_SHARE: f64 = 0.9;

/// The left-out residuals of a photo.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    /// Reference Lab, residual in the local metric (leverage taken off), by patch.
    residuals: Vec<Option<(Vector3<f64>, Vector3<f64>)>>,
    /// Leverage of each used patch in the fit to all, with its Lab.
    leverages: Vec<(Vector3<f64>, f64)>,
    /// Share of the used patches with a clipped channel.
    clipped_share: f64,
    /// Variance of a patch's own noise in the fit to all.
    noise: f64,
}

/// Mean square of the left-out residuals of many photos, along the axes of the local metric (Σ₀).
///
/// # Source
/// 34 unaltered photos of made charts from 12 sources, each source alike: halfway between the arithmetic and the
/// geometric mean over sources, so that a few poor thumbnails do not rule.
const MANY_PHOTOS: [f64; 3] = [3.4, 5.2, 3.6];

/// How much a clipped card widens the covariance: the factor is 1 + this × the share of clipped patches.
///
/// # Source
/// Photos with about a sixth of their patches clipped held 82 % in a region stated as 90 %; χ²₃ takes 1.28 to mend that.
const CLIPPED_WIDENING: f64 = 2.0;

/// How much a poor fit widens the covariance beyond its own residuals, which then have long tails: the factor is
/// 1 + this × the variance of a patch's own noise beyond the usual.
///
/// # Source
/// 47 photos of 24-patch charts: with it those of small or blurred patches hold about as many as the sharp ones.
const NOISY_WIDENING: f64 = 0.025;
/// Variance of a patch's own noise on a photo that fits as most do.
pub(super) const USUAL_NOISE: f64 = 4.0;

/// Share of that variance that a colour read beside the card has: it lies among the patches' colours, and all of them
/// were fitted, where a patch left out is off its published value itself and often lies at the edge of them all.
///
/// # Source
/// Wood in rendered photos, seeds 1–80, 190 regions: the squared distance of the truth has its 90 % point at 0.19 of
/// what left-out patches lead to expect. Real photos of wood with instrument readings would say it better.
const BESIDE_SHARE: f64 = 0.19;

/// How much wider a colour beside a card of half a chart's patches, or fewer, must be stated: the factor is 1 + this.
///
/// # Source
/// 33 photos of 24-patch charts of which only 5 to 12 patches were given: the squared distance of the brown and yellow others
/// has its 90 % point at 1.6 times that of the whole chart's.
const THIN_WIDENING: f64 = 0.6;
/// Patches of a whole chart.
const WHOLE: f64 = 24.0;

impl Spread {
    /// From the left-out predictions of the usable patches.
    pub(super) fn new(photo: &Photo, usable: &[usize], on_card: &Weighed, folds: &[Option<Predicted>]) -> Self {
        let mut residuals = vec![None; folds.len()];
        let mut leverages = Vec::with_capacity(usable.len());
        let mut clipped = 0;
        for &p in usable {
            if let Some(fold) = folds[p] {
                let reference = &photo.editions[fold.edition];
                let r = reference.root[p] * (fold.lab - reference.lab[p]);
                residuals[p] = Some((reference.lab[p], r / (1.0 + fold.leverage).sqrt()));
            }
            let seen = &photo.seen[p];
            clipped += usize::from(seen.clipped.contains(&true));
            leverages.push((photo.editions[on_card.best.edition].lab[p], photo.predict(on_card, seen, None).leverage));
        }
        let clipped_share = clipped as f64 / usable.len().max(1) as f64;
        Self { residuals, leverages, clipped_share, noise: on_card.best.solution.noise }
    }

    /// The left-out prediction of a patch, held against its reference.
    pub(super) fn left_out(&self, photo: &Photo, edition: usize, p: usize, fold: &Predicted) -> LeftOut {
        let want = photo.editions[edition].lab[p];
        let (scale, dof) = self.scale(&fold.lab, fold.leverage, Some(p));
        let back = metric_root(lab(&fold.lab)).try_inverse().unwrap_or_else(Matrix3::identity);
        let covariance = back * (scale + fold.added) * back.transpose();
        let off = fold.lab - want;
        let inverse = covariance.try_inverse();
        let holds = inverse.is_some_and(|i| off.dot(&(i * off)) <= region_radius_squared(STATED_SHARE, dof));
        LeftOut {
            lab: lab(&fold.lab),
            de00: de2000(lab(&fold.lab), lab(&want)),
            covariance,
            degrees_of_freedom: dof,
            holds,
        }
    }

    /// Scale matrix in Lab for a colour read beside the card, and its degrees of freedom.
    pub(super) fn in_lab(&self, at: &Vector3<f64>) -> (Matrix3<f64>, f64) {
        let (mut sum, mut weights) = (0.0, 0.0);
        for (patch, leverage) in &self.leverages {
            let w = 1e-6 + colour_kernel(at, patch);
            sum += w * leverage;
            weights += w;
        }
        let (scale, dof) = self.scale(at, sum / weights, None);
        let thin = ((WHOLE - self.leverages.len() as f64) / (WHOLE / 2.0)).clamp(0.0, 1.0);
        let scale = scale * (BESIDE_SHARE * (1.0 + THIN_WIDENING * thin));
        let back = metric_root(lab(at)).try_inverse().unwrap_or_else(Matrix3::identity);
        (back * scale * back.transpose(), dof)
    }

    /// Scale matrix in the local metric, for a prediction with the given leverage, and its degrees of freedom. The
    /// patch `without` takes no part.
    fn scale(&self, lab: &Vector3<f64>, leverage: f64, without: Option<usize>) -> (Matrix3<f64>, f64) {
        let mut sum = Matrix3::from_diagonal(&Vector3::from(MANY_PHOTOS)) * PRIOR_PATCHES;
        let mut weights = 0.0;
        for (p, entry) in self.residuals.iter().enumerate() {
            if let Some((at, r)) = entry
                && Some(p) != without
            {
                let w = FAR_WEIGHT + (1.0 - FAR_WEIGHT) * colour_kernel(lab, at);
                sum += w * r * r.transpose();
                weights += w;
            }
        }
        let noisy = 1.0 + NOISY_WIDENING * (self.noise - USUAL_NOISE).max(0.0);
        let widening = noisy * (1.0 + CLIPPED_WIDENING * self.clipped_share);
        let scale = SCALE * (1.0 + leverage) * widening;
        (sum * (scale / (PRIOR_PATCHES + weights)), PRIOR_PATCHES + weights)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source of the values: (ν₀Σ₀ + Σ w r rᵀ)/(ν₀ + Σ w) with the constants of the module in numpy 2.4.6; leverage 0.25,
    /// noise 8, an eighth of the patches clipped; once with all patches and once without the second.
    #[test]
    fn covariance_agrees_with_numpy() {
        let patch = |lab: [f64; 3], r: [f64; 3]| Some((Vector3::from(lab), Vector3::from(r)));
        let spread = Spread {
            residuals: vec![
                patch([50.0, 0.0, 0.0], [1.0, 0.5, -0.2]),
                patch([60.0, 10.0, 20.0], [-1.5, 0.3, 0.8]),
                patch([38.0, 14.0, -30.0], [0.2, 2.0, -0.4]),
            ],
            leverages: Vec::new(),
            clipped_share: 0.125,
            noise: 8.0,
        };
        let cases = [
            (None, 4.0855463197937745, [3.2937721829683, 4.514874250999445, 0.15889262606632845]),
            (Some(1), 3.2120017561088323, [3.169376542883252, 5.701944344742672, 0.4061412298288531]),
        ];
        for (without, dof, [m11, m22, m12]) in cases {
            let (scale, got) = spread.scale(&Vector3::new(45.0, 5.0, 5.0), 0.25, without);
            assert!((got - dof).abs() < 1e-12, "{got}");
            for (got, want) in [(scale.m11, m11), (scale.m22, m22), (scale.m12, m12)] {
                assert!((got - want).abs() < 1e-12, "{got} {want}");
            }
        }
    }

    /// A whole chart, three quarters, half and a quarter of one: the covariance of a colour beside it is 1, 1.3, 1.6 and again
    /// 1.6 times as wide. At a middle grey the metric's root is 1 along L*, 1.5 along a* and 1 along b* (ISO/CIE 11664-6: S_L = 1,
    /// G = ½).
    ///
    /// # Source
    /// The values: that of the test above times 0.19, taken to Lab by the inverse root, in numpy 2.4.6.
    #[test]
    fn few_patches_widen_what_is_read_beside_the_card() {
        let patch = |lab: [f64; 3], r: [f64; 3]| Some((Vector3::from(lab), Vector3::from(r)));
        for (count, times) in [(24, 1.0), (18, 1.3), (12, 1.6), (6, 1.6)] {
            let spread = Spread {
                residuals: vec![
                    patch([50.0, 0.0, 0.0], [1.0, 0.5, -0.2]),
                    patch([60.0, 10.0, 20.0], [-1.5, 0.3, 0.8]),
                    patch([38.0, 14.0, -30.0], [0.2, 2.0, -0.4]),
                ],
                leverages: vec![(Vector3::new(60.0, 10.0, 20.0), 0.25); count],
                clipped_share: 0.125,
                noise: 8.0,
            };
            let (found, dof) = spread.in_lab(&Vector3::new(50.0, 0.0, 0.0));
            assert!((dof - 4.095847068841735).abs() < 1e-12, "{dof}");
            for (got, want) in [
                (found.m11, 0.62155498),
                (found.m22, 0.38220942),
                (found.m33, 0.47192895),
                (found.m12, 0.02154914),
                (found.m13, -0.09875187),
            ] {
                assert!((got - want * times).abs() < 2e-8, "{count} patches: {got} {}", want * times);
            }
        }
    }
}
