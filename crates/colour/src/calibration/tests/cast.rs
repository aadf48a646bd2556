//! A shadow, or a soft reflection, on part of the card: a shadow takes a share of the light, whatever it falls on; a reflection
//! adds the same light, whatever is below it.

use nalgebra::{DMatrix, DVector};

use super::super::hypotheses::{Hypothesis, Otherwise, Photo};
use super::super::lit::{Lit, Round, Shape, Straight, most_promising};
use super::super::model::{GAIN, Local};
use super::spoilt::photo_of;
use super::*;

const OAK: Lab = Lab { l: 68.0, a: 6.0, b: 22.0, white_point: std::marker::PhantomData };
/// How far a colour may still be off by what falls on the card: own judgement, a quarter of the 11 or so that the shadow alone
/// makes of it.
const NEAR: f64 = 3.0;
/// The least difference that half of all observers see: Paravina et al. 2015, DOI 10.1111/jerd.12149.
const SEEN: f64 = 0.8;

/// A shadow that takes two fifths of the light, right of a line between the third column and the fourth.
const RIGHT: Straight = Straight { into: [1.0, 0.0], at: 0.0, breadth: f64::INFINITY, softness: 0.2 };
/// Another, below a slanting line.
const BELOW: Straight =
    Straight { into: [0.5, 0.866_025_403_784_438_6], at: 0.6, breadth: f64::INFINITY, softness: 0.5 };
/// One across the middle of the card.
const ACROSS: Straight = Straight { into: [1.0, 0.0], at: -1.2, breadth: 2.5, softness: 0.4 };
const TAKEN: f64 = 0.4;

/// A place in pitches from the card's middle.
fn pitches([x, y]: [f64; 2]) -> [f64; 2] {
    [3.0 * x, 2.0 * y]
}

/// The camera's file holds a power of the light, so that a share of the light is that power of it in the file; the flare stays.
fn shaded(camera: Camera, shadow: Straight, lab: Lab, place: [f64; 2]) -> [f64; 3] {
    let left = 1.0 - TAKEN * shadow.share(pitches(place));
    Camera { gains: camera.gains.map(|gain| gain * left), ..camera }.record(lab, place)
}

fn veiled(camera: Camera, veil: Round, light: f64, lab: Lab, place: [f64; 2]) -> [f64; 3] {
    Camera { flare: camera.flare + light * veil.share(pitches(place)), ..camera }.record(lab, place)
}

fn samples(record: impl Fn(Lab, [f64; 2]) -> [f64; 3]) -> Vec<Sample> {
    let at = |s: Sample| {
        let device = record(s.lab, s.place);
        Sample { device, clipped: device.map(|v| v >= 1.0), ..s }
    };
    PLAIN.samples(&chart()).into_iter().map(at).collect()
}

fn fitted(record: impl Fn(Lab, [f64; 2]) -> [f64; 3]) -> Fit {
    fit(&samples(record), &Working::srgb(), &prior()).unwrap()
}

/// A shadow is known for one, on the patches where it lies and as dark as it is. The wood beside the card is read nearly as it
/// is without the shadow, in the light and, where the shadow goes on, in it.
#[test]
fn a_shadow_is_told_from_light_that_falls_off() {
    for camera in [PLAIN, REAL] {
        let clean = fitted(|lab, place| camera.record(lab, place));
        for shadow in [RIGHT, BELOW] {
            let fit = fitted(|lab, place| shaded(camera, shadow, lab, place));
            let cast = fit.cast.as_ref().unwrap();
            assert_eq!(cast.kind, CastKind::Shadow);
            assert!((cast.strength - TAKEN).abs() < 0.08, "{cast:?}");
            for (share, sample) in cast.shares.iter().zip(PLAIN.samples(&chart())) {
                let want = shadow.share(pitches(sample.place));
                assert!((share - want).abs() < 0.5, "{share} not {want} at {:?}", sample.place);
            }
            assert!(left_out_mean(&fit) < left_out_mean(&clean) + SEEN, "{}", left_out_mean(&fit));
            for place in [[-1.5, 0.0], [1.6, 0.0], [0.6, -1.8], [-0.6, 1.8]] {
                let seen = shaded(camera, shadow, OAK, place);
                let want = clean.lab_beside(camera.record(OAK, place), place);
                let off = de2000(fit.lab_beside(seen, place), want);
                assert!(off < NEAR, "{shadow:?} at {place:?}: {off}");
            }
        }
    }
}

/// A shadow with both edges on the card, as of a hand.
#[test]
fn a_shadow_that_ends_on_the_card_is_not_carried_on() {
    for camera in [PLAIN, REAL] {
        let clean = fitted(|lab, place| camera.record(lab, place));
        let fit = fitted(|lab, place| shaded(camera, ACROSS, lab, place));
        let cast = fit.cast.as_ref().unwrap();
        assert_eq!(cast.kind, CastKind::Shadow);
        assert!(cast.shares[2] > 0.5 && cast.shares[0] < 0.5 && cast.shares[5] < 0.5, "{cast:?}");
        for place in [[-1.5, 0.0], [1.6, 0.0]] {
            let seen = camera.record(OAK, place);
            let off = de2000(fit.lab_beside(seen, place), clean.lab_beside(seen, place));
            assert!(off < NEAR, "at {place:?}: {off}");
        }
    }
}

/// A round shadow, as of a hand: it is no reflection, and no light that falls off over the wood beside the card.
#[test]
fn a_round_shadow_stays_where_it_is() {
    for camera in [PLAIN, REAL] {
        let clean = fitted(|lab, place| camera.record(lab, place));
        let round = Round { middle: [1.3, 0.35], radius: 1.2 };
        let left = |place: [f64; 2]| 1.0 - TAKEN * round.share(pitches(place));
        let shaded =
            |lab, place| Camera { gains: camera.gains.map(|gain| gain * left(place)), ..camera }.record(lab, place);
        let fit = fitted(shaded);
        let cast = fit.cast.as_ref().unwrap();
        assert_eq!(cast.kind, CastKind::Shadow);
        assert!((cast.strength - TAKEN).abs() < 0.08, "{cast:?}");
        for place in [[-1.5, 0.0], [0.0, -1.9], [0.3, 2.3]] {
            let seen = shaded(OAK, place);
            let off = de2000(fit.lab_beside(seen, place), clean.lab_beside(camera.record(OAK, place), place));
            assert!(off < NEAR, "at {place:?}: {off}");
        }
    }
}

/// The place of a reflection is looked for between those that are tried first: half a pitch is the step of those, and its radius is none
/// of theirs. Twice as near as the nearest of them, own judgement.
#[test]
fn a_reflection_is_found_where_it_is() {
    let veil = Round { middle: [0.77, -0.26], radius: 1.6 };
    let fit = fitted(|lab, place| veiled(PLAIN, veil, 0.12, lab, place));
    let cast = fit.cast.as_ref().unwrap();
    let off = |round: Round| {
        let places = PLAIN.samples(&chart()).into_iter().map(|sample| pitches(sample.place));
        places.map(|place| (round.share(place) - veil.share(place)).abs()).fold(0.0, f64::max)
    };
    let found = cast.shares.iter().zip(PLAIN.samples(&chart()));
    let found = found.map(|(share, sample)| (share - veil.share(pitches(sample.place))).abs()).fold(0.0, f64::max);
    let nearest = [1.2, 2.0].map(|radius| off(Round { middle: [1.0, -0.5], radius })).into_iter().fold(1.0, f64::min);
    assert!(found < 0.5 * nearest, "{found}, of those tried {nearest}");
}

/// A soft reflection is known for one and taken off; the wood beside it, where nothing is mirrored, is read as without it.
#[test]
fn a_soft_reflection_is_taken_off() {
    let clean = fitted(|lab, place| REAL.record(lab, place));
    for middle in [[-1.2, -0.6], [1.5, 0.4], [0.2, 1.0]] {
        let veil = Round { middle, radius: 1.1 };
        let fit = fitted(|lab, place| veiled(REAL, veil, 0.08, lab, place));
        let cast = fit.cast.as_ref().unwrap();
        assert_eq!(cast.kind, CastKind::Reflection);
        for (share, sample) in cast.shares.iter().zip(PLAIN.samples(&chart())) {
            let want = veil.share(pitches(sample.place));
            assert!((share - want).abs() < 0.4, "{share} not {want} at {:?}", sample.place);
        }
        assert!(left_out_mean(&fit) < left_out_mean(&clean) + SEEN, "{}", left_out_mean(&fit));
        for place in [[-1.9, 0.0], [1.9, 0.0]] {
            let seen = veiled(REAL, veil, 0.08, OAK, place);
            let off = de2000(fit.lab_beside(seen, place), clean.lab_beside(REAL.record(OAK, place), place));
            assert!(off < NEAR, "{middle:?} at {place:?}: {off}");
        }
    }
}

/// A reflection over the top of the card, as of a window, is no shadow on the rest of it, and ends with the card.
#[test]
fn a_reflection_with_a_straight_edge_is_no_shadow_on_the_rest() {
    let clean = fitted(|lab, place| REAL.record(lab, place));
    let top = Straight { into: [0.0, -1.0], at: 0.0, breadth: f64::INFINITY, softness: 0.4 };
    for light in [0.06, 0.15] {
        let on_card = |place: [f64; 2]| if place[0].abs() > 1.0 { 0.0 } else { light * top.share(pitches(place)) };
        let record = |lab, place| Camera { flare: REAL.flare + on_card(place), ..REAL }.record(lab, place);
        let fit = fitted(record);
        let cast = fit.cast.as_ref().unwrap();
        assert_eq!(cast.kind, CastKind::Reflection);
        assert!(
            cast.shares[2] > 0.5 && cast.shares[8] > 0.5 && cast.shares[14] < 0.5 && cast.shares[20] < 0.5,
            "{cast:?}"
        );
        for place in [[-1.5, -0.5], [1.6, 0.5]] {
            let seen = REAL.record(OAK, place);
            let off = de2000(fit.lab_beside(seen, place), clean.lab_beside(seen, place));
            assert!(off < NEAR, "{light} at {place:?}: {off}");
        }
    }
}

/// Where nothing falls on the card none is made up, and nothing is added to what is stated: under even light, and under light
/// that falls off by a third.
#[test]
fn no_shadow_is_seen_where_there_is_none() {
    for camera in [PLAIN, REAL, Camera { fall_off: 0.33, ..PLAIN }] {
        let fit = fitted(|lab, place| camera.record(lab, place));
        assert_eq!(fit.cast, None);
        let unknown = fit.unknown_of_cast(camera.record(OAK, [1.5, 0.0]), [1.5, 0.0]);
        assert!(unknown.norm() < 0.3, "{unknown}");
    }
}

/// Nobody can see from the card whether its shadow falls on the work as well. What is stated holds the truth either way; two
/// colours on one side of the edge have it in common, and on two sides it pulls them apart.
#[test]
fn whether_a_shadow_falls_on_the_work_is_stated_as_unknown() {
    let fit = fitted(|lab, place| shaded(REAL, RIGHT, lab, place));
    let (left, right) = ([-1.6, 0.0], [1.6, 0.0]);
    let light = REAL.record(OAK, left);
    let dark = Camera { gains: REAL.gains.map(|gain| gain * (1.0 - TAKEN)), ..REAL };
    for (place, seen) in [
        (left, light),
        (left, dark.record(OAK, left)),
        (right, REAL.record(OAK, right)),
        (right, dark.record(OAK, right)),
    ] {
        let found = fit.lab_beside(seen, place);
        let unknown = fit.unknown_of_cast(seen, place);
        let stated = fit.covariance(found).0 + unknown * unknown.transpose();
        let off = Vector3::new(found.l - OAK.l, found.a - OAK.a, found.b - OAK.b);
        let distance = off.dot(&(stated.try_inverse().unwrap() * off));
        // χ² with 3 degrees of freedom, upper 10 %: NIST/SEMATECH e-Handbook 1.3.6.7.4.
        assert!(distance < 6.251, "{place:?}: {distance}, off {off}");
    }
    let shadow = |place: [f64; 2]| fit.unknown_of_cast(REAL.record(OAK, place), place).column(0).into_owned();
    let (here, near, there) = (shadow(left), shadow([-1.6, 1.0]), shadow(right));
    assert!((here - near).norm() < 0.2 * here.norm(), "{here} {near}");
    assert!(here.dot(&there) < -0.5 * here.norm() * there.norm(), "{here} {there}");
}

/// What a search promises is the gain in likelihood of the straight model about the solution, written out in full: of what the
/// patches are off before, under C = s²K + J P⁻¹ Jᵀ, and under C + L Σ Lᵀ with what the light sought, L, may be.
///
/// # Source
/// The marginal likelihood of a linear model: Bishop (2006), Pattern Recognition and Machine Learning, 2.3.3.
#[test]
fn what_is_promised_is_the_gain_of_the_straight_model() {
    let photo: Photo = photo_of(&samples(|lab, place| shaded(REAL, RIGHT, lab, place)));
    let all: Vec<usize> = (0..24).collect();
    let one: Hypothesis = photo.weigh(&all, &Otherwise::Only(Vec::new())).unwrap().best;
    let (theta, noise) = (&one.solution.theta, one.solution.noise);
    let patches = photo.patches(one.curve, one.lit);
    let problem = photo.problem(&patches, &photo.editions[0], &photo.prior);
    let mut centre = photo.prior.mean;
    problem.start(&all).into_iter().enumerate().for_each(|(channel, gain)| centre[GAIN + channel] += gain);
    let rows: Vec<_> = all.iter().map(|&p| problem.observed(theta, p)).collect();
    let slope = DMatrix::from_fn(72, 39, |i, k| rows[i / 3].by[(i % 3, k)]);
    let off = DVector::from_fn(72, |i, _| rows[i / 3].weighed[i % 3]);
    let before = off - &slope * DVector::from_column_slice((theta - centre).as_slice());
    let prior = DMatrix::from_column_slice(39, 39, photo.prior.covariance.as_slice());
    let own = photo.editions[0].kernel(&all, &photo.pitches).kronecker(&DMatrix::identity(3, 3)) * noise;
    let without = own + &slope * prior * slope.transpose();
    let log_likelihood = |covariance: &DMatrix<f64>| {
        let factor = covariance.clone().cholesky().unwrap();
        let log_determinant = 2.0 * factor.l().diagonal().iter().map(|v| v.ln()).sum::<f64>();
        -0.5 * (before.dot(&factor.solve(&before)) + log_determinant)
    };
    let promised = most_promising(&photo, &one);
    assert_eq!(promised.len(), 6);
    for (gain, lit) in promised {
        let share = |p: usize| match lit.local(photo.pitches_of(photo.seen[p].place)) {
            Local::Slope => 0.0,
            Local::Shadow(share) | Local::Veil(share) => share,
        };
        // log of light works as a gain does, less of it; a reflection as flare
        let light = |i: usize, of: usize| {
            let row = |k: usize| rows[i / 3].by[(i % 3, k)];
            share(i / 3)
                * match lit {
                    Lit::Cast(CastKind::Shadow, _) => -[row(0) + row(1) + row(2), row(0), row(2)][of],
                    _ => [row(17), row(18), row(20)][of],
                }
        };
        let light = DMatrix::from_fn(72, 3, light);
        let sd = lit.cast_sd().unwrap();
        let expected = DMatrix::from_diagonal(&DVector::from_vec(sd.map(|sd| sd * sd).to_vec()));
        let want = log_likelihood(&(&without + &light * expected * light.transpose())) - log_likelihood(&without);
        assert!((gain - want).abs() < 0.02 * want.abs() + 0.05, "{lit:?}: {gain} promised, {want}");
    }
}

/// By definition the shares of all that may light a card make a whole; 60 places of each shape are told apart.
#[test]
fn the_ways_of_lighting_a_card_make_a_whole() {
    let mut whole = Lit::OneLamp.share() + Lit::TwoLamps.share();
    for kind in [CastKind::Shadow, CastKind::Reflection] {
        let round = Shape::Round(Round { middle: [0.0; 2], radius: 1.0 });
        for shape in [Shape::Straight(RIGHT), Shape::Straight(ACROSS), round] {
            whole += 60.0 * Lit::Cast(kind, shape).share();
        }
    }
    assert!((whole - 1.0).abs() < 1e-12, "{whole}");
}
