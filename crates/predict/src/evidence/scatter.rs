//! How one use of a step differs from the next, learned from repeats.

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
    /// A colouring step that nobody has repeated yet: 12 % in strength and half a unit per axis (common practice, no
    /// source).
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
        Self::about(Scatter::STEP, 0.35, 0.6)
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
        (0..COUNT)
            .map(|draw| {
                let mut left = source.uniform(draw, dimension);
                let chosen = self.weights.iter().position(|weight| {
                    left -= weight;
                    left < 0.0
                });
                cells[chosen.unwrap_or(cells.len() - 1)]
            })
            .collect()
    }
}
