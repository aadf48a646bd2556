//! Records of readings: colours with their errors, state and source.

use serde::{Deserialize, Serialize};

use super::words::{GrainWord, IdText, Matrix, SurfaceText, Three, Two};
use crate::{PhotoId, Reading, ReadingId, Region, SharedError, Source, State};

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
