//! Whether colours behave like a card's: a fit of what was measured to what the card's paints are.
//!
//! A camera's encoded values are, near enough, a mixture of the card's linear colours bent by some exponent, with a gain
//! and an offset per channel. Four numbers per channel are free; the rest of the patches must follow.

use super::cell::Cell;
use super::hues;
use crate::layout::Card;

/// Exponents applied to the card's linear colours: cameras bend tones differently, the best of these is taken.
const TONES: [f64; 3] = [0.45, 0.30, 0.75];

/// Encoded value from which a channel counts as clipped.
pub(crate) const CLIPPED: f64 = 0.975;

/// Rounds in which clipped values are raised to what the fit expects of them.
const ROUNDS: usize = 3;

/// Numbers per channel that are fitted: offset, lightness, and two of colour.
const TERMS: usize = 4;

/// Terms that a grey card has: offset and lightness.
const GREY_TERMS: usize = 2;

/// XYZ (D50, Y = 1) to linear sRGB, Bradford adapted.
///
/// # Source
/// IEC 61966-2-1:1999 primaries; matrix as published by Lindbloom B., RGB/XYZ Matrices, sRGB adapted to D50.
const LINEAR_FROM_XYZ_D50: [[f64; 3]; 3] = [
    [3.133_856_1, -1.616_866_7, -0.490_614_6],
    [-0.978_768_4, 1.916_141_5, 0.033_454_0],
    [0.071_945_3, -0.228_991_4, 1.405_242_7],
];

/// How measured colours agree with a card's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Agreement {
    /// Share of the variance explained, corrected for the freedom of the fit.
    pub whole: f64,
    /// Share of what lightness alone leaves over that colour explains, corrected likewise.
    pub chroma: f64,
}

impl Agreement {
    /// That of colours that have nothing to do with the card's.
    pub(crate) const NONE: Agreement = Agreement { whole: 0.0, chroma: 0.0 };
}

/// The fit of measured colours to a card's.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub agreement: Agreement,
    /// What the fit expects of each patch, encoded.
    pub expected: Vec<[f64; 3]>,
    /// Variance of the measured colours, summed over channels and patches.
    pub total: f64,
    /// Whether a camera may record the card's hues so.
    pub hues_hold: bool,
}

/// A card's colours, made ready for comparing.
pub(crate) struct Reference {
    pub rows: usize,
    pub columns: usize,
    /// For each tone the terms of each patch.
    tones: Vec<Vec<[f64; TERMS]>>,
    terms: usize,
    /// Whether its hues are so many that how they are turned can be told.
    many_hues: bool,
}

impl Reference {
    /// Prepares the mean of the card's editions.
    pub(crate) fn of(card: &Card) -> Reference {
        let linear: Vec<[f64; 3]> = card
            .mean_lab()
            .into_iter()
            .map(|lab| {
                let xyz = colour::xyz_from_lab(lab);
                LINEAR_FROM_XYZ_D50.map(|m| (m[0] * xyz.x + m[1] * xyz.y + m[2] * xyz.z).max(0.0))
            })
            .collect();
        let terms = |exponent: f64| -> Vec<[f64; TERMS]> {
            let bent = linear.iter().map(|rgb| rgb.map(|v| v.powf(exponent)));
            bent.map(|v| [1.0, (v[0] + v[1] + v[2]) / 3.0, v[0] - v[1], v[2] - v[1]]).collect()
        };
        let tones: Vec<_> = TONES.iter().map(|&exponent| terms(exponent)).collect();
        let chroma = |term: usize| tones[0].iter().map(|t| t[term].powi(2)).sum::<f64>() / linear.len() as f64;
        // colours that differ from grey by less than 3 % of the range tell nothing
        let coloured = chroma(2).max(chroma(3)).sqrt() > 0.03;
        let many_hues = hues::are_many(tones[0].iter().map(|t| [t[2], t[3]]));
        let terms = if coloured { TERMS } else { GREY_TERMS };
        Reference { rows: card.rows, columns: card.columns, tones, terms, many_hues }
    }

    /// Number of patches.
    pub(crate) fn len(&self) -> usize {
        self.rows * self.columns
    }

    /// The lightest patch.
    pub(crate) fn lightest(&self) -> usize {
        let light = |k: &usize| self.tones[0][*k][1];
        (0..self.len()).max_by(|a, b| light(a).total_cmp(&light(b))).unwrap_or(0)
    }

    /// Whether two patches touch, if only at a corner.
    pub(crate) fn are_beside(&self, a: usize, b: usize) -> bool {
        let place = |k: usize| (k / self.columns, k % self.columns);
        let ((row_a, column_a), (row_b, column_b)) = (place(a), place(b));
        row_a.abs_diff(row_b) <= 1 && column_a.abs_diff(column_b) <= 1
    }

    /// Whether the card has colour beside greys.
    pub(crate) fn is_coloured(&self) -> bool {
        self.terms == TERMS
    }

    /// Whether its hues are so many that what became of them can be told.
    pub(crate) fn has_many_hues(&self) -> bool {
        self.many_hues
    }

    /// Compares measured colours, one per patch in the card's order; those missing are left out.
    pub(crate) fn fit(&self, measured: &[Option<Cell>]) -> Fit {
        let mut best = self.fit_tone(&self.tones[0], measured);
        // what agrees with none of it at the usual tone will not at another
        if best.agreement.whole > 0.25 {
            for tone in &self.tones[1..] {
                let fit = self.fit_tone(tone, measured);
                if fit.agreement.whole > best.agreement.whole {
                    best = fit;
                }
            }
        }
        best
    }

    /// As [`fit`](Self::fit) at the usual tone alone.
    pub(crate) fn quick_agreement(&self, measured: &[Option<Cell>]) -> Agreement {
        self.fit_tone(&self.tones[0], measured).agreement
    }

    /// The other ways round in which a card lies in the same cells: for each, the patch seen in place of each patch.
    pub(crate) fn other_ways(&self) -> Vec<Vec<usize>> {
        let (rows, columns) = (self.rows, self.columns);
        let mut ways: Vec<Vec<usize>> = Vec::new();
        for way in 1..8 {
            let (flip_rows, flip_columns, transpose) = (way & 1 != 0, way & 2 != 0, way & 4 != 0);
            if transpose && rows != columns {
                continue;
            }
            let seen = |k: usize| {
                let (row, column) = (k / columns, k % columns);
                let (row, column) = if transpose { (column, row) } else { (row, column) };
                let row = if flip_rows { rows - 1 - row } else { row };
                let column = if flip_columns { columns - 1 - column } else { column };
                row * columns + column
            };
            let order: Vec<usize> = (0..rows * columns).map(seen).collect();
            if order.iter().enumerate().any(|(k, &other)| k != other) && !ways.contains(&order) {
                ways.push(order);
            }
        }
        ways
    }

    fn fit_tone(&self, tone: &[[f64; TERMS]], measured: &[Option<Cell>]) -> Fit {
        let terms = self.terms;
        let mut fit =
            Fit { agreement: Agreement::NONE, expected: vec![[0.0; 3]; tone.len()], total: 0.0, hues_hold: true };
        let seen: Vec<(usize, Cell)> =
            measured.iter().enumerate().filter_map(|(k, cell)| Some((k, (*cell)?))).collect();
        let count = seen.len() as f64;
        if seen.len() <= terms + 1 {
            return fit;
        }
        let Some(factor) = Cholesky::of(seen.iter().map(|&(k, _)| tone[k]), terms) else { return fit };
        let (mut left, mut left_by_grey) = (0.0, 0.0);
        let mut of_colour = [[0.0; TERMS - 1]; 3];
        for c in 0..3 {
            let mut values: Vec<f64> = seen.iter().map(|(_, cell)| cell.rgb[c]).collect();
            let mean = values.iter().sum::<f64>() / count;
            fit.total += values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
            let mut weights = [0.0; TERMS];
            let mut explained = [0.0; TERMS];
            for round in 0..ROUNDS {
                (weights, explained) = factor.solve(seen.iter().zip(&values).map(|((k, _), &v)| (tone[*k], v)));
                let mut raised = false;
                if round + 1 < ROUNDS {
                    for ((k, cell), value) in seen.iter().zip(&mut values) {
                        if cell.raw[c] >= CLIPPED {
                            let expected = dot(&weights, &tone[*k]);
                            *value = cell.rgb[c].max(expected);
                            raised |= expected > cell.rgb[c];
                        }
                    }
                }
                if !raised {
                    break;
                }
            }
            let power: f64 = values.iter().map(|v| v * v).sum();
            let part = |terms: usize| explained[..terms].iter().map(|z| z * z).sum::<f64>();
            left += (power - part(terms)).max(0.0);
            left_by_grey += (power - part(GREY_TERMS)).max(0.0);
            for (expected, terms) in fit.expected.iter_mut().zip(tone) {
                expected[c] = dot(&weights, terms);
            }
            of_colour[c].copy_from_slice(&weights[1..]);
        }
        fit.hues_hold = !self.many_hues || hues::may_be_recorded_so(of_colour);
        // what noise of 1 % would leave
        let floor = 1e-4 * count;
        let left = left / (count - terms as f64);
        fit.agreement = Agreement {
            whole: 1.0 - left / ((fit.total + floor) / (count - 1.0)),
            chroma: 1.0 - left / ((left_by_grey + floor) / (count - GREY_TERMS as f64)),
        };
        fit
    }
}

/// Squared distance of a patch to what is expected of it; what is clipped may be as light as that.
pub(crate) fn off(cell: &Cell, expected: &[f64; 3]) -> f64 {
    let seen = |c: usize| if cell.raw[c] >= CLIPPED { cell.rgb[c].max(expected[c]) } else { cell.rgb[c] };
    (0..3).map(|c| (seen(c) - expected[c]).powi(2)).sum()
}

/// The lower triangular factor of the normal equations.
struct Cholesky {
    lower: [[f64; TERMS]; TERMS],
    terms: usize,
}

impl Cholesky {
    fn of(rows: impl Iterator<Item = [f64; TERMS]>, terms: usize) -> Option<Cholesky> {
        let mut normal = [[0.0; TERMS]; TERMS];
        for row in rows {
            for i in 0..terms {
                for j in 0..=i {
                    normal[i][j] += row[i] * row[j];
                }
            }
        }
        let mut lower = [[0.0; TERMS]; TERMS];
        for i in 0..terms {
            for j in 0..=i {
                let rest = normal[i][j] - (0..j).map(|k| lower[i][k] * lower[j][k]).sum::<f64>();
                if i == j {
                    // terms that follow from the others: no fit
                    if rest <= 1e-6 * normal[i][i] {
                        return None;
                    }
                    lower[i][i] = rest.sqrt();
                } else {
                    lower[i][j] = rest / lower[j][j];
                }
            }
        }
        Some(Cholesky { lower, terms })
    }

    /// The weights of the terms, and the root of what each adds to the power explained.
    fn solve(&self, rows: impl Iterator<Item = ([f64; TERMS], f64)>) -> ([f64; TERMS], [f64; TERMS]) {
        let mut right = [0.0; TERMS];
        for (row, value) in rows {
            right.iter_mut().zip(row).for_each(|(r, t)| *r += t * value);
        }
        let mut along = [0.0; TERMS];
        for i in 0..self.terms {
            along[i] = (right[i] - (0..i).map(|k| self.lower[i][k] * along[k]).sum::<f64>()) / self.lower[i][i];
        }
        let mut weights = [0.0; TERMS];
        for i in (0..self.terms).rev() {
            let rest = along[i] - (i + 1..self.terms).map(|k| self.lower[k][i] * weights[k]).sum::<f64>();
            weights[i] = rest / self.lower[i][i];
        }
        (weights, along)
    }
}

fn dot(weights: &[f64; TERMS], terms: &[f64; TERMS]) -> f64 {
    weights.iter().zip(terms).map(|(w, t)| w * t).sum()
}
