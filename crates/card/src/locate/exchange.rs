//! Whether the patches of what looks like the card stand in another order.

use super::cell::Cell;
use super::colours::{self, Fit, Reference};
use super::glare;

/// What the best exchange of two patches, two rows or two columns would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Exchange {
    /// How much better the colours would agree, over the variance of all: large on a card whose patches are the same in
    /// another order.
    pub gain: f64,
    /// Whether three patches, turned round among their places, leave next to nothing unexplained: then the card has them so.
    pub mends: bool,
}

/// Gain from which two patches that might have changed places are looked at again.
const WORTH_A_FIT: f64 = 0.01;

/// Squared distance to a patch's own place over that to the other's, below which it is where it should be.
const NEARER: f64 = 0.15;

/// Fewest patches left out that are under one thing, rather than two that changed places and show no edges.
pub(super) const FEWEST_UNDER_ONE_THING: usize = 3;

/// Shares of what is left unexplained that an exchange which did happen may leave: at most, and where it is plain.
const LEFT: f64 = 0.4;
const LEFT_WHERE_PLAIN: f64 = 0.1;

/// Three patches are turned round among the so many that fit worst, where so much, at least and at most, is unexplained: more
/// is no card in any case.
const WORST: usize = 6;
const LEAST_LEFT: f64 = 0.01;
const MOST_LEFT: f64 = 0.4;

/// A laid card's patches.
#[derive(Clone, Copy)]
pub(crate) struct Patches<'a> {
    pub reference: &'a Reference,
    /// All that are in the picture, and those that were fitted, spared ones left out.
    pub measured: &'a [Option<Cell>],
    pub kept: &'a [Option<Cell>],
    /// Whether the spared ones are such as a lamp lights: then each may have so much of its light as suits it best.
    pub lamp: bool,
}

impl Patches<'_> {
    /// Squared distance of what is seen of a patch to what is expected of one.
    fn off(&self, patch: usize, expected: &[f64; 3], white: &[f64; 3]) -> Option<f64> {
        let cell = self.measured[patch]?;
        let lit = self.lamp && self.kept[patch].is_none();
        Some(if lit { glare::off(&cell, expected, white) } else { colours::off(&cell, expected) })
    }
}

/// The best exchange.
///
/// Patches of one colour each are tried, and spared ones: what covers two patches does not look like each of them in the
/// other's place. Of two that changed places neither is, by a fit to the others, where it should be; where one is, or is left out
/// with others, and their exchange does not mend much, something lies on the other.
pub(crate) fn best(patches: &Patches, fit: &Fit) -> Exchange {
    let Patches { reference, measured, kept, .. } = *patches;
    let total = fit.total.max(1e-9);
    let white = fit.expected[reference.lightest()];
    let even = |k: usize| measured[k].is_some_and(|cell| cell.even || kept[k].is_none());
    let off = |patch: usize, place: usize| patches.off(patch, &fit.expected[place], &white);
    let gain = |i: usize, j: usize| -> Option<f64> {
        let both = even(i) && even(j);
        both.then(|| Some((off(i, i)? + off(j, j)? - off(i, j)? - off(j, i)?) / total)).flatten()
    };
    let is_left_out = |k: usize| measured[k].is_some() && kept[k].is_none();
    let many = (0..measured.len()).filter(|&k| is_left_out(k)).count() >= FEWEST_UNDER_ONE_THING;
    let is_covered = |k: usize| !patches.lamp && many && is_left_out(k);
    let lines = lines_exchanged(reference).into_iter().filter_map(|exchanged| {
        let gain = exchanged.iter().filter_map(|&(i, j)| gain(i, j)).sum::<f64>();
        // what lies on part of a line may be nearer to another's colours, as if beyond them
        let covered = exchanged.iter().any(|&(i, j)| is_covered(i) || is_covered(j));
        (gain < WORTH_A_FIT || !covered || left_over(patches, &exchanged) < LEFT).then_some(gain)
    });
    let mut best = Exchange { gain: lines.fold(0.0, f64::max), mends: false };
    for (i, j) in pairs(measured.len()) {
        let Some(gain) = gain(i, j).filter(|gain| *gain > 0.0) else { continue };
        if gain < WORTH_A_FIT {
            best.gain = best.gain.max(gain);
            continue;
        }
        let left = left_over(patches, &[(i, j)]);
        // what lies on many, and shows no edges, is no patch of the card: only where their exchange mends much may it be one
        let covered = is_covered(i) || is_covered(j);
        if gain > best.gain && (left < LEFT || !(covered || in_its_place(patches, (i, j)))) {
            best.gain = gain;
        }
    }
    best.mends = three_turned_round(reference, measured, kept, fit);
    best
}

/// Whether three of the patches that fit worst, turned round among their places, leave next to nothing unexplained.
fn three_turned_round(reference: &Reference, measured: &[Option<Cell>], kept: &[Option<Cell>], fit: &Fit) -> bool {
    let left = 1.0 - fit.agreement.whole;
    if !(LEAST_LEFT..=MOST_LEFT).contains(&left) {
        return false;
    }
    let off = |k: &usize| kept[*k].map_or(0.0, |cell| colours::off(&cell, &fit.expected[*k]));
    let mut worst: Vec<usize> = (0..kept.len()).filter(|k| kept[*k].is_some()).collect();
    worst.sort_by(|a, b| off(b).total_cmp(&off(a)));
    worst.truncate(WORST);
    let turned = |places: [usize; 3], by: usize| {
        let mut cells = kept.to_vec();
        (0..3).for_each(|at| cells[places[at]] = measured[places[(at + by) % 3]]);
        1.0 - reference.fit(&cells).agreement.whole < LEFT_WHERE_PLAIN * left
    };
    let three = (0..worst.len()).flat_map(|i| (0..i).flat_map(move |j| (0..j).map(move |k| [i, j, k])));
    three.map(|at| at.map(|at| worst[at])).any(|places| turned(places, 1) || turned(places, 2))
}

/// Whether the patches of one row or one column, moved along it, those that leave it coming in at its other end, leave next to
/// nothing unexplained: a step along the greys looks like shade.
pub(crate) fn line_moved_along(reference: &Reference, measured: &[Option<Cell>]) -> bool {
    let (rows, columns) = (reference.rows, reference.columns);
    let of_row = |row: usize| (0..columns).map(|column| row * columns + column).collect::<Vec<usize>>();
    let of_column = |column: usize| (0..rows).map(|row| row * columns + column).collect();
    let lines = (0..rows).map(of_row).chain((0..columns).map(of_column));
    let left = 1.0 - reference.fit(measured).agreement.whole;
    let mends = |line: &[usize], by: usize| {
        let mut cells = measured.to_vec();
        (0..line.len()).for_each(|at| cells[line[at]] = measured[line[(at + by) % line.len()]]);
        1.0 - reference.fit(&cells).agreement.whole < LEFT_WHERE_PLAIN * left
    };
    left >= LEAST_LEFT && lines.into_iter().any(|line| (1..line.len()).any(|by| mends(&line, by)))
}

fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(|i| (0..i).map(move |j| (i, j)))
}

/// For each two rows, and each two columns, the patches that change places with them.
fn lines_exchanged(reference: &Reference) -> Vec<Vec<(usize, usize)>> {
    let (rows, columns) = (reference.rows, reference.columns);
    let of_rows = pairs(rows).map(|(i, j)| (0..columns).map(|k| (i * columns + k, j * columns + k)).collect());
    let of_columns = pairs(columns).map(|(i, j)| (0..rows).map(|k| (k * columns + i, k * columns + j)).collect());
    of_rows.chain(of_columns).collect()
}

/// What exchanges would leave unexplained, as a share of what is so without them.
fn left_over(patches: &Patches, exchanged: &[(usize, usize)]) -> f64 {
    let Patches { reference, measured, kept, .. } = *patches;
    let left = |exchange: bool| {
        let mut cells = kept.to_vec();
        for &(i, j) in exchanged {
            let (at_i, at_j) = if exchange { (j, i) } else { (i, j) };
            (cells[i], cells[j]) = (measured[at_i], measured[at_j]);
        }
        1.0 - reference.fit(&cells).agreement.whole
    };
    left(true) / left(false).max(1e-9)
}

/// Whether one of two patches is by far nearer to what is expected of it, by a fit without both, than to what is expected
/// of the other.
fn in_its_place(patches: &Patches, (i, j): (usize, usize)) -> bool {
    let mut others = patches.kept.to_vec();
    (others[i], others[j]) = (None, None);
    let expected = patches.reference.fit(&others).expected;
    let white = expected[patches.reference.lightest()];
    let off = |k: usize, place: usize| patches.off(k, &expected[place], &white).unwrap_or(f64::INFINITY);
    let stays = |k: usize, other: usize| off(k, k) < NEARER * off(k, other);
    stays(i, j) || stays(j, i)
}
