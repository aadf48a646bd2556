//! Records of what was measured, done and decided: readings, trials and their steps, tolerances, the plan.

use serde::{Deserialize, Serialize};

use super::words::{BleachWord, GrainWord, IdText, Matrix, SurfaceText, Three, Two};
use crate::{
    PartId, PhotoId, Plan, ProductId, Reading, ReadingId, Region, SharedError, Source, Stage, State, Step, Tolerances,
    Trial, TrialId, target::PairTolerance,
};

#[derive(Serialize, Deserialize)]
pub(super) struct ReadingRecord {
    id: IdText<ReadingId>,
    of: SurfaceText,
    state: StateRecord,
    lab: Three,
    covariance_lab2: Matrix,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    shared_errors: Vec<SharedRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    grain_sd_lab: Option<Three>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    patch_sd_lab: Option<Three>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    light: String,
    #[serde(default = "super::words::not_noted")]
    grain: GrainWord,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    taken: String,
    source: SourceRecord,
}

#[derive(Serialize, Deserialize)]
struct SharedRecord {
    factor: String,
    loading_lab: Matrix,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum StateRecord {
    BareDry,
    SpiritWet { liquid: String, seconds: f64 },
    ColourWet,
    ColourDry,
    Washcoated,
    Sealed,
    Topcoated { topcoat: String, sheen: String },
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum SourceRecord {
    Photo {
        photo: IdText<PhotoId>,
        region_px: Vec<Two>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        left_out_px: Vec<Vec<Two>>,
        method: String,
    },
    Instrument {
        name: String,
    },
    Typed,
}

impl From<ReadingRecord> for Reading {
    fn from(record: ReadingRecord) -> Self {
        let [l, a, b] = record.lab.0;
        let shared = |shared: SharedRecord| SharedError { factor: shared.factor, loading: shared.loading_lab.0 };
        Self {
            id: record.id.0,
            of: record.of.0,
            lab: colour::Lab::new(l, a, b),
            covariance: record.covariance_lab2.0,
            shared: record.shared_errors.into_iter().map(shared).collect(),
            grain_sd: record.grain_sd_lab.map(|spread| spread.0),
            patch_sd: record.patch_sd_lab.map(|spread| spread.0),
            state: record.state.into(),
            light: record.light,
            grain: record.grain.into(),
            taken: record.taken,
            source: record.source.into(),
        }
    }
}

impl From<&Reading> for ReadingRecord {
    fn from(reading: &Reading) -> Self {
        let lab = reading.lab;
        let shared =
            |shared: &SharedError| SharedRecord { factor: shared.factor.clone(), loading_lab: Matrix(shared.loading) };
        Self {
            id: IdText(reading.id),
            of: SurfaceText(reading.of),
            state: (&reading.state).into(),
            lab: Three([lab.l, lab.a, lab.b]),
            covariance_lab2: Matrix(reading.covariance),
            shared_errors: reading.shared.iter().map(shared).collect(),
            grain_sd_lab: reading.grain_sd.map(Three),
            patch_sd_lab: reading.patch_sd.map(Three),
            light: reading.light.clone(),
            grain: reading.grain.into(),
            taken: reading.taken.clone(),
            source: (&reading.source).into(),
        }
    }
}

impl From<StateRecord> for State {
    fn from(record: StateRecord) -> Self {
        match record {
            StateRecord::BareDry => Self::BareDry,
            StateRecord::SpiritWet { liquid, seconds } => Self::SpiritWet { liquid, seconds },
            StateRecord::ColourWet => Self::ColourWet,
            StateRecord::ColourDry => Self::ColourDry,
            StateRecord::Washcoated => Self::Washcoated,
            StateRecord::Sealed => Self::Sealed,
            StateRecord::Topcoated { topcoat, sheen } => Self::Topcoated { topcoat, sheen },
        }
    }
}

impl From<&State> for StateRecord {
    fn from(state: &State) -> Self {
        match state.clone() {
            State::BareDry => Self::BareDry,
            State::SpiritWet { liquid, seconds } => Self::SpiritWet { liquid, seconds },
            State::ColourWet => Self::ColourWet,
            State::ColourDry => Self::ColourDry,
            State::Washcoated => Self::Washcoated,
            State::Sealed => Self::Sealed,
            State::Topcoated { topcoat, sheen } => Self::Topcoated { topcoat, sheen },
        }
    }
}

impl From<SourceRecord> for Source {
    fn from(record: SourceRecord) -> Self {
        match record {
            SourceRecord::Photo { photo, region_px, left_out_px, method } => {
                let points = |polygon: Vec<Two>| polygon.into_iter().map(|point| point.0).collect();
                let left_out_px = left_out_px.into_iter().map(points).collect();
                Self::Photo { photo: photo.0, region: Region { points_px: points(region_px), left_out_px }, method }
            }
            SourceRecord::Instrument { name } => Self::Instrument { name },
            SourceRecord::Typed => Self::Typed,
        }
    }
}

impl From<&Source> for SourceRecord {
    fn from(source: &Source) -> Self {
        match source {
            Source::Photo { photo, region, method } => {
                let points = |polygon: &Vec<[f64; 2]>| polygon.iter().copied().map(Two).collect();
                Self::Photo {
                    photo: IdText(*photo),
                    region_px: points(&region.points_px),
                    left_out_px: region.left_out_px.iter().map(points).collect(),
                    method: method.clone(),
                }
            }
            Source::Instrument { name } => Self::Instrument { name: name.clone() },
            Source::Typed => Self::Typed,
        }
    }
}

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

#[derive(Serialize, Deserialize)]
#[serde(default)]
pub(super) struct TolerancesRecord {
    same_plane_de00: f64,
    fronts_de00: f64,
    other_planes_de00: f64,
    match_sample_de00: f64,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pairs: Vec<PairRecord>,
    #[serde(skip_serializing_if = "String::is_empty")]
    reason: String,
}

#[derive(Serialize, Deserialize)]
struct PairRecord {
    a: IdText<PartId>,
    b: IdText<PartId>,
    de00: f64,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reason: String,
}

impl Default for TolerancesRecord {
    fn default() -> Self {
        (&Tolerances::default()).into()
    }
}

impl From<TolerancesRecord> for Tolerances {
    fn from(record: TolerancesRecord) -> Self {
        let pair = |pair: PairRecord| PairTolerance { a: pair.a.0, b: pair.b.0, de00: pair.de00, reason: pair.reason };
        Self {
            same_plane_de00: record.same_plane_de00,
            fronts_de00: record.fronts_de00,
            other_planes_de00: record.other_planes_de00,
            match_sample_de00: record.match_sample_de00,
            pairs: record.pairs.into_iter().map(pair).collect(),
            reason: record.reason,
        }
    }
}

impl From<&Tolerances> for TolerancesRecord {
    fn from(tolerances: &Tolerances) -> Self {
        let pair = |pair: &PairTolerance| PairRecord {
            a: IdText(pair.a),
            b: IdText(pair.b),
            de00: pair.de00,
            reason: pair.reason.clone(),
        };
        Self {
            same_plane_de00: tolerances.same_plane_de00,
            fronts_de00: tolerances.fronts_de00,
            other_planes_de00: tolerances.other_planes_de00,
            match_sample_de00: tolerances.match_sample_de00,
            pairs: tolerances.pairs.iter().map(pair).collect(),
            reason: tolerances.reason.clone(),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct PlanRecord {
    name: String,
    schedules: Vec<ScheduleRecord>,
}

#[derive(Serialize, Deserialize)]
struct ScheduleRecord {
    part: IdText<PartId>,
    steps: Vec<StepRecord>,
}

impl From<PlanRecord> for Plan {
    fn from(record: PlanRecord) -> Self {
        let schedule =
            |schedule: ScheduleRecord| (schedule.part.0, schedule.steps.into_iter().map(Into::into).collect());
        Self { name: record.name, schedules: record.schedules.into_iter().map(schedule).collect() }
    }
}

impl From<&Plan> for PlanRecord {
    fn from(plan: &Plan) -> Self {
        let schedule = |(part, steps): &(PartId, Vec<Step>)| ScheduleRecord {
            part: IdText(*part),
            steps: steps.iter().map(Into::into).collect(),
        };
        Self { name: plan.name.clone(), schedules: plan.schedules.iter().map(schedule).collect() }
    }
}
