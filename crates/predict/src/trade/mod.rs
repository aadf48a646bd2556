//! The trade: the order of steps, what may not be done, working and drying hours. Common practice, no source; the
//! product's label and data sheet win, always.

mod acid;
mod clear_coats;
mod defaults;
mod miscible;
mod objection;
mod problems;
mod solvent;
mod way_back;
mod words;
mod worth;

pub use clear_coats::under_clear_coats;
pub use defaults::{Coverage, DEFAULT_AREA_M2, WASTE, coverage, drying_hours, hours, litres, millilitres};
pub use miscible::{Carrier, carrier, immiscible, miscible};
pub(crate) use objection::part_objection;
pub use objection::{objection, order_objection};
pub(crate) use problems::{in_place, trial_objection};
pub use problems::{plan_objection, plan_problems, problems};
pub(crate) use solvent::solvent;
pub use way_back::{irreversible, way_back};
pub use words::{schedule_words, step_name, step_words, trials_words};
pub use worth::Worth;

use piece::Step;

/// Where a step stands in the order of the trade; steps of one rank may follow each other.
///
/// final sanding → bleach → damp down → dye → washcoat → filler → stain → sealer → glaze, toner → topcoat.
pub fn rank(step: &Step) -> u8 {
    match step {
        Step::LeaveNatural => 0,
        Step::Sand { .. } => 1,
        Step::Bleach { .. } => 2,
        Step::DampDown => 3,
        Step::PreWet => 4,
        Step::Dye { .. } => 4,
        Step::Washcoat => 5,
        Step::Fill { .. } => 6,
        Step::Stain { .. } => 7,
        Step::Seal => 8,
        Step::Glaze { .. } => 9,
        Step::Toner { .. } => 10,
        Step::Topcoat { .. } => 11,
    }
}
