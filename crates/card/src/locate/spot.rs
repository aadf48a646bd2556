//! A lamp's broad, soft reflection: light added over a round part of the card, most in its middle, little at its rim, where no
//! single patch is plainly off before those beside it are left out.

use super::cell::Cell;
use super::colours::{Reference, off};
use super::glare;

/// Radii of the part left out, in pitches, from its middle to those of the patches.
const RADII: [f64; 4] = [0.8, 1.2, 1.7, 2.1];

/// Fewest patches to which light was visibly added.
const FEWEST: usize = 2;

/// Squared distance, encoded, below which a patch in that part is as if no light had been added.
const AS_WITHOUT: f64 = 0.003;

/// The patches outside the round part, of at most `most` patches, without which the others agree best, in which each patch
/// is as it should be or lighter by white light. `cost`: what one patch more that is left out must better the agreement by.
pub(super) fn outside(
    reference: &Reference,
    measured: &[Option<Cell>],
    most: usize,
    cost: f64,
) -> Option<Vec<Option<Cell>>> {
    let place = |k: usize| [(k % reference.columns) as f64, (k / reference.columns) as f64];
    let middles = (0..2 * reference.rows - 1)
        .flat_map(|y| (0..2 * reference.columns - 1).map(move |x| [x as f64 / 2.0, y as f64 / 2.0]));
    let mut tried: Vec<Vec<bool>> = Vec::new();
    let mut best: Option<(f64, Vec<Option<Cell>>)> = None;
    for middle in middles {
        for radius in RADII {
            let far = |k: usize| (place(k)[0] - middle[0]).hypot(place(k)[1] - middle[1]);
            let inside: Vec<bool> = (0..measured.len()).map(|k| measured[k].is_some() && far(k) < radius).collect();
            let count = inside.iter().filter(|inside| **inside).count();
            if count < FEWEST || count > most || tried.contains(&inside) {
                continue;
            }
            let kept: Vec<Option<Cell>> = (0..measured.len()).map(|k| measured[k].filter(|_| !inside[k])).collect();
            tried.push(inside);
            let fit = reference.fit(&kept);
            let worth = fit.agreement.whole - cost * count as f64;
            if best.as_ref().is_some_and(|(worthier, _)| worth <= *worthier) {
                continue;
            }
            let white = fit.expected[reference.lightest()];
            let left_out =
                || (0..measured.len()).filter(|&k| kept[k].is_none()).filter_map(|k| Some((k, measured[k]?)));
            let added = |(k, cell): &(usize, Cell)| glare::adds(cell, &fit.expected[*k], &white);
            let as_without = |(k, cell): &(usize, Cell)| off(cell, &fit.expected[*k]) < AS_WITHOUT;
            let lit = left_out().filter(added).count();
            if lit >= FEWEST && left_out().all(|patch| as_without(&patch) || added(&patch)) {
                let mut kept = kept.clone();
                left_out().filter(as_without).for_each(|(k, cell)| kept[k] = Some(cell));
                best = Some((worth, kept));
            }
        }
    }
    best.map(|(_, kept)| kept)
}
