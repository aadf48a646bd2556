//! What speaks for a card laid in the picture: its colours as they are, with spoilt patches spared, or with part of it
//! in shade.
//!
//! Each allowance makes agreement by chance easier, so each is only tried where the one before did not do, states what
//! it took (`spared`, `shaded`), and must then reach a stricter bound ([`super::verdict`]). A patch may be spared only
//! where the picture itself shows that something lies on it: a patch seen whole, of one colour and with its edges, whose
//! colour is not the card's speaks against the card, unless a lamp's light was added to it ([`super::glare`]).

use super::cell::Cell;
use super::colours::{Agreement, Reference, off};
use super::exchange::{self, Exchange, FEWEST_UNDER_ONE_THING, Patches};
use super::glare;
use super::spot;

/// Colours of a laid card, held against its own.
#[derive(Debug, Clone)]
pub(crate) struct Evidence {
    pub agreement: Agreement,
    /// Whether a camera may record the card's hues so.
    pub hues_hold: bool,
    /// Share of variance explained by the best other way round in the same cells.
    pub runner_up: f64,
    /// Patches of the card in the picture.
    pub in_sight: usize,
    /// For each patch, whether it was left out as covered or in a reflection.
    pub spared: Vec<bool>,
    /// Light in the shade as a share of that beside it, encoded, where part of the card was taken to be in shade.
    pub shade: Option<f64>,
    /// What two patches, rows or columns would do in each other's place.
    pub exchange: Exchange,
    /// Patches whose four edges were seen, of those not spared.
    pub edged: usize,
}

/// Most patches spared, as a share of those in sight.
const MOST_SPARED: f64 = 0.42;

/// One patch in so many may be off, whatever it looks like, on what may still be the card.
const FORGIVEN: usize = 4;

/// Squared residual over the median one from which a patch may be spared.
const FAR_OFF: f64 = 5.0;

/// Encoded values in the shade over those beside it.
const SHADES: [f64; 7] = [0.40, 0.47, 0.55, 0.64, 0.73, 0.82, 0.90];

/// Directions in which the edge of a shade may run over the card.
const DIRECTIONS: usize = 16;

/// The card's colours as they were measured.
pub(crate) fn plain(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> Evidence {
    weighed(reference, measured, measured, edged, Over::Cover)
}

/// As [`plain`] without the patches that are far off and may be covered: those not `edged` or not of one colour.
pub(crate) fn sparing(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> Evidence {
    let kept = spare(reference, measured, edged, false);
    weighed(reference, measured, &kept, edged, Over::Cover)
}

/// As [`plain`] without all patches at once that may be covered, save those that are as the others say: where so many are under
/// one thing that a fit to all shows none of them to be off.
pub(crate) fn uncovered(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> Option<Evidence> {
    let bare = |k: usize| measured[k].filter(|cell| edged[k] && cell.even);
    let mut kept: Vec<Option<Cell>> = (0..measured.len()).map(bare).collect();
    let left_out = |kept: &[Option<Cell>]| measured.iter().flatten().count() - kept.iter().flatten().count();
    if !(FEWEST_UNDER_ONE_THING..=most_spared(measured)).contains(&left_out(&kept)) {
        return None;
    }
    let fit = reference.fit(&kept);
    let off = |k: usize, cell: &Cell| off(cell, &fit.expected[k]);
    let limit =
        FAR_OFF * median(kept.iter().enumerate().filter_map(|(k, cell)| Some(off(k, cell.as_ref()?))))?.max(1e-5);
    for (k, cell) in measured.iter().enumerate() {
        kept[k] = cell.filter(|cell| kept[k].is_some() || off(k, cell) <= limit);
    }
    (left_out(&kept) > 0).then(|| weighed(reference, measured, &kept, edged, Over::Cover))
}

/// As [`sparing`], and without patches side by side to which a lamp's light was added.
pub(crate) fn glared(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> Evidence {
    let kept = spare(reference, measured, edged, true);
    weighed(reference, measured, &kept, edged, Over::Lamp)
}

/// As [`plain`] without a round part of the card over which a lamp's soft reflection lies, where one may. `cost`: what each
/// patch left out must better the agreement by.
pub(crate) fn spotted(reference: &Reference, measured: &[Option<Cell>], edged: &[bool], cost: f64) -> Option<Evidence> {
    let kept = spot::outside(reference, measured, most_spared(measured), cost)?;
    Some(weighed(reference, measured, &kept, edged, Over::Lamp))
}

/// As [`plain`] without the few patches that are far off, whatever they look like, until the others agree by `enough`: no
/// evidence that this is the card, but that it may be.
pub(crate) fn forgiving(reference: &Reference, measured: &[Option<Cell>], enough: f64) -> Evidence {
    let mut kept = measured.to_vec();
    for _ in 0..measured.len() / FORGIVEN {
        let fit = reference.fit(&kept);
        if fit.agreement.whole >= enough {
            break;
        }
        let off = |k: &usize| kept[*k].map_or(0.0, |cell| off(&cell, &fit.expected[*k]));
        let worst = (0..kept.len()).max_by(|a, b| off(a).total_cmp(&off(b)));
        worst.into_iter().for_each(|k| kept[k] = None);
    }
    weighed(reference, measured, &kept, &[], Over::Cover)
}

/// As [`sparing`] where part of the card, beyond a straight edge, lies in the shade that agrees best.
pub(crate) fn shaded(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> Evidence {
    let (lit, shade) = lit(reference, measured, edged);
    let kept = spare(reference, &lit, edged, false);
    weighed(reference, &lit, &kept, edged, Over::Shade(shade))
}

/// What lies on a card, beside what may cover it.
#[derive(Clone, Copy, PartialEq)]
enum Over {
    Cover,
    Shade(f64),
    Lamp,
}

fn weighed(
    reference: &Reference,
    measured: &[Option<Cell>],
    kept: &[Option<Cell>],
    edged: &[bool],
    over: Over,
) -> Evidence {
    let fit = reference.fit(kept);
    let other = |way: Vec<usize>| {
        let seen: Vec<Option<Cell>> = way.iter().map(|&k| kept[k]).collect();
        reference.fit(&seen).agreement.whole
    };
    Evidence {
        agreement: fit.agreement,
        hues_hold: fit.hues_hold,
        runner_up: reference.other_ways().into_iter().map(other).fold(f64::MIN, f64::max),
        in_sight: measured.iter().flatten().count(),
        spared: measured.iter().zip(kept).map(|(all, kept)| all.is_some() && kept.is_none()).collect(),
        shade: if let Over::Shade(depth) = over { Some(depth) } else { None },
        exchange: exchange::best(&Patches { reference, measured, kept, lamp: over == Over::Lamp }, &fit),
        edged: kept.iter().zip(edged).filter(|(cell, edged)| cell.is_some() && **edged).count(),
    }
}

fn most_spared(measured: &[Option<Cell>]) -> usize {
    (MOST_SPARED * measured.iter().flatten().count() as f64) as usize
}

/// Leaves out, worst first, patches far from the fit to the others on which something lies: a cover, or, where that is asked
/// for, a lamp's reflection.
fn spare(reference: &Reference, measured: &[Option<Cell>], edged: &[bool], lamp: bool) -> Vec<Option<Cell>> {
    let mut kept = measured.to_vec();
    // where no edges are seen, for blur, a patch without them is not for that covered
    let sharp = edged.iter().filter(|edged| **edged).count() * 2 > measured.iter().flatten().count();
    let mut in_glare: Vec<usize> = Vec::new();
    for _ in 0..most_spared(measured) {
        let fit = reference.fit(&kept);
        let off = |k: usize, cell: &Cell| off(cell, &fit.expected[k]);
        let Some(median) = median(kept.iter().enumerate().filter_map(|(k, cell)| Some(off(k, cell.as_ref()?)))) else {
            break;
        };
        let white = fit.expected[reference.lightest()];
        let beside = |k: usize| in_glare.is_empty() || in_glare.iter().any(|&other| reference.are_beside(k, other));
        let glared = |k: usize, cell: &Cell| lamp && beside(k) && glare::adds(cell, &fit.expected[k], &white);
        let covered = |k: usize, cell: &Cell| (sharp && !edged[k]) || !cell.even;
        let worst = kept
            .iter()
            .enumerate()
            .filter_map(|(k, cell)| {
                cell.filter(|cell| covered(k, cell) || glared(k, cell)).map(|cell| (off(k, &cell), k))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match worst {
            Some((off, k)) if off > FAR_OFF * median.max(1e-5) => {
                if measured[k].is_some_and(|cell| !covered(k, &cell)) {
                    in_glare.push(k);
                }
                kept[k] = None;
            }
            _ => break,
        }
    }
    kept
}

fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// The colours as they would be without the shade, and how deep it is.
fn lit(reference: &Reference, measured: &[Option<Cell>], edged: &[bool]) -> (Vec<Option<Cell>>, f64) {
    let sound: Vec<Option<Cell>> =
        measured.iter().zip(edged).map(|(cell, &edged)| cell.filter(|cell| cell.even || edged)).collect();
    let place = |k: usize| [(k % reference.columns) as f64, (k / reference.columns) as f64];
    let lightened = |cells: &[Option<Cell>], dark: &[bool], shade: [f64; 3]| -> Vec<Option<Cell>> {
        let lighten = |(cell, &dark): (&Option<Cell>, &bool)| {
            cell.map(|cell| {
                let rgb = if dark { [0, 1, 2].map(|c| cell.rgb[c] / shade[c]) } else { cell.rgb };
                Cell { rgb, ..cell }
            })
        };
        cells.iter().zip(dark).map(lighten).collect()
    };
    let mut sides: Vec<Vec<bool>> = Vec::new();
    for direction in 0..DIRECTIONS {
        let (sin, cos) = (std::f64::consts::TAU * direction as f64 / DIRECTIONS as f64).sin_cos();
        let along: Vec<f64> = (0..measured.len()).map(|k| place(k)[0] * cos + place(k)[1] * sin).collect();
        let mut sorted = along.clone();
        sorted.sort_by(f64::total_cmp);
        for part in 1..6 {
            let edge = sorted[part * sorted.len() / 6] - 1e-6;
            let side: Vec<bool> = along.iter().map(|&v| v > edge).collect();
            if !sides.contains(&side) {
                sides.push(side);
            }
        }
    }
    let mut best = (f64::MIN, 0, 1.0);
    for (k, side) in sides.iter().enumerate() {
        for shade in SHADES {
            let whole = reference.quick_agreement(&lightened(&sound, side, [shade; 3])).whole;
            if whole > best.0 {
                best = (whole, k, shade);
            }
        }
    }
    // light in the shade may have another colour: each channel its own depth, a step up or down
    let (_, side, shade) = best;
    let mut depth = [shade; 3];
    for c in 0..3 {
        for factor in [0.92, 1.0 / 0.92] {
            let mut other = depth;
            other[c] *= factor;
            let whole = reference.quick_agreement(&lightened(&sound, &sides[side], other)).whole;
            if whole > best.0 {
                (best.0, depth) = (whole, other);
            }
        }
    }
    (lightened(measured, &sides[side], depth), depth[1])
}
