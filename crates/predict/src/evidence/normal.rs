//! The normal equations of the fit, and their solution: each δ is eliminated, as it meets no other.

use nalgebra::{Cholesky, Const};

use super::problem::{Block, Parameters, SHARED, Shared};

/// The normal equations at some parameters: the shared block, and what each δ adds.
pub(super) struct Normal {
    pub(super) cost: f64,
    pub(super) shared: Block,
    pub(super) gradient: Shared,
    pub(super) cross: Vec<Shared>,
    pub(super) own: Vec<f64>,
    pub(super) own_gradient: Vec<f64>,
}

impl Normal {
    /// The shared block with each δ eliminated, and the logarithm of the determinant of what was eliminated.
    pub(super) fn reduced(&self, damping: f64) -> (Block, Shared, f64) {
        let (mut block, mut gradient, mut log_det) = (self.shared, self.gradient, 0.0);
        for index in 0..SHARED {
            block[(index, index)] += damping * block[(index, index)].max(1e-9);
        }
        for ((cross, own), own_gradient) in self.cross.iter().zip(&self.own).zip(&self.own_gradient) {
            let own = own * (1.0 + damping);
            block.ger(-1.0 / own, cross, cross, 1.0);
            gradient.axpy(-own_gradient / own, cross, 1.0);
            log_det += own.ln();
        }
        (block, gradient, log_det)
    }

    /// The parameters after one damped step; None where the equations cannot be solved.
    pub(super) fn step(&self, from: &Parameters, damping: f64) -> Option<Parameters> {
        let (block, gradient, _) = self.reduced(damping);
        let step = Cholesky::<f64, Const<SHARED>>::new(block)?.solve(&gradient);
        let deltas = self.cross.iter().zip(&self.own).zip(&self.own_gradient).zip(&from.deltas);
        let deltas = deltas
            .map(|(((cross, own), gradient), delta)| delta - (gradient - cross.dot(&step)) / (own * (1.0 + damping)))
            .collect();
        Some(Parameters { shared: from.shared - step, deltas })
    }
}
