//! What is known of the light's slopes within the patches.

use super::super::curve::Curve;
use super::super::descent::Descent;
use super::super::lit::Lit;
use super::super::model::LIGHT;
use super::lamps::between;
use super::spoilt::photo_of;
use super::*;

const OAK: Lab = Lab { l: 68.0, a: 6.0, b: 22.0, white_point: std::marker::PhantomData };
const FALLING: Camera = Camera { fall_off: 0.33, ..PLAIN };

fn fitted(samples: &[Sample], gradients: Option<Gradients>) -> Fit {
    let lab: Vec<Lab> = samples.iter().map(|s| s.lab).collect();
    fit_with_gradients(samples, &[lab], gradients.as_ref(), &Working::srgb(), &prior()).unwrap()
}

/// Light that falls from 1 to 0.67 along two units of place has the slope ln 0.67 / 2 in the middle, nearly; a file of the
/// power 1/2.2 read by the curve of sRGB, which is nearly its inverse, keeps it.
fn falling() -> Gradients {
    Gradients { slope: [[f64::ln(0.67) / 2.0, 0.0, 0.0], [0.0; 3]], error: [[0.01; 3]; 2] }
}

/// Beside the card the light is carried on: nearer to the truth, and known better, where its slope shows within the patches.
#[test]
fn a_slope_seen_within_the_patches_is_carried_on() {
    let samples = FALLING.samples(&chart());
    let (with, without) = (fitted(&samples, Some(falling())), fitted(&samples, None));
    for place in [[2.0, 0.0], [-2.0, 0.5]] {
        let seen = FALLING.record(OAK, place);
        let (near, far) = (de2000(with.lab_beside(seen, place), OAK), de2000(without.lab_beside(seen, place), OAK));
        assert!(near < 0.75 * far, "at {place:?}: {near} with, {far} without");
    }
    // the slope's own error, less that it may end with the card
    let sd = |fit: &Fit| (fit.light.beside_covariance[0].m11 - fit.light.beside[0].powi(2)).sqrt();
    assert!(sd(&with) < 0.8 * sd(&without), "{} {}", sd(&with), sd(&without));
    // one that shows nothing changes little where there is none
    let even = PLAIN.samples(&chart());
    let none = Gradients { slope: [[0.0; 3]; 2], error: [[0.01; 3]; 2] };
    let seen = PLAIN.record(OAK, [2.0, 0.0]);
    let off = de2000(fitted(&even, Some(none)).lab_beside(seen, [2.0, 0.0]), OAK);
    assert!(off < 1.0, "{off}");
}

/// A slope may be of the card alone, as of one that is bent or lies aslant: what is stated holds the colour of wood on which it does
/// not fall, and without a slope nothing of that is added.
#[test]
fn a_slope_may_end_with_the_card() {
    let fit = fitted(&FALLING.samples(&chart()), Some(falling()));
    let even = fitted(&PLAIN.samples(&chart()), Some(Gradients { slope: [[0.0; 3]; 2], error: [[0.01; 3]; 2] }));
    let level = 1.0 - FALLING.fall_off / 2.0;
    let alone = Camera { gains: PLAIN.gains.map(|gain| gain * level), ..PLAIN };
    for place in [[2.5, 0.0], [-2.5, 0.3]] {
        let seen = alone.record(OAK, place);
        let found = fit.lab_beside(seen, place);
        let by = fit.by_light(seen, place) * place[0];
        let stated = by * fit.light.beside_covariance[0] * by.transpose() + fit.covariance(found).0;
        let off = Vector3::new(found.l - OAK.l, found.a - OAK.a, found.b - OAK.b);
        let distance = off.dot(&(stated.try_inverse().unwrap() * off));
        // χ² with 3 degrees of freedom, upper 10 %: NIST/SEMATECH e-Handbook 1.3.6.7.4.
        assert!(off.norm() > 5.0 && distance < 6.251, "{place:?}: {distance}, off {off}");
    }
    assert!(even.light.beside_covariance[0].m11 < 0.25 * fit.light.beside_covariance[0].m11);
}

/// A change of the light's colour too small for the patches' colours to tell by themselves is told where it shows within them.
#[test]
fn a_change_of_the_lights_colour_within_the_patches_tells_of_two_lamps() {
    let change = 0.26;
    let at = |s: Sample| Sample { device: between(change, s.lab, s.place), ..s };
    let samples: Vec<Sample> = PLAIN.samples(&chart()).into_iter().map(at).collect();
    let by = change / 4.0;
    let seen = Gradients { slope: [[0.0, by, -by], [0.0; 3]], error: [[0.005; 3]; 2] };
    let (with, without) = (fitted(&samples, Some(seen)), fitted(&samples, None));
    assert!((with.light.colour_change - change).abs() < 0.08, "{}", with.light.colour_change);
    assert!(without.light.colour_change < 0.08, "{}", without.light.colour_change);
    // and where no colour changes within them, they tell against it
    let still = Gradients { slope: [[0.0; 3]; 2], error: [[0.005; 3]; 2] };
    let plain = PLAIN.samples(&chart());
    assert!(fitted(&plain, Some(still)).light.colour_change < 0.03);
}

/// A soft reflection brightens dark patches most, so that the steps within them are no slope of the light.
#[test]
fn under_a_reflection_what_shows_within_patches_is_no_slope() {
    let veil = super::super::lit::Round { middle: [-1.2, -0.6], radius: 1.1 };
    let light = |place: [f64; 2]| 0.08 * veil.share([3.0 * place[0], 2.0 * place[1]]);
    let record = |lab, place| Camera { flare: REAL.flare + light(place), ..REAL }.record(lab, place);
    let samples: Vec<Sample> =
        REAL.samples(&chart()).into_iter().map(|s| Sample { device: record(s.lab, s.place), ..s }).collect();
    let clean = fitted(&REAL.samples(&chart()), None);
    let shown = Gradients { slope: [[-0.2, 0.0, 0.0], [-0.1, 0.0, 0.0]], error: [[0.01; 3]; 2] };
    let fit = fitted(&samples, Some(shown));
    assert_eq!(fit.cast.as_ref().map(|cast| cast.kind), Some(CastKind::Reflection));
    let (seen, place) = (REAL.record(OAK, [1.9, 0.0]), [1.9, 0.0]);
    let off = de2000(fit.lab_beside(seen, place), clean.lab_beside(seen, place));
    assert!(off < 3.0, "{off}");
}

/// Bayes: what is seen of the light's colour counts for two lamps against one as its likelihoods do; of all light both expect the
/// same. It counts in the evidence as it is.
#[test]
fn the_lights_colour_within_patches_counts_for_two_lamps_by_its_likelihood() {
    let seen = Gradients { slope: [[0.1, 0.07, -0.06], [0.0, 0.01, 0.02]], error: [[0.02; 3]; 2] };
    let photo = photo_of(&PLAIN.samples(&chart())).with(Some(seen));
    let (one, two) = (photo.prior(Lit::OneLamp).unwrap(), photo.prior(Lit::TwoLamps).unwrap());
    assert_eq!(one.log_seen, 0.0);
    // Normal densities with the prior's variances, 0.000280787 in the file and 0.1² with two lamps, and 0.02² + 0.01² + (0.2 x)²
    // beside: the sum of their logs' differences, by Python 3.11.
    assert!((two.log_seen - -0.657963).abs() < 1e-4, "{}", two.log_seen);
    let all: Vec<usize> = (0..24).collect();
    let evidence = |prior: &Prior| {
        let patches = photo.patches(Curve::ALL[0], Lit::TwoLamps);
        Descent::new(photo.problem(&patches, &photo.editions[0], prior), &all).unwrap().finish().unwrap().evidence
    };
    let more = Prior { log_seen: two.log_seen + 1.5, ..two.clone() };
    assert!((evidence(&more) - evidence(&two) - 1.5).abs() < 1e-9);
}

/// A normal parameter seen with a normal error: (μ e² + x v) / (v + e²) with the variance v e² / (v + e²), and x was as likely as
/// under a normal distribution of variance v + e².
///
/// # Source
/// Bishop (2006), Pattern Recognition and Machine Learning, 2.3; the last value by Python 3.11.
#[test]
fn a_parameter_that_was_seen_is_expected_there() {
    let prior = prior();
    let v = prior.covariance[(LIGHT, LIGHT)];
    let (x, e2) = (0.12, 0.002);
    let told = prior.told(LIGHT, x, e2).unwrap();
    assert!((told.mean[LIGHT] - x * v / (v + e2)).abs() < 1e-12);
    assert!((told.covariance[(LIGHT, LIGHT)] - v * e2 / (v + e2)).abs() < 1e-12);
    // v is 0.0063758 in the file
    assert!((prior.log_likelihood(LIGHT, x, e2) - 0.612_646_43).abs() < 1e-6, "{}", prior.log_likelihood(LIGHT, x, e2));
    let alike = Lit::OneLamp.prior(&prior).unwrap();
    assert_eq!(alike, prior);
}
