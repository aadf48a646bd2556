//! Records of past uses, in the piece file and in the shop book.

use colour::Lab;
use serde::{Deserialize, Serialize};

use super::trial::StepRecord;
use super::words::{Matrix, Three};
use crate::{PastSource, PastUse};

#[derive(Serialize, Deserialize)]
pub(super) struct PastRecord {
    step: StepRecord,
    wood: String,
    lab_before: Three,
    lab_after: Three,
    covariance: Matrix,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    lot: String,
    piece: String,
    trial: String,
    stage: u32,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    made: String,
}

impl From<PastRecord> for PastUse {
    fn from(record: PastRecord) -> Self {
        let lab = |Three([l, a, b])| Lab::new(l, a, b);
        Self {
            step: record.step.into(),
            wood: record.wood,
            before: lab(record.lab_before),
            after: lab(record.lab_after),
            covariance: record.covariance.0,
            lot: record.lot,
            source: PastSource { piece: record.piece, trial: record.trial, stage: record.stage },
            made: record.made,
        }
    }
}

impl From<&PastUse> for PastRecord {
    fn from(past: &PastUse) -> Self {
        let three = |lab: Lab| Three([lab.l, lab.a, lab.b]);
        Self {
            step: (&past.step).into(),
            wood: past.wood.clone(),
            lab_before: three(past.before),
            lab_after: three(past.after),
            covariance: Matrix(past.covariance),
            lot: past.lot.clone(),
            piece: past.source.piece.clone(),
            trial: past.source.trial.clone(),
            stage: past.source.stage,
            made: past.made.clone(),
        }
    }
}
