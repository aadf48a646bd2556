//! Whether patches stand in each other's place: then it is another card, however few they are and however well the others fit.

use colour::{Lab, de2000};

/// ΔE2000 to its own colour from which on a patch may be out of its place.
pub(super) const OFF_DE00: f64 = 6.0;
/// A patch has another's colour where it is so much nearer to that: own judgement; what merely lies on several patches does not
/// have the colours of just these, each in another's place.
const NEARER: f64 = 0.6;

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
}
