//! A card between two lamps of different colour.

use super::*;

const OAK: Lab = Lab { l: 68.0, a: 6.0, b: 22.0, white_point: std::marker::PhantomData };

/// Recorded where red over blue light changes by this much, in its log, from the left of the card to the right. The camera is
/// linear, so that more light is as much more in the file.
pub(super) fn between(change: f64, lab: Lab, place: [f64; 2]) -> [f64; 3] {
    let light = PLAIN.record(lab, place);
    let by = change / 4.0 * place[0];
    [light[0] * by.exp(), light[1], light[2] * (-by).exp()]
}

fn fitted(change: f64) -> Fit {
    let at = |s: Sample| Sample { device: between(change, s.lab, s.place), ..s };
    let samples: Vec<Sample> = PLAIN.samples(&chart()).into_iter().map(at).collect();
    fit(&samples, &Working::srgb(), &prior()).unwrap()
}

/// The change put into the light is found again, and a colour beside the card is read by it: near the card the error is
/// less than seven tenths of what it is by the light of the card's middle (own judgement: the slope is held back there).
#[test]
fn light_that_changes_its_colour_is_followed() {
    for change in [0.4, 0.6, -0.5] {
        let fit = fitted(change);
        let found = fit.light.colour_change;
        assert!((found - f64::abs(change)).abs() < 0.12, "{found} for {change}");
        assert!(left_out_mean(&fit) < 1.5, "{}", left_out_mean(&fit));
        let seen = between(change, OAK, [1.8, 0.0]);
        let (followed, not) = (de2000(fit.lab_beside(seen, [1.8, 0.0]), OAK), de2000(fit.lab(seen), OAK));
        assert!(followed < 0.7 * not, "{change}: {followed}, not followed {not}");
    }
}

/// Under one lamp none is made up.
#[test]
fn light_of_one_colour_changes_none() {
    for camera in [PLAIN, REAL] {
        let fit = fit(&camera.samples(&chart()), &Working::srgb(), &prior()).unwrap();
        assert!(fit.light.colour_change < 0.06, "{}", fit.light.colour_change);
    }
}

/// How the colour goes on to change beyond the card is not known: the slopes of red and of blue are stated the less surely the
/// more they are, and the region they give holds the truth even where the light changes no more beyond the card's edge.
#[test]
fn a_light_that_changes_on_the_card_may_change_otherwise_beyond() {
    let sd = |fit: &Fit, slope: usize| fit.light.beside_covariance[0][(slope, slope)].sqrt();
    let (even, mixed) = (fitted(0.0), fitted(0.6));
    for slope in [1, 2] {
        assert!(sd(&mixed, slope) > 3.0 * sd(&even, slope), "{} {}", sd(&mixed, slope), sd(&even, slope));
    }
    let place = [3.0, 0.0];
    let seen = between(0.6, OAK, [1.0, 0.0]);
    let off = mixed.lab_beside(seen, place);
    let by = mixed.by_light(seen, place) * place[0];
    let spread = by * mixed.light.beside_covariance[0] * by.transpose() + mixed.covariance(off).0;
    let off = Vector3::new(off.l - OAK.l, off.a - OAK.a, off.b - OAK.b);
    let distance = off.dot(&(spread.try_inverse().unwrap() * off));
    // χ² with 3 degrees of freedom, upper 10 %: NIST/SEMATECH e-Handbook 1.3.6.7.4.
    assert!(distance < 6.251, "{distance}: {off}");
}
