//! What a photo may be, weighed and mixed, against the laws of probability.

use nalgebra::{DMatrix, DVector};

use super::super::card::Reference;
use super::super::fit::Problem;
use super::super::hypotheses::{Hypothesis, Otherwise, Photo, Seen};
use super::super::lit::Lit;
use super::super::model::{GAIN, Local, Model, Recorded};
use super::*;

/// A photo of the chart, of which these editions were published.
fn photo(camera: Camera, editions: &[&[Lab]]) -> Photo {
    let samples = camera.samples(&chart());
    let seen = |s: &Sample| Seen { device: s.device, clipped: s.clipped, place: s.place };
    Photo::new(
        Model::new(Working::srgb().xyz_from_rgb),
        &prior(),
        samples.iter().map(seen).collect(),
        samples.iter().map(|s| s.pitch_place).collect(),
        editions.iter().map(|lab| Reference::new(lab)).collect(),
    )
    .unwrap()
}

/// As [`photo`], of a file whose numbers can be taken in one way only, so that editions are all there is to weigh.
fn as_described(editions: &[&[Lab]]) -> Photo {
    let mut photo = photo(PLAIN, editions);
    photo.by_curve.truncate(1);
    photo
}

/// The chart with a few patches printed a little lighter.
fn reprinted() -> Vec<Lab> {
    let lighter = |k: usize| if k.is_multiple_of(5) { 0.4 } else { 0.0 };
    chart().iter().enumerate().map(|(k, lab)| Lab::new(lab.l + lighter(k), lab.a, lab.b)).collect()
}

const ONE_LAMP: Otherwise = Otherwise::Only(Vec::new());
const ALL: [usize; 24] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23];
/// A colour of wood as that photo has it, in the middle of the card.
const WOOD: Lab = Lab { l: 60.0, a: 9.0, b: 24.0, white_point: std::marker::PhantomData };

fn wood_seen(camera: Camera) -> Seen {
    Seen { device: camera.record(WOOD, [0.0, 0.0]), clipped: [false; 3], place: [0.0, 0.0] }
}

/// Bayes: of hypotheses that were as likely before, the shares stand as the evidences do, add up to one, and the order in
/// which they were put forward changes nothing.
///
/// # Source
/// MacKay (2003) Information Theory, Inference, and Learning Algorithms, 28.1.
#[test]
fn editions_are_weighed_as_their_evidence_says_in_whatever_order_they_are_given() {
    let (first, second) = (chart(), reprinted());
    let photo_of = photo(REAL, &[&first, &second]);
    let weighed = photo_of.weigh(&ALL, &ONE_LAMP).unwrap();
    let fits: Vec<&Hypothesis> = weighed.all().collect();
    assert!(fits.len() > 1 && fits.iter().any(|fit| fit.edition != fits[0].edition), "both editions may be right");
    assert!((fits.iter().map(|fit| fit.weight).sum::<f64>() - 1.0).abs() < 1e-12);
    for pair in fits.windows(2) {
        assert!(pair[0].weight >= pair[1].weight, "{} {}", pair[0].weight, pair[1].weight);
        let odds = (pair[0].weight / pair[1].weight).ln();
        assert!((odds - (pair[0].solution.evidence - pair[1].solution.evidence)).abs() < 1e-9, "{odds}");
    }

    let turned = photo(REAL, &[&second, &first]);
    let weighed_again = turned.weigh(&ALL, &ONE_LAMP).unwrap();
    assert_eq!(weighed_again.best.edition, 1 - weighed.best.edition);
    let (a, b) = (
        photo_of.predict_lab(&weighed, &wood_seen(REAL), None),
        turned.predict_lab(&weighed_again, &wood_seen(REAL), None),
    );
    assert!((a - b).norm() < 1e-9, "{a} {b}");
}

/// Bayes again: the odds of two lamps against one are their evidences' times those before: one photo in twenty has two, as many
/// a shadow on the card, as many a reflection; over a card
/// whose light changes a little both may be right.
#[test]
fn two_lamps_are_one_photo_in_twenty_before_it_is_seen() {
    let mut samples = PLAIN.samples(&chart());
    for s in &mut samples {
        let by = 0.09 * s.place[0];
        s.device = [s.device[0] * f64::exp(by), s.device[1], s.device[2] * f64::exp(-by)];
    }
    let seen = |s: &Sample| Seen { device: s.device, clipped: s.clipped, place: s.place };
    let (seen, pitches) = (samples.iter().map(seen).collect(), samples.iter().map(|s| s.pitch_place).collect());
    let model = Model::new(Working::srgb().xyz_from_rgb);
    let photo = Photo::new(model, &prior(), seen, pitches, vec![Reference::new(&chart())]).unwrap();
    let weighed = photo.weigh(&ALL, &Otherwise::Only(vec![Lit::TwoLamps])).unwrap();
    let of = |lit: Lit| weighed.all().find(|fit| fit.lit == lit).unwrap();
    let (two, one) = (of(Lit::TwoLamps), of(Lit::OneLamp));
    assert_eq!((two.edition, two.curve as usize), (one.edition, one.curve as usize));
    let odds = (two.weight / one.weight).ln() - (two.solution.evidence - one.solution.evidence);
    assert!((odds - (0.05f64 / 0.85).ln()).abs() < 1e-9, "{odds}");
}

/// The evidence is how likely the patches' colours were before they were seen: of a model straight about its solution, a normal
/// with the covariance of the noise and of what the parameters may be, C = s²K + J P⁻¹ Jᵀ, here written out in full, with
/// ln |P| and the prior of the noise beside.
///
/// # Source
/// MacKay (2003), 27; the marginal likelihood of a linear model: Bishop (2006), Pattern Recognition and Machine Learning, 2.3.3.
#[test]
fn the_evidence_is_the_likelihood_of_the_straight_model() {
    let photo = photo(PLAIN, &[&chart()]);
    let best = photo.weigh(&ALL, &ONE_LAMP).unwrap().best;
    let Hypothesis { solution, curve, .. } = &best;
    let (reference, patches) = (&photo.editions[0], &photo.by_curve[*curve as usize]);
    let problem = Problem { model: &photo.model, prior: &photo.prior, patches, reference };
    let mut centre = photo.prior.mean;
    problem.start(&ALL).into_iter().enumerate().for_each(|(channel, gain)| centre[GAIN + channel] += gain);
    let count = 3 * ALL.len();
    let (mut slope, mut off) = (DMatrix::zeros(count, 39), DVector::zeros(count));
    for p in ALL {
        let at = photo.model.evaluate(&solution.theta, &patches.recorded[p]);
        let weight = reference.root[p] * reference.weight_root[p];
        slope.view_mut((3 * p, 0), (3, 39)).copy_from(&(weight * at.by_parameter));
        off.rows_mut(3 * p, 3).copy_from(&(weight * (at.lab - reference.lab[p])));
    }
    let before = off - &slope * DVector::from_column_slice((solution.theta - centre).as_slice());
    let prior = DMatrix::from_column_slice(39, 39, photo.prior.covariance.as_slice());
    let noise = reference.kernel(&ALL, &photo.pitches).kronecker(&DMatrix::identity(3, 3)) * solution.noise;
    let log_determinant = |m: &DMatrix<f64>| m.clone().cholesky().unwrap().l().diagonal().map(f64::ln).sum() * 2.0;
    let covariance = noise + &slope * &prior * slope.transpose();
    let distance = before.dot(&covariance.clone().cholesky().unwrap().solve(&before));
    let of_noise = 32.0 / solution.noise + 8.0 * solution.noise.ln();
    let want = -0.5 * (distance + log_determinant(&covariance) + of_noise);
    assert!((solution.evidence - want).abs() < 0.05, "{} {want}", solution.evidence);
}

/// Mean and variance of a mixture of two: w₁m₁ + w₂m₂, and beside the variances within them w₁w₂(m₁ − m₂)², here in the
/// metric of ΔE2000.
///
/// # Source
/// The law of total variance (any textbook).
#[test]
fn hypotheses_that_differ_add_the_variance_between_them() {
    let (first, second) = (chart(), reprinted());
    let both = as_described(&[&first, &second]);
    let weighed = both.weigh(&ALL, &ONE_LAMP).unwrap();
    let alone = [&first, &second].map(|edition| {
        let photo = as_described(&[edition]);
        photo.predict_lab(&photo.weigh(&ALL, &ONE_LAMP).unwrap(), &wood_seen(PLAIN), None)
    });
    assert_eq!(weighed.all().count(), 2, "two editions, one curve");
    let mut weights = [0.0; 2];
    weighed.all().for_each(|fit| weights[fit.edition] += fit.weight);
    let found = both.predict(&weighed, &wood_seen(PLAIN), None);
    let mean = alone[0] * weights[0] + alone[1] * weights[1];
    assert!((found.lab - mean).norm() < 1e-9, "{} {mean}", found.lab);
    let apart = de2000(lab(&alone[0]), lab(&alone[1]));
    let between = weights[0] * weights[1] * apart * apart;
    assert!(between > 1e-4 && (found.added.trace() / between - 1.0).abs() < 0.01, "{} {between}", found.added.trace());
}

/// A clipped channel's light is known to a relative standard deviation of 0.3, and the colour's variance is that times the
/// squared slope of the colour by the logarithm of the light: here ΔE2000 for a step of it, taken by the gain.
///
/// # Source
/// The law of propagation of uncertainty: JCGM 100:2008, 5.1.2.
#[test]
fn a_clipped_channel_widens_a_prediction_by_what_its_light_may_be() {
    const STEP: f64 = 1e-3;
    let only = chart();
    let photo = as_described(&[&only]);
    let weighed = photo.weigh(&ALL, &ONE_LAMP).unwrap();
    assert_eq!(weighed.all().count(), 1);
    let open = photo.predict(&weighed, &wood_seen(PLAIN), None);
    assert!(open.added.norm() < 1e-12, "{}", open.added);
    for channel in 0..3 {
        let mut seen = wood_seen(PLAIN);
        seen.clipped[channel] = true;
        let found = photo.predict(&weighed, &seen, None);
        let recorded = Recorded::new(seen.device, seen.clipped, seen.place, Local::Slope);
        let stepped = |by: f64| {
            let mut theta = weighed.best.solution.theta;
            theta[GAIN + channel] += by;
            photo.model.lab(&theta, &recorded)
        };
        // The step starts from the colour predicted, that the residuals are kriged from included.
        let way = (stepped(STEP) - stepped(-STEP)) / 2.0;
        let slope = de2000(lab(&(found.lab - way)), lab(&(found.lab + way))) / (2.0 * STEP);
        let want = (0.3 * slope).powi(2);
        assert!(want > 0.1 && (found.added.trace() / want - 1.0).abs() < 0.01, "{channel}: {} {want}", found.added);
    }
}

fn lab(v: &Vector3<f64>) -> Lab {
    Lab::new(v.x, v.y, v.z)
}
