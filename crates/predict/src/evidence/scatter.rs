//! How one use of a step differs from the next, learned from repeats.

use super::Effect;
use crate::draws::{COUNT, Source};

/// Sizes on either side of the middle one, for each of the two.
const STEPS: usize = 3;
/// Sizes for each of the two.
const SIZES: usize = 2 * STEPS + 1;
/// Each size is this many times the one below it.
const RATIO: f64 = 1.4;

/// How much one use of a step differs from the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Standard deviation of the logarithm of strength.
    pub strength_sd: f64,
    /// Standard deviation of what has nothing to do with strength, per CIELAB axis.
    pub process_sd: f64,
}

impl Scatter {
    /// The middle of what is believed of a colouring step that nobody has repeated yet: 12 % in
    /// strength and half a unit per axis (common practice, no source).
    pub const STEP: Self = Self { strength_sd: 0.12, process_sd: 0.5 };
}

/// What is believed of a scatter: weights of a grid of sizes about a middle, each a factor apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    middle: Scatter,
    weights: Vec<f64>,
}

/// How well each cell of the grid explains what was seen, as logarithms.
pub(super) type LogLikelihood = Vec<f64>;

impl Belief {
    /// A belief about this middle, with standard deviations of the logarithms of both sizes.
    pub fn about(middle: Scatter, log_strength_sd: f64, log_process_sd: f64) -> Self {
        let bell = |step: usize, sd: f64| {
            let off = (step as f64 - STEPS as f64) * RATIO.ln();
            (-0.5 * (off / sd.max(1e-6)).powi(2)).exp()
        };
        let cells = (0..SIZES).flat_map(|row| (0..SIZES).map(move |column| (row, column)));
        let weights = cells.map(|(row, column)| bell(row, log_strength_sd) * bell(column, log_process_sd));
        Self { middle, weights: weights.collect() }.normal()
    }

    /// Any step of colour before its first repeat.
    pub fn of_a_step() -> Self {
        Self::about(Scatter::STEP, 0.35, 0.5)
    }

    /// The sizes of each cell.
    pub(super) fn cells(&self) -> impl Iterator<Item = Scatter> + '_ {
        let size = |step: usize| RATIO.powi(step as i32 - STEPS as i32);
        (0..SIZES * SIZES).map(move |cell| Scatter {
            strength_sd: self.middle.strength_sd * size(cell / SIZES),
            process_sd: self.middle.process_sd * size(cell % SIZES),
        })
    }

    /// The belief after something was seen.
    pub(super) fn updated(&self, seen: &LogLikelihood) -> Self {
        let best = seen.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !best.is_finite() {
            return self.clone();
        }
        let weights = self.weights.iter().zip(seen).map(|(weight, log)| weight * (log - best).exp()).collect();
        Self { middle: self.middle, weights }.normal()
    }

    /// The logarithm of the mean of a likelihood over what is believed.
    pub(super) fn log_mean(&self, logs: &[f64]) -> f64 {
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        best + self.weights.iter().zip(logs).map(|(weight, log)| weight * (log - best).exp()).sum::<f64>().ln()
    }

    fn normal(mut self) -> Self {
        let sum: f64 = self.weights.iter().sum();
        self.weights.iter_mut().for_each(|weight| *weight /= sum);
        self
    }

    /// The root of the mean square of both sizes.
    pub fn typical(&self) -> Scatter {
        let (mut strength, mut process) = (0.0, 0.0);
        for (cell, weight) in self.cells().zip(&self.weights) {
            strength += weight * cell.strength_sd.powi(2);
            process += weight * cell.process_sd.powi(2);
        }
        Scatter { strength_sd: strength.sqrt(), process_sd: process.sqrt() }
    }

    /// A scatter for each joint draw.
    pub(super) fn draws(&self, source: Source, dimension: u32) -> Vec<Scatter> {
        let cells: Vec<Scatter> = self.cells().collect();
        let uniforms = source.uniforms(dimension);
        (0..COUNT)
            .map(|draw| {
                let mut left = uniforms[draw];
                let chosen = self.weights.iter().position(|weight| {
                    left -= weight;
                    left < 0.0
                });
                cells[chosen.unwrap_or(cells.len() - 1)]
            })
            .collect()
    }
}

/// Standard deviations of the logarithms of both sizes from one step of a piece to another; the rest of what is not known
/// of them, they share.
const BETWEEN_STEPS: (f64, f64) = (0.25, 0.35);
/// The same of what all steps of a piece share.
const OF_THE_PIECE: (f64, f64) = (0.25, 0.36);

/// What is believed of the scatter of each effect of a piece, given what the observations of all of them say: a size for the
/// piece, from which each step's differs by a little.
///
/// # Source
/// A hierarchical model summed over its grid: Gelman et al. (2013), Bayesian Data Analysis, ch. 5.
pub(crate) fn pooled_beliefs(effects: &[&Effect]) -> Vec<Belief> {
    let seen: Vec<Option<Vec<f64>>> = effects
        .iter()
        .map(|effect| {
            let logs = effect.seen.as_ref()?;
            let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            best.is_finite().then(|| logs.iter().map(|log| (log - best).exp()).collect())
        })
        .collect();
    let near = Belief::about(Scatter::STEP, BETWEEN_STEPS.0, BETWEEN_STEPS.1);
    let piece = Belief::about(Scatter::STEP, OF_THE_PIECE.0, OF_THE_PIECE.1);
    let cells = SIZES * SIZES;
    // How likely a step has one cell where the piece has another: the bell about the middle, moved there.
    let kernel: Vec<Vec<f64>> = (0..cells)
        .map(|of_piece| {
            let row: Vec<f64> = (0..cells)
                .map(|of_step| {
                    let apart = |a: usize, b: usize| a.abs_diff(b);
                    let (rows, columns) =
                        (apart(of_piece / SIZES, of_step / SIZES), apart(of_piece % SIZES, of_step % SIZES));
                    if rows > STEPS || columns > STEPS {
                        0.0
                    } else {
                        near.weights[(STEPS + rows) * SIZES + STEPS + columns]
                    }
                })
                .collect();
            let sum: f64 = row.iter().sum();
            row.into_iter().map(|weight| weight / sum).collect()
        })
        .collect();
    let through = |of_piece: usize, seen: &Option<Vec<f64>>| -> f64 {
        seen.as_ref().map_or(1.0, |seen| kernel[of_piece].iter().zip(seen).map(|(a, b)| a * b).sum())
    };
    let each: Vec<Vec<f64>> = seen.iter().map(|seen| (0..cells).map(|cell| through(cell, seen)).collect()).collect();
    (0..effects.len())
        .map(|index| {
            let mut logs: Vec<f64> = piece.weights.iter().map(|weight| weight.ln()).collect();
            for (other, terms) in each.iter().enumerate() {
                if other != index {
                    logs.iter_mut().zip(terms).for_each(|(log, term)| *log += term.max(1e-300).ln());
                }
            }
            let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let of_piece: Vec<f64> = logs.iter().map(|log| (log - best).exp()).collect();
            let weights = (0..cells)
                .map(|cell| {
                    let prior: f64 = of_piece.iter().zip(&kernel).map(|(weight, row)| weight * row[cell]).sum();
                    prior * seen[index].as_ref().map_or(1.0, |seen| seen[cell])
                })
                .collect();
            Belief { middle: Scatter::STEP, weights }.normal()
        })
        .collect()
}
