//! Trials, their steps, and past uses.

use std::collections::BTreeSet;

use super::{Checked, above_zero, is_time, name, reading::covariance, surface, within};
use crate::{Error, PastUse, Piece, ProductId, Step, Trial};

/// A past use: its step, colours and covariance.
pub(crate) fn past_use(piece: &Piece, past: &PastUse) -> Checked {
    let at = format!("past use of {} in '{}'", past.source.trial, past.source.piece);
    step(piece, &at, &past.step)?;
    covariance(&at, &past.covariance)?;
    for (what, lab) in [("before", past.before), ("after", past.after)] {
        within(&at, &format!("L* {what}"), lab.l, 0.0, 110.0)?;
        within(&at, &format!("a* {what}"), lab.a, -200.0, 200.0)?;
        within(&at, &format!("b* {what}"), lab.b, -200.0, 200.0)?;
    }
    Ok(())
}

/// The product that a step needs, if any.
pub(crate) fn product_of(step: &Step) -> Option<ProductId> {
    match step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => Some(*product),
        Step::Fill { product } => *product,
        _ => None,
    }
}

/// The numbers and the product of a step.
pub(crate) fn step(piece: &Piece, at: &str, step: &Step) -> Checked {
    if let Some(product) = product_of(step)
        && piece.product(product).is_none()
    {
        return Err(Error::NoSuch { kind: "product", id: product.to_string() });
    }
    numbers(at, step)
}

/// The numbers of a step.
pub(crate) fn numbers(at: &str, step: &Step) -> Checked {
    match step {
        Step::Sand { grit } => super::grit(at, *grit),
        Step::Dye { grams_per_litre, coats, .. } => {
            above_zero(at, "the dye's strength in g/L", *grams_per_litre, 1000.0)?;
            within(at, "the number of coats", f64::from(*coats), 1.0, 20.0)
        }
        Step::Stain { reducer_parts, coats, wipe_minutes, .. } => {
            if let Some(minutes) = wipe_minutes {
                above_zero(at, "the minutes until the stain was wiped off", *minutes, 1440.0)?;
            }
            within(at, "the parts of reducer to one of stain", *reducer_parts, 0.0, 1000.0)?;
            within(at, "the number of coats", f64::from(*coats), 1.0, 20.0)
        }
        Step::Bleach { times, .. } => within(at, "the times of bleaching", f64::from(*times), 1.0, 10.0),
        Step::Glaze { reducer_parts, .. } => {
            within(at, "the parts of base to one of colour", *reducer_parts, 0.0, 1000.0)
        }
        Step::Toner { passes, .. } => within(at, "the passes of toner", f64::from(*passes), 1.0, 100.0),
        Step::Topcoat { topcoat, .. } => name("", topcoat)
            .map_err(|_| Error::invalid(at, "the topcoat's name is empty or takes up lines: name it on one line")),
        Step::LeaveNatural | Step::PreWet | Step::DampDown | Step::Washcoat | Step::Fill { .. } | Step::Seal => Ok(()),
    }
}

/// Where a trial is, its steps and its readings.
pub(crate) fn trial(piece: &Piece, trial: &Trial) -> Checked {
    let at = format!("trial on {}", piece.surface_name(trial.on));
    surface(piece, trial.on)?;
    if trial.stages.is_empty() {
        return Err(Error::invalid(at, "has no step: log what was done, if only 'leave natural'"));
    }
    for stage in &trial.stages {
        step(piece, &at, &stage.step)?;
    }
    if !trial.made.is_empty() && !is_time(&trial.made) {
        let problem = format!("the time '{}' is not one: expected such as 2026-03-14T09:30:00", trial.made);
        return Err(Error::invalid(at, problem));
    }
    let mut seen = BTreeSet::new();
    for id in trial.readings() {
        let Some(reading) = piece.reading(id) else {
            return Err(Error::NoSuch { kind: "reading", id: id.to_string() });
        };
        if reading.of != trial.on {
            let problem = format!(
                "reading {id} is of {}, elsewhere: attach readings of the spot",
                piece.surface_name(reading.of)
            );
            return Err(Error::invalid(at, problem));
        }
        if !seen.insert(id) {
            return Err(Error::invalid(at, format!("reading {id} stands twice: keep it where it was taken")));
        }
    }
    Ok(())
}
