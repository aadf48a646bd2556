//! Whether patches stand in each other's place: then it is another card, however few they are and however well the others fit.

use colour::calibration::LeftOut;
use colour::{Lab, de2000};
use nalgebra::Vector3;

/// ΔE2000 to its own colour from which on a patch may be out of its place.
pub(super) const OFF_DE00: f64 = 6.0;
/// A patch has another's colour where it is so much nearer to that: own judgement; what merely lies on several patches does not
/// have the colours of just these, each in another's place.
const NEARER: f64 = 0.6;
/// Share of cards of which two patches are in each other's place: own judgement, no source.
const EXCHANGED: f64 = 1e-3;
/// Log odds by the fits without either patch, each misled by the other, from which on a pair is looked at, and most such pairs:
/// own judgement. Of 45 photos of a 24-patch chart as it should be 3 have one; by fits without both none passes 4.4.
const SUSPECT: f64 = 3.0;
const MOST_SUSPECTS: usize = 3;

/// Whether some patches changed places among themselves, by what the others say they are.
pub(super) fn is_another(seen: &[Option<Lab>], reference: &[Lab]) -> bool {
    let off = |patch: usize, place: usize| seen[patch].map(|lab| de2000(lab, reference[place]));
    let is_off = |patch: &usize| off(*patch, *patch).is_some_and(|off| off > OFF_DE00);
    let out_of_place: Vec<usize> = (0..seen.len().min(reference.len())).filter(is_off).collect();
    let belongs = |patch: usize| -> Option<usize> {
        let places = out_of_place.iter().filter_map(|&place| Some((off(patch, place)?, place)));
        let (nearest, place) = places.min_by(|a, b| a.0.total_cmp(&b.0))?;
        (nearest < NEARER * off(patch, patch)?).then_some(place)
    };
    // Following each patch to where it belongs comes back to it where they went round.
    let goes_round = |first: usize| {
        let mut at = first;
        for _ in &out_of_place {
            match belongs(at) {
                Some(place) if place == first => return true,
                Some(place) => at = place,
                None => return false,
            }
        }
        false
    };
    out_of_place.iter().any(|&first| goes_round(first))
}

/// Pairs of patches that may be in each other's place, by what the fits without each say it is: worth a fit without both.
pub(super) fn suspects(seen: &[Option<LeftOut>], reference: &[Lab]) -> Vec<(usize, usize)> {
    let pairs = (0..reference.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
    let odds = |pair| Some((gains(seen, reference, pair)?.iter().sum::<f64>(), pair));
    let mut suspects: Vec<_> = pairs.filter_map(odds).filter(|(odds, _)| *odds > SUSPECT).collect();
    suspects.sort_by(|a, b| b.0.total_cmp(&a.0));
    suspects.into_iter().take(MOST_SUSPECTS).map(|(_, pair)| pair).collect()
}

/// Whether two patches are in each other's place, by what a fit without both says they are: where that is likelier than not, as
/// seldom as it happens, and however many pairs there are.
pub(super) fn are_exchanged(seen: &[Option<LeftOut>], reference: &[Lab], pair: (usize, usize)) -> bool {
    let pairs = (reference.len() * reference.len().saturating_sub(1) / 2) as f64;
    gains(seen, reference, pair).is_some_and(|gains| {
        // one that is likelier in its own place did not change it
        gains.iter().all(|gain| *gain > 0.0) && gains.iter().sum::<f64>() > (pairs / EXCHANGED).ln()
    })
}

/// Logs of how much likelier each of two patches is in the other's place than in its own.
fn gains(seen: &[Option<LeftOut>], reference: &[Lab], (i, j): (usize, usize)) -> Option<[f64; 2]> {
    let gain = |patch: usize, place: usize| {
        let seen = seen[patch].as_ref()?;
        Some(log_density(seen, reference[place]) - log_density(seen, reference[patch]))
    };
    Some([gain(i, j)?, gain(j, i)?])
}

/// Log of the density stated for a colour, up to what does not depend on it: a multivariate t in three dimensions.
fn log_density(left_out: &LeftOut, lab: Lab) -> f64 {
    let off = Vector3::new(lab.l - left_out.lab.l, lab.a - left_out.lab.a, lab.b - left_out.lab.b);
    let dof = left_out.degrees_of_freedom;
    let square = left_out.covariance.try_inverse().map_or(0.0, |inverse| off.dot(&(inverse * off)));
    -0.5 * (dof + 3.0) * (square / dof).ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A card's published colours.
    fn chart() -> Vec<Lab> {
        crate::layout::known()[0].editions[0].lab.clone()
    }

    /// As read, each off by what a fair photo leaves: ΔE*ab 3, one way and the other.
    fn read(chart: &[Lab]) -> Vec<Option<Lab>> {
        let off = |k: usize| if k.is_multiple_of(2) { 2.0 } else { -2.0 };
        chart
            .iter()
            .enumerate()
            .map(|(k, lab)| Some(Lab::new(lab.l + off(k), lab.a - off(k), lab.b + off(k / 2))))
            .collect()
    }

    /// Exchanged, turned round among three or four: another card, wherever two of them differ by more than is a patch's own
    /// error; a card that is as it should be is not, nor one of which patches are not known.
    #[test]
    fn patches_in_each_others_place_are_another_card() {
        let chart = chart();
        let seen = read(&chart);
        assert!(!is_another(&seen, &chart));
        let mut tried = 0;
        for a in 0..24 {
            for b in 0..a {
                let mut moved = seen.clone();
                moved.swap(a, b);
                let apart = de2000(chart[a], chart[b]);
                if apart > 14.0 {
                    assert!(is_another(&moved, &chart), "{a} and {b}");
                    tried += 1;
                }
            }
        }
        assert!(tried > 200, "{tried}");
        for round in [vec![2, 9, 14], vec![0, 7, 12, 16], vec![3, 5, 10, 17, 21]] {
            let mut moved = seen.clone();
            round.windows(2).for_each(|pair| moved.swap(pair[0], pair[1]));
            assert!(is_another(&moved, &chart), "{round:?}");
            moved[round[0]] = None;
            assert!(!is_another(&moved, &chart), "one is not seen: {round:?}");
        }
    }

    /// A cover is of one colour: however near that is to one patch, the others do not lie where it is.
    #[test]
    fn what_covers_patches_does_not_make_another_card() {
        let chart = chart();
        let finger = Lab::new(66.0, 18.0, 18.0);
        for covered in [vec![0], vec![1, 7], vec![3, 4, 9, 10], vec![16, 17, 22, 23], vec![0, 1, 6, 7, 12, 13]] {
            let mut seen = read(&chart);
            covered.iter().for_each(|&patch| seen[patch] = Some(finger));
            assert!(!is_another(&seen, &chart), "{covered:?}");
        }
    }

    /// Colours read, each with the same error stated.
    fn seen_as(colours: Vec<Option<Lab>>, sd: f64) -> Vec<Option<LeftOut>> {
        let left_out = |lab: Lab| LeftOut {
            lab,
            de00: 0.0,
            covariance: nalgebra::Matrix3::identity() * sd * sd,
            degrees_of_freedom: 15.0,
            holds: true,
        };
        colours.into_iter().map(|lab| lab.map(left_out)).collect()
    }

    /// Two patches read in each other's place, however near their colours are, where the error stated is so much smaller; not
    /// where it is not, nor where one of them is where it should be, under whatever lies on the other. Each 2 ΔE*ab off.
    #[test]
    fn near_patches_are_told_to_be_exchanged_by_the_error_stated() {
        let chart = chart();
        // moderate red and red, dark skin and foliage's neighbour in lightness, two blues: ΔE2000 9 to 17
        for (a, b) in [(8, 14), (0, 22), (7, 12), (5, 17), (3, 13)] {
            let mut moved = read(&chart);
            moved.swap(a, b);
            let pair = (b, a);
            let exchanged = |sd: f64| are_exchanged(&seen_as(moved.clone(), sd), &chart, pair);
            assert!(exchanged(1.5) && suspects(&seen_as(moved.clone(), 1.5), &chart).contains(&pair), "{a} and {b}");
            assert!(!exchanged(40.0), "{a} and {b}, hardly known");
            assert!(!are_exchanged(&seen_as(read(&chart), 1.5), &chart, pair), "{a} and {b} as they are");
            let mut covered = read(&chart);
            let beyond = |of: fn(Lab) -> f64| 3.0 * of(chart[b]) - 2.0 * of(chart[a]);
            covered[a] = Some(Lab::new(beyond(|lab| lab.l), beyond(|lab| lab.a), beyond(|lab| lab.b)));
            assert!(!are_exchanged(&seen_as(covered, 1.5), &chart, pair), "{b} is where it should be, {a} covered");
        }
        assert!(suspects(&seen_as(read(&chart), 1.5), &chart).is_empty());
    }
    /// One patch read as another, which itself is read a little nearer to its own colour than to the other's: something of the other's
    /// colour lies on the one, and they did not change places, however unlikely the one is where it is. A little beyond the middle they did.
    #[test]
    fn a_patch_likelier_in_its_own_place_did_not_change_it() {
        let chart = chart();
        for (a, b) in [(0, 18), (7, 12), (3, 15), (5, 23)] {
            let part = |share: f64, of: fn(Lab) -> f64| of(chart[a]) + share * (of(chart[b]) - of(chart[a]));
            let read = |share: f64| {
                let mut colours = read(&chart);
                colours[b] = Some(chart[a]);
                colours[a] =
                    Some(Lab::new(part(share, |lab| lab.l), part(share, |lab| lab.a), part(share, |lab| lab.b)));
                seen_as(colours, 1.5)
            };
            let (nearer_its_own, nearer_the_other) = (read(0.45), read(0.55));
            let odds: f64 = gains(&nearer_its_own, &chart, (a, b)).unwrap().iter().sum();
            // 276 pairs, of which one in a thousand cards has one exchanged: 12.5
            assert!(odds > 12.6, "{a} and {b}: together they are likelier exchanged, {odds}");
            assert!(!are_exchanged(&nearer_its_own, &chart, (a, b)), "{a} and {b}");
            assert!(are_exchanged(&nearer_the_other, &chart, (a, b)), "{a} and {b}");
        }
    }
}
