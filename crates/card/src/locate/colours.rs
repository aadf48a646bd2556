//! Which way round the card lies, and whether the colours behave like its own.

use crate::layout::Card;
use nalgebra::DMatrix;

/// Exponents applied to the card's linear colours: cameras bend tones differently, the best of these is taken.
const TONES: [f64; 3] = [0.30, 0.45, 0.75];

/// Encoded value from which a channel counts as clipped.
const CLIPPED: f64 = 0.975;

/// Rounds in which clipped values are raised to what the fit expects of them.
const ROUNDS: usize = 3;

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

/// A card's colours, made ready for comparing.
pub(crate) struct Reference {
    pub rows: usize,
    pub columns: usize,
    tones: Vec<Tone>,
    coloured: bool,
}

struct Tone {
    /// Orthonormal basis of grey, row-major n × 2.
    grey: Vec<Vec<f64>>,
    /// What colour adds to it.
    colour: Vec<Vec<f64>>,
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
        let tones: Vec<Tone> = TONES.iter().map(|&exponent| Tone::of(&linear, exponent)).collect();
        let coloured = tones.iter().all(|tone| !tone.colour.is_empty());
        Reference { rows: card.rows, columns: card.columns, tones, coloured }
    }

    /// Whether the card has colour beside greys.
    pub(crate) fn is_coloured(&self) -> bool {
        self.coloured
    }

    /// Compares measured encoded colours, one per patch in the card's order.
    pub(crate) fn agreement(&self, measured: &[[f64; 3]]) -> Agreement {
        self.tones
            .iter()
            .map(|tone| tone.agreement(measured))
            .max_by(|a, b| a.whole.total_cmp(&b.whole))
            .unwrap_or(Agreement { whole: 0.0, chroma: 0.0 })
    }
}

impl Tone {
    fn of(linear: &[[f64; 3]], exponent: f64) -> Tone {
        let n = linear.len();
        let bent: Vec<[f64; 3]> = linear.iter().map(|rgb| rgb.map(|v| v.powf(exponent))).collect();
        let mean = DMatrix::from_fn(n, 1, |i, _| (bent[i][0] + bent[i][1] + bent[i][2]) / 3.0);
        let columns = [
            vec![1.0; n],
            mean.iter().copied().collect(),
            bent.iter().map(|v| v[0] - v[1]).collect(),
            bent.iter().map(|v| v[2] - v[1]).collect(),
        ];
        let mut basis: Vec<Vec<f64>> = Vec::new();
        let mut grey = 0;
        for (k, column) in columns.into_iter().enumerate() {
            let size = norm(&column);
            let mut rest = column;
            for unit in &basis {
                let along = dot(unit, &rest);
                rest.iter_mut().zip(unit).for_each(|(r, u)| *r -= along * u);
            }
            let left = norm(&rest);
            // a column that adds nothing (a grey card has no colour) is left out
            if left > 0.02 * size.max(0.1 * (n as f64).sqrt()) {
                rest.iter_mut().for_each(|r| *r /= left);
                basis.push(rest);
            }
            if k == 1 {
                grey = basis.len();
            }
        }
        let colour = basis.split_off(grey);
        Tone { grey: basis, colour }
    }

    fn agreement(&self, measured: &[[f64; 3]]) -> Agreement {
        let n = measured.len();
        let (mut total, mut left_by_grey, mut left) = (0.0, 0.0, 0.0);
        for c in 0..3 {
            let mut y: Vec<f64> = measured.iter().map(|rgb| rgb[c]).collect();
            let mut fit = vec![0.0; n];
            for round in 0..ROUNDS {
                fit.iter_mut().for_each(|f| *f = 0.0);
                for unit in self.grey.iter().chain(&self.colour) {
                    let along = dot(unit, &y);
                    fit.iter_mut().zip(unit).for_each(|(f, u)| *f += along * u);
                }
                if round + 1 < ROUNDS {
                    let mut raised = false;
                    for (k, value) in y.iter_mut().enumerate() {
                        if measured[k][c] >= CLIPPED {
                            *value = measured[k][c].max(fit[k]);
                            raised |= fit[k] > measured[k][c];
                        }
                    }
                    if !raised {
                        break;
                    }
                }
            }
            let mean = measured.iter().map(|rgb| rgb[c]).sum::<f64>() / n as f64;
            total += measured.iter().map(|rgb| (rgb[c] - mean).powi(2)).sum::<f64>();
            left += y.iter().zip(&fit).map(|(a, b)| (a - b).powi(2)).sum::<f64>();
            let power = dot(&y, &y) - self.grey.iter().map(|unit| dot(unit, &y).powi(2)).sum::<f64>();
            left_by_grey += power;
        }
        let n = n as f64;
        let freedom = (n - (self.grey.len() + self.colour.len()) as f64).max(1.0);
        let grey_freedom = (n - self.grey.len() as f64).max(1.0);
        // 1e-4 n: what noise of 1 % would leave
        let floor = 1e-4 * n;
        Agreement {
            whole: 1.0 - (left / freedom) / ((total + floor) / (n - 1.0)),
            chroma: 1.0 - (left / freedom) / ((left_by_grey + floor) / grey_freedom),
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}
