//! What a learner would say who knew the physics of each product, and fitted its full strength alone: no learner from the
//! same trials can be expected to choose better.

use colour::Lab;
use nalgebra::{Matrix3, Vector3};
use piece::{Step, Trial};

use crate::{
    pieces::{Made, PROCESS_SD, READING_SD, STRENGTH_SD},
    truths::Table,
};

/// Strengths are looked for in steps of this much, as a logarithm, up to so many to each side.
const STEP: f64 = 0.01;
const STEPS: i32 = 40;
/// Rounds through the products.
const ROUNDS: usize = 3;

/// The piece with the strengths that its trials on the first part's board, as they look topcoated, make most likely.
pub(crate) fn knowing(made: &Made, table: &Table) -> Made {
    let mut factors = vec![1.0f64; made.piece.products.len()];
    for _ in 0..ROUNDS {
        for product in 0..factors.len() {
            let misfit_at = |step: i32| {
                let mut tried = factors.clone();
                tried[product] = (STEP * f64::from(step)).exp();
                (misfit(&made.with_strengths(&tried), table), tried[product])
            };
            let best = (-STEPS..=STEPS).map(misfit_at).min_by(|a, b| a.0.total_cmp(&b.0));
            factors[product] = best.map_or(1.0, |(_, factor)| factor);
        }
    }
    made.with_strengths(&factors)
}

/// Twice the negative logarithm of the likelihood of the trials.
fn misfit(made: &Made, table: &Table) -> f64 {
    made.piece.trials.iter().filter_map(|trial| misfit_of(made, table, trial)).sum()
}

fn misfit_of(made: &Made, table: &Table, trial: &Trial) -> Option<f64> {
    let steps: Vec<Step> = trial.steps().filter(|step| !matches!(step, Step::Topcoat { .. })).cloned().collect();
    let read = made.piece.reading(*trial.stages.last()?.readings.last()?)?.lab;
    let expected = made.truth(table, 0, &steps);
    // What one use is stronger or weaker by moves the colour along one line.
    let stronger = made.with_strengths(&vec![1.0 + STRENGTH_SD; made.piece.products.len()]).truth(table, 0, &steps);
    let along = minus(stronger, expected);
    let noise = READING_SD * READING_SD + PROCESS_SD * PROCESS_SD;
    let covariance = Matrix3::identity() * noise + along * along.transpose();
    let off = minus(read, expected);
    Some(off.dot(&(covariance.try_inverse()? * off)) + covariance.determinant().ln())
}

fn minus(a: Lab, b: Lab) -> Vector3<f64> {
    Vector3::new(a.l - b.l, a.a - b.a, a.b - b.b)
}
