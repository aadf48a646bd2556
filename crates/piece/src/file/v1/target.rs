//! Records of what was decided: the topcoat, tolerances and the plan.

use serde::{Deserialize, Serialize};

use super::{trial::StepRecord, words::IdText};
use crate::{PartId, Plan, Step, Tolerances, target::PairTolerance};

#[derive(Serialize, Deserialize)]
pub(super) struct TopcoatRecord {
    pub(super) name: String,
    #[serde(default)]
    pub(super) sheen: String,
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
