//! Records of trials: their stages and steps.

use serde::{Deserialize, Serialize};

use super::words::{BleachWord, IdText, SurfaceText};
use crate::{ProductId, ReadingId, Stage, Step, Trial, TrialId};

#[derive(Serialize, Deserialize)]
pub(super) struct TrialRecord {
    id: IdText<TrialId>,
    on: SurfaceText,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    made: String,
    #[serde(default)]
    before: Vec<IdText<ReadingId>>,
    stages: Vec<StageRecord>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Serialize, Deserialize)]
struct StageRecord {
    step: StepRecord,
    #[serde(default)]
    readings: Vec<IdText<ReadingId>>,
}

impl From<TrialRecord> for Trial {
    fn from(record: TrialRecord) -> Self {
        let ids = |ids: Vec<IdText<ReadingId>>| ids.into_iter().map(|id| id.0).collect();
        let stage = |stage: StageRecord| Stage { step: stage.step.into(), readings: ids(stage.readings) };
        Self {
            id: record.id.0,
            on: record.on.0,
            before: ids(record.before),
            stages: record.stages.into_iter().map(stage).collect(),
            made: record.made,
            note: record.note,
        }
    }
}

impl From<&Trial> for TrialRecord {
    fn from(trial: &Trial) -> Self {
        let ids = |ids: &[ReadingId]| ids.iter().copied().map(IdText).collect();
        let stage = |stage: &Stage| StageRecord { step: (&stage.step).into(), readings: ids(&stage.readings) };
        Self {
            id: IdText(trial.id),
            on: SurfaceText(trial.on),
            made: trial.made.clone(),
            before: ids(&trial.before),
            stages: trial.stages.iter().map(stage).collect(),
            note: trial.note.clone(),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum StepRecord {
    LeaveNatural,
    Sand {
        grit: u32,
    },
    PreWet,
    DampDown,
    Dye {
        product: IdText<ProductId>,
        grams_per_litre: f64,
        coats: u32,
    },
    Washcoat,
    Fill {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product: Option<IdText<ProductId>>,
    },
    Stain {
        product: IdText<ProductId>,
        reducer_parts: f64,
        coats: u32,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        wipe_minutes: Option<f64>,
    },
    Bleach {
        kind: BleachWord,
        times: u32,
    },
    Seal,
    Glaze {
        product: IdText<ProductId>,
        reducer_parts: f64,
    },
    Toner {
        product: IdText<ProductId>,
        passes: u32,
    },
    Topcoat {
        topcoat: String,
        sheen: String,
    },
}

impl From<StepRecord> for Step {
    fn from(record: StepRecord) -> Self {
        match record {
            StepRecord::LeaveNatural => Self::LeaveNatural,
            StepRecord::Sand { grit } => Self::Sand { grit },
            StepRecord::PreWet => Self::PreWet,
            StepRecord::DampDown => Self::DampDown,
            StepRecord::Dye { product, grams_per_litre, coats } => {
                Self::Dye { product: product.0, grams_per_litre, coats }
            }
            StepRecord::Washcoat => Self::Washcoat,
            StepRecord::Fill { product } => Self::Fill { product: product.map(|product| product.0) },
            StepRecord::Stain { product, reducer_parts, coats, wipe_minutes } => {
                Self::Stain { product: product.0, reducer_parts, coats, wipe_minutes }
            }
            StepRecord::Bleach { kind, times } => Self::Bleach { kind: kind.into(), times },
            StepRecord::Seal => Self::Seal,
            StepRecord::Glaze { product, reducer_parts } => Self::Glaze { product: product.0, reducer_parts },
            StepRecord::Toner { product, passes } => Self::Toner { product: product.0, passes },
            StepRecord::Topcoat { topcoat, sheen } => Self::Topcoat { topcoat, sheen },
        }
    }
}

impl From<&Step> for StepRecord {
    fn from(step: &Step) -> Self {
        match step.clone() {
            Step::LeaveNatural => Self::LeaveNatural,
            Step::Sand { grit } => Self::Sand { grit },
            Step::PreWet => Self::PreWet,
            Step::DampDown => Self::DampDown,
            Step::Dye { product, grams_per_litre, coats } => {
                Self::Dye { product: IdText(product), grams_per_litre, coats }
            }
            Step::Washcoat => Self::Washcoat,
            Step::Fill { product } => Self::Fill { product: product.map(IdText) },
            Step::Stain { product, reducer_parts, coats, wipe_minutes } => {
                Self::Stain { product: IdText(product), reducer_parts, coats, wipe_minutes }
            }
            Step::Bleach { kind, times } => Self::Bleach { kind: kind.into(), times },
            Step::Seal => Self::Seal,
            Step::Glaze { product, reducer_parts } => Self::Glaze { product: IdText(product), reducer_parts },
            Step::Toner { product, passes } => Self::Toner { product: IdText(product), passes },
            Step::Topcoat { topcoat, sheen } => Self::Topcoat { topcoat, sheen },
        }
    }
}
