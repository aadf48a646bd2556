//! A region's error, split into what is its own and what it shares with other readings.

use colour::calibration::Fit;
use nalgebra::Matrix3;

use super::{Along, Factor, RegionReading, Shared};
use crate::board;
use crate::region::Measured;

/// A factor by the card's id.
type FactorOf = fn(&str) -> Factor;

/// Shares of the calibration's variance that all colours of a photo have in common: the card, the light and camera.
///
/// Judgement, no source: one photo cannot tell them apart, only their sum is measured by its left-out residuals.
const SHARES: [(FactorOf, f64); 2] = [(|id| Factor::Card(id.to_owned()), 0.2), (|_| Factor::PhotoLight, 0.12)];
/// Share of this photo's fit, which colours have in common the more the nearer they are in lightness, and what each has for
/// itself.
///
/// # Source
/// 626 differences of two panels in rendered photos, seeds 1–240: held against the variance of one reading, theirs was 0.16
/// at a median ΔL* of 2.5, 0.20 at 7, 0.32 at 12, 0.57 at 18, 1.0 at 25, 1.3 at 34; with chroma it did not grow steadily.
const FIT_SHARE: f64 = 0.6;
const OWN_SHARE: f64 = 0.08;
/// Lightness over which readings come to have nothing of the fit in common.
const FIT_REACH_L: f64 = 33.0;
/// χ² with 3 degrees of freedom, upper 10 % point.
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
const CHI2_90: f64 = 6.251;
/// Upper 10 % points of F with 3 and ν degrees of freedom: (1/ν, F).
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3.
const F_90: [(f64, f64); 11] = [
    (0.0, 2.0838),
    (1.0 / 60.0, 2.177),
    (1.0 / 30.0, 2.276),
    (1.0 / 20.0, 2.380),
    (1.0 / 15.0, 2.490),
    (1.0 / 12.0, 2.606),
    (1.0 / 10.0, 2.728),
    (1.0 / 8.0, 2.924),
    (1.0 / 6.0, 3.289),
    (1.0 / 4.0, 4.191),
    (1.0 / 3.0, 5.391),
];

/// The reading of a measured region.
pub(super) fn region_reading(name: &str, measured: &Measured, card: &str, fit: &Fit) -> RegionReading {
    let (scale, dof) = fit.covariance(measured.lab);
    let calibration = scale * widening(dof);
    let root = symmetric_root(&calibration);
    let mut shared: Vec<Shared> = SHARES
        .iter()
        .map(|(factor, share)| Shared { factor: factor(card), loading: rows(&(root * share.sqrt())) })
        .collect();
    let fit_shares = fit_factors(measured.lab.l).map(|(factor, share)| {
        let loading = rows(&(root * (FIT_SHARE.sqrt() * share)));
        Shared { factor, loading }
    });
    shared.extend(fit_shares);
    shared.extend([Along::Rows, Along::Columns].map(|along| Shared {
        factor: Factor::PhotoSlope(along),
        loading: rows(&slope_loading(measured, fit, along)),
    }));
    let cast = fit.unknown_of_cast(measured.device_linear_rgb, measured.place);
    if cast != Matrix3::zeros() {
        shared.push(Shared { factor: Factor::PhotoCast, loading: rows(&cast) });
    }
    let own = measured.own + calibration * OWN_SHARE;
    let total = shared.iter().fold(own, |sum, shared| {
        let loading = Matrix3::from_fn(|row, column| shared.loading[row][column]);
        sum + loading * loading.transpose()
    });
    RegionReading {
        name: name.to_owned(),
        lab: measured.lab,
        covariance: rows(&total),
        own: rows(&own),
        shared,
        degrees_of_freedom: dof,
        grain_sd: measured.grain_sd,
        pixels: measured.pixels,
        area_mm2: measured.area_mm2,
        left_out_share: measured.left_out_share,
        evenness: measured.evenness.clone(),
        grain_direction_deg: measured.grain_direction_deg,
    }
}

/// The factors of the fit that a lightness loads on, with loadings whose squares add up to 1: the nodes below and above it.
fn fit_factors(lightness: f64) -> [(Factor, f64); 2] {
    let at = (lightness / FIT_REACH_L).clamp(0.0, 3.0);
    let (sin, cos) = (at.fract() * std::f64::consts::FRAC_PI_2).sin_cos();
    let node = |k: f64| Factor::PhotoFit { lightness: (k * FIT_REACH_L) as u8 };
    [(node(at.floor()), cos), (node(at.floor() + 1.0), sin)]
}

/// Factor from the scale matrix of a multivariate t in three dimensions to the covariance of the normal distribution
/// with the same 90 % region: 3·F / χ².
pub(super) fn widening(dof: f64) -> f64 {
    let at = (1.0 / dof.max(3.0)).clamp(0.0, 1.0 / 3.0);
    let above = F_90.iter().position(|&(inverse, _)| inverse >= at).unwrap_or(F_90.len() - 1).max(1);
    let ((x0, f0), (x1, f1)) = (F_90[above - 1], F_90[above]);
    3.0 * (f0 + (f1 - f0) * (at - x0) / (x1 - x0)) / CHI2_90
}

/// The slope of all light, of red and of blue along one way of the card, as far as the region is away from its middle.
fn slope_loading(measured: &Measured, fit: &Fit, along: Along) -> Matrix3<f64> {
    let axis = along as usize;
    let mut root = symmetric_root(&fit.light.beside_covariance[axis]);
    if measured.light_evened {
        let most = (0..3).map(|slope| root.row(slope).norm()).fold(board::LEFT_SD, f64::max);
        root *= board::LEFT_SD / most;
    }
    fit.by_light(measured.device_linear_rgb, measured.place) * root * measured.place[axis]
}

fn symmetric_root(matrix: &Matrix3<f64>) -> Matrix3<f64> {
    let eigen = matrix.symmetric_eigen();
    let roots = Matrix3::from_diagonal(&eigen.eigenvalues.map(|value| value.max(0.0).sqrt()));
    eigen.eigenvectors * roots * eigen.eigenvectors.transpose()
}

pub(super) fn rows(matrix: &Matrix3<f64>) -> [[f64; 3]; 3] {
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| matrix[(row, column)]))
}

#[cfg(test)]
mod tests {
    use colour::Lab;
    use nalgebra::Vector3;

    use super::*;

    /// Published points of F(3, ν): NIST/SEMATECH e-Handbook 1.3.6.7.3, ν = 7 (3.074) and 25 (2.317), not in the table.
    #[test]
    fn the_ellipsoid_of_t_follows_the_f_table() {
        for (dof, f) in [(7.0, 3.074), (25.0, 2.317), (1e9, 2.0838)] {
            let off = widening(dof) * CHI2_90 / 3.0 - f;
            assert!(off.abs() < 0.02, "{dof}: off by {off}");
        }
    }

    /// What two lightnesses have of the fit in common: all of it at the same, less the further they are apart, none beyond
    /// twice the reach; by the definition of the loadings, whose product is the correlation.
    #[test]
    fn near_lightnesses_have_more_of_the_fit_in_common() {
        let common = |one: f64, two: f64| -> f64 {
            let other = fit_factors(two);
            let of = |(factor, share): &(Factor, f64)| {
                other.iter().find(|(same, _)| same == factor).map_or(0.0, |(_, other)| share * other)
            };
            fit_factors(one).iter().map(of).sum()
        };
        for lightness in [5.0, 30.0, 35.0, 50.0, 65.0] {
            assert!((common(lightness, lightness) - 1.0).abs() < 1e-12);
            let falling: Vec<f64> = [0.0, 5.0, 10.0, 20.0, 30.0].map(|by| common(lightness, lightness + by)).to_vec();
            assert!(falling.windows(2).all(|pair| pair[1] < pair[0]), "{lightness}: {falling:?}");
            assert_eq!(common(lightness, lightness + 2.0 * FIT_REACH_L + 0.1), 0.0);
        }
    }

    /// A fit by two greys: of the calibration, ten degrees of freedom.
    fn by_greys() -> Fit {
        use colour::calibration::{Prior, Sample, Working, fit};
        let grey = |l: f64, light: f64| Sample {
            device: [light; 3],
            clipped: [false; 3],
            lab: Lab::new(l, 0.0, 0.0),
            place: [0.0; 2],
            pitch_place: [0.0; 2],
            glared: false,
        };
        let prior = Prior::parse(include_str!("../../../../assets/calibration-prior.csv")).unwrap();
        fit(&[grey(80.0, 0.5668), grey(50.0, 0.1842)], &Working::srgb(), &prior).unwrap()
    }

    fn measured(place: [f64; 2], light_evened: bool) -> Measured {
        Measured {
            lab: Lab::new(50.0, 0.0, 0.0),
            // L* 50 in full light
            device_linear_rgb: [0.184_187; 3],
            own: Matrix3::from_diagonal(&Vector3::new(0.3, 0.2, 0.1)),
            grains: 100.0,
            grain_sd: [1.0; 3],
            place,
            light_evened,
            block_colour_variance: [0.0; 2],
            pixels: 10_000,
            clipped_share: 0.0,
            area_mm2: None,
            left_out_share: 0.0,
            evenness: None,
            grain_direction_deg: None,
        }
    }

    /// The slope of light is known so badly across the card and so badly down it: a region moves by what lies along each. A part
    /// dY/Y more light makes a grey lighter by (L* + 16)/3 of it, and nothing else (CIE 15: L* = 116 Y^⅓ − 16).
    #[test]
    fn the_slope_across_the_card_counts_across_and_that_down_it_down() {
        let mut fit = by_greys();
        let of_all = |sd: f64| Matrix3::from_diagonal(&Vector3::new(sd * sd, 0.0, 0.0));
        fit.light.beside_covariance = [of_all(0.05), of_all(0.01)];
        for (place, across, down) in [([3.0, 0.0], 0.15, 0.0), ([0.0, 3.0], 0.0, 0.03), ([-2.0, 4.0], -0.10, 0.04)] {
            for (along, part) in [(Along::Rows, across), (Along::Columns, down)] {
                let loading = slope_loading(&measured(place, false), &fit, along);
                let want = Matrix3::new(part, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0) * 22.0;
                assert!((loading - want).amax() < 0.01, "{place:?}: {loading}");
            }
        }
        // A board leaves no more than half a per cent of a slope, whatever the fit knew of it.
        for along in [Along::Rows, Along::Columns] {
            let left = slope_loading(&measured([2.0, 2.0], true), &fit, along);
            assert!((left.m11 - 0.22).abs() < 1e-3, "{left}");
        }
    }

    /// A lamp that is redder on one side makes a grey there red, and hardly lighter: 1 % more red light of linear sRGB adds
    /// 0.01 × (0.4361, 0.2225, 0.0139) of white's XYZ at D50 (IEC 61966-2-1:1999, adapted by Bradford: Lindbloom B., RGB/XYZ
    /// Matrices) to a grey of Y 0.1842; by CIE 15 that is ΔL* 0.049, Δa* 0.065 · 500/29, worked out below.
    #[test]
    fn a_slope_of_red_moves_redness() {
        let mut fit = by_greys();
        fit.light.beside_covariance = [Matrix3::from_diagonal(&Vector3::new(0.0, 1e-4, 0.0)), Matrix3::zeros()];
        let loading = slope_loading(&measured([1.0, 1.0], false), &fit, Along::Rows);
        let white = [0.9642, 1.0, 0.8249];
        let change = [0.4361, 0.2225, 0.0139];
        let root = |part: f64| (0.1842f64 * (1.0 + 0.01 * part)).cbrt() - 0.1842f64.cbrt();
        let [x, y, z] = [0, 1, 2].map(|k| root(change[k] / white[k]));
        for (row, want) in [116.0 * y, 500.0 * (x - y), 200.0 * (y - z)].into_iter().enumerate() {
            let got = loading.row(row).norm();
            assert!((got - want.abs()).abs() < 0.01 * want.abs() + 0.002, "axis {row}: {got} not {want}");
        }
        assert_eq!(slope_loading(&measured([1.0, 1.0], false), &fit, Along::Columns), Matrix3::zeros());
    }

    /// What is read in the middle of the card has the grain's error and the calibration's, split as it may be: all of both, of
    /// which the grain and its share of the calibration are its own. The calibration is stated as a normal with the same 90 %
    /// region: 3 F / χ², F₃,₁₀ = 2.728 and χ²₃ = 6.251 (NIST/SEMATECH e-Handbook 1.3.6.7.3 and 4).
    #[test]
    fn a_reading_has_all_of_the_error_and_its_own_share_of_it() {
        let fit = by_greys();
        let of = measured([0.0, 0.0], false);
        let reading = region_reading("wood", &of, "chart", &fit);
        let of_rows = |rows: &[[f64; 3]; 3]| Matrix3::from_fn(|row, column| rows[row][column]);
        let (scale, dof) = fit.covariance(of.lab);
        assert_eq!(dof, 10.0);
        let calibration = scale * (3.0 * 2.728 / 6.251);
        let (total, own) = (of_rows(&reading.covariance), of_rows(&reading.own));
        assert!((total - (of.own + calibration)).amax() < 1e-9, "{total}");
        // 1 less the shares of the card 0.2, the light 0.12 and the fit 0.6.
        assert!((own - (of.own + calibration * 0.08)).amax() < 1e-9, "{own}");
    }

    #[test]
    fn shares_make_a_whole_and_the_root_squares_back() {
        let sum: f64 = SHARES.iter().map(|(_, share)| share).sum::<f64>() + FIT_SHARE + OWN_SHARE;
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
        for lightness in [-3.0, 0.0, 20.0, 33.0, 65.9, 100.0, 300.0] {
            let square: f64 = fit_factors(lightness).iter().map(|(_, share)| share * share).sum();
            assert!((square - 1.0).abs() < 1e-12, "{square} at {lightness}");
        }
        let matrix = Matrix3::new(4.0, 1.0, -0.5, 1.0, 3.0, 0.2, -0.5, 0.2, 2.0);
        let root = symmetric_root(&matrix);
        assert!((root * root - matrix).amax() < 1e-12);
    }
}
