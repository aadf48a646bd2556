//! The light over the card and beside it.

use nalgebra::{Matrix3, SVector, Vector3};

use super::hypotheses::Hypothesis;
use super::lit::Lit;
use super::model::{LIGHT, LIGHT_COLOUR, Theta};
use super::prior::{Prior, Square};
use super::{CalibrationError, LightSlope};

/// Variance of the light's slopes beside the card, relative to that on the card: a slope fitted to one card
/// extrapolates badly.
const SLOPE_SHRINKAGE: f64 = 0.25;
/// Variance left to the curved terms beside the card: none to speak of.
const CURVED_VARIANCE: f64 = 1e-6;

/// Standard deviation of the slopes of red and of blue light where two lamps of different colour light the card. From an
/// incandescent lamp to daylight red over blue falls to a third, and a card lies in part of the way between: own judgement.
pub(super) const TWO_LAMPS_SD: f64 = 0.1;
/// What is not known of how the light's colour goes on to change beyond the card, as a share of how it does on it. Own judgement:
/// where one of two lamps is all there is, it changes no more.
const CHANGE_UNSURE: f64 = 0.5;

/// The same of how all light goes on to change: nothing is known. A card that is bent or lies aslant has a slope of its own, and lenses
/// darken corners, the more the farther out. Set by `measure-casts` on its building seeds: with 0.3, 0.6 and 1 the regions of 20 photos
/// with such a card hold 26, 34 and 38 of 49, and the score of 60 photos with nothing on them grows by a fiftieth.
const SLOPE_UNSURE: f64 = 1.0;

/// The slopes of the light's colour: red across and down the card, blue across and down. Where something falls on part of the
/// card they give way to that: all light, red, blue.
pub(super) const LIGHT_COLOURS: [usize; 4] = [LIGHT_COLOUR, LIGHT_COLOUR + 1, LIGHT_COLOUR + 2, LIGHT_COLOUR + 3];
/// The curved terms of the light over the card.
const CURVED: [usize; 3] = [LIGHT + 2, LIGHT + 3, LIGHT + 4];

/// The slopes along each axis of the card: of all light, and of red and of blue beyond that.
const SLOPES: [[usize; 3]; 2] =
    [[LIGHT, LIGHT_COLOUR, LIGHT_COLOUR + 2], [LIGHT + 1, LIGHT_COLOUR + 1, LIGHT_COLOUR + 3]];

/// The prior of a fit that is used beside the card. What falls on part of the card alone is known there as on it.
pub(super) fn prior_beside(prior: &Prior, lit: Lit) -> Option<Prior> {
    let mut covariance = prior.covariance;
    let slopes =
        SLOPES.into_iter().flat_map(|slopes| slopes.into_iter().take(if lit.cast_sd().is_some() { 1 } else { 3 }));
    for k in slopes {
        covariance[(k, k)] *= SLOPE_SHRINKAGE;
    }
    Prior::new(prior.mean, covariance)?.with_alone(CURVED.map(|k| (k, CURVED_VARIANCE)))
}

/// Fall-off over the card, and the slope beside it.
pub(super) fn light_slope(on_card: &Hypothesis, beside: &Hypothesis) -> LightSlope {
    let (lit, on_card, beside) = (on_card.lit, &on_card.solution, &beside.solution);
    let colours = if lit.cast_sd().is_some() { 0.0 } else { 1.0 };
    let places = (-4..=4).flat_map(|i| (-4..=4).map(move |j| terms(f64::from(i) / 4.0, f64::from(j) / 4.0)));
    let light = on_card.theta.fixed_rows::<5>(LIGHT).into_owned();
    let by_light = |one: &Terms, other: &Terms| one.dot(&light).total_cmp(&other.dot(&light));
    let darkest = places.clone().min_by(by_light).unwrap_or_default();
    let brightest = places.max_by(by_light).unwrap_or_default();
    let apart = brightest - darkest;
    let left = (-apart.dot(&light)).exp();
    let covariance = on_card.covariance.fixed_view::<5, 5>(LIGHT, LIGHT);
    LightSlope {
        fall_off_percent: 100.0 * (1.0 - left),
        fall_off_error_percent: 100.0 * left * apart.dot(&(covariance * apart)).max(0.0).sqrt(),
        colour_change: colours * colour_change(&on_card.theta),
        beside: [beside.theta[LIGHT], beside.theta[LIGHT + 1]],
        beside_covariance: SLOPES.map(|[all, red, blue]| {
            let changing = Vector3::new(0.0, on_card.theta[red], on_card.theta[blue]) * CHANGE_UNSURE * colours;
            let falling = Vector3::new(beside.theta[all] * SLOPE_UNSURE, 0.0, 0.0);
            unknown_of_light(&beside.covariance, all) + changing * changing.transpose() + falling * falling.transpose()
        }),
    }
}

/// What is not known of a slope of all light; where one lamp lights the card, its colour is the same everywhere.
///
/// # Source
/// 45 photos of 24-patch charts: the change of red over blue light across them, as it shows within the patches, has a standard
/// deviation of 0.005 beyond its own error, and down them of none.
fn unknown_of_light(covariance: &Square, slope: usize) -> Matrix3<f64> {
    Matrix3::from_diagonal(&Vector3::new(covariance[(slope, slope)], 0.0, 0.0))
}

/// What is to be expected of the light where the patches cannot tell.
pub(super) fn light_unknown(prior: &Prior) -> Result<LightSlope, CalibrationError> {
    let beside = prior_beside(prior, Lit::OneLamp).ok_or_else(|| CalibrationError::NotFitted {
        problem: "the light's prior is not positive definite".to_owned(),
    })?;
    let beside_covariance = SLOPES.map(|[all, ..]| unknown_of_light(&beside.covariance, all));
    Ok(LightSlope {
        fall_off_percent: 0.0,
        fall_off_error_percent: 0.0,
        colour_change: 0.0,
        beside: [0.0; 2],
        beside_covariance,
    })
}

/// By how much red over blue light changes from one side of the card to the other, in its log.
fn colour_change(theta: &Theta) -> f64 {
    let along = SLOPES.map(|[_, red, blue]| 2.0 * (theta[red] - theta[blue]));
    along[0].hypot(along[1])
}

/// The terms of the log of the light at a place on the card, over that at its middle.
type Terms = SVector<f64, 5>;

fn terms(x: f64, y: f64) -> Terms {
    Terms::from([x, y, x * x, x * y, y * y])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::CastKind;
    use crate::calibration::lit::{Shape, Straight};

    const TEXT: &str = include_str!("../../../../assets/calibration-prior.csv");

    /// A quarter of the variance is half of the standard deviation, and the file has 0.0063758 as that of both slopes. What
    /// has nothing to do with the light's slopes is believed as before.
    #[test]
    fn a_slope_is_half_as_free_beside_the_card() {
        let prior = Prior::parse(TEXT).unwrap();
        for covariance in light_unknown(&prior).unwrap().beside_covariance {
            let sd = covariance.m11.sqrt();
            assert!((sd - 0.0063758f64.sqrt() / 2.0).abs() < 1e-9, "{sd}");
        }
        // where a shadow's light stands in the place of the colours' slopes it is no less free there
        let edge = Straight { into: [1.0, 0.0], at: 0.0, breadth: f64::INFINITY, softness: 1.0 };
        let shadow = Lit::Cast(CastKind::Shadow, Shape::Straight(edge));
        let on_card = shadow.prior(&prior).unwrap();
        let beside = prior_beside(&on_card, shadow).unwrap();
        for k in LIGHT_COLOURS {
            assert!((beside.covariance[(k, k)] / on_card.covariance[(k, k)] - 1.0).abs() < 1e-12, "{k}");
        }
        let beside = prior_beside(&prior, Lit::OneLamp).unwrap();
        for k in 0..prior.mean.len() {
            let share = beside.covariance[(k, k)] / prior.covariance[(k, k)];
            match k {
                21 | 22 | 35..=38 => assert!((share - 0.25).abs() < 1e-12, "slope {k}: {share}"),
                23..=25 => assert!(share < 0.01, "curve {k}: {share}"),
                _ => assert!((share - 1.0).abs() < 1e-12, "{k}: {share}"),
            }
        }
    }
}
