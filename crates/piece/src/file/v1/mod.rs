//! Version 1 of the piece file: its records and keys, apart from the model.
//!
//! Ids are text (`"p3"`), colours `"lab": [L*, a*, b*]` at D50, keys carry their units. What is empty or not known is
//! left out, except the lists at the top.

pub(super) mod book;
mod part;
mod past;
mod photo;
mod plain;
mod product;
mod reading;
mod target;
mod trial;
mod words;

use std::{collections::BTreeMap, sync::Arc};

use serde::{Deserialize, Serialize};
use serde_json::Value;

use part::{BoardRecord, JointRecord, PartRecord};
use past::PastRecord;
use photo::PhotoRecord;
use product::ProductRecord;
use reading::ReadingRecord;
use target::{PlanRecord, TolerancesRecord, TopcoatRecord};
use trial::TrialRecord;
use words::MatchText;

use super::file_error;
use crate::{Error, Id, Ids, MatchSample, Piece};

/// The file, in the order of its keys.
#[derive(Serialize, Deserialize)]
struct PieceRecord {
    version: u64,
    name: String,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    invented: bool,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
    #[serde(default)]
    parts: Vec<PartRecord>,
    #[serde(default)]
    joints: Vec<JointRecord>,
    #[serde(default = "all_alike")]
    match_sample: MatchText,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    topcoat: Option<TopcoatRecord>,
    #[serde(default)]
    tolerances: TolerancesRecord,
    #[serde(default)]
    boards: Vec<BoardRecord>,
    #[serde(default)]
    products: Vec<ProductRecord>,
    #[serde(default)]
    photos: Vec<PhotoRecord>,
    #[serde(default)]
    readings: Vec<ReadingRecord>,
    #[serde(default)]
    trials: Vec<TrialRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    past: Vec<PastRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    plan: Option<PlanRecord>,
    #[serde(default)]
    last_ids: LastIds,
}

/// The highest number given so far, by kind.
#[derive(Clone, Copy, Default, Serialize, Deserialize)]
#[serde(default)]
struct LastIds {
    parts: u32,
    boards: u32,
    products: u32,
    photos: u32,
    readings: u32,
    trials: u32,
}

fn all_alike() -> MatchText {
    MatchText(MatchSample::AllAlike)
}

/// The piece in a value of version 1.
pub(super) fn read(value: &Value) -> Result<Piece, Error> {
    let record: PieceRecord = serde_path_to_error::deserialize(value).map_err(|error| {
        let at = match error.path().to_string() {
            path if path == "." => String::new(),
            path => format!("{path}: "),
        };
        file_error(&at, &format!("{}; mend it there", plain::words(&error.inner().to_string())))
    })?;
    let piece = Piece::from(record);
    ids_once("parts", piece.parts.iter().map(|part| part.id))?;
    ids_once("boards", piece.boards.iter().map(|board| board.id))?;
    ids_once("products", piece.products.iter().map(|product| product.id))?;
    ids_once("photos", piece.photos.iter().map(|photo| photo.id))?;
    ids_once("readings", piece.readings.iter().map(|reading| reading.id))?;
    ids_once("trials", piece.trials.iter().map(|trial| trial.id))?;
    Ok(piece)
}

/// The value of a piece in version 1.
pub(super) fn write(piece: &Piece) -> Result<Value, Error> {
    serde_json::to_value(PieceRecord::from(piece)).map_err(|error| file_error("", &error.to_string()))
}

/// Elements of the model from their records.
fn shared<R: Into<T>, T>(records: Vec<R>) -> Vec<Arc<T>> {
    records.into_iter().map(|record| Arc::new(record.into())).collect()
}

/// Records of elements of the model.
fn records<'a, R: From<&'a T>, T>(elements: &'a [Arc<T>]) -> Vec<R> {
    elements.iter().map(|element| R::from(element)).collect()
}

fn ids_once<I: Id>(list: &str, ids: impl Iterator<Item = I>) -> Result<(), Error> {
    let mut seen = BTreeMap::new();
    for (index, id) in ids.enumerate() {
        if let Some(first) = seen.insert(id, index) {
            let problem = format!("{id} is already the id of {list}[{first}]: give one of them a number of its own");
            return Err(file_error(&format!("{list}[{index}].id: "), &problem));
        }
    }
    Ok(())
}

impl From<PieceRecord> for Piece {
    fn from(record: PieceRecord) -> Self {
        let last = record.last_ids;
        let mut piece = Self {
            name: record.name,
            note: record.note,
            invented: record.invented,
            parts: shared(record.parts),
            joints: record.joints.into_iter().map(Into::into).collect(),
            boards: shared(record.boards),
            products: shared(record.products),
            photos: shared(record.photos),
            readings: shared(record.readings),
            trials: shared(record.trials),
            past: record.past.into_iter().map(Into::into).collect(),
            match_sample: record.match_sample.0,
            topcoat: record.topcoat.map(|topcoat| (topcoat.name, topcoat.sheen)),
            tolerances: record.tolerances.into(),
            plan: record.plan.map(Into::into),
            ids: Ids {
                parts: last.parts,
                boards: last.boards,
                products: last.products,
                photos: last.photos,
                readings: last.readings,
                trials: last.trials,
            },
        };
        note_ids(&mut piece);
        piece
    }
}

/// Counts on from ids that were added by hand without counting them.
fn note_ids(piece: &mut Piece) {
    let ids = &mut piece.ids;
    piece.parts.iter().for_each(|part| ids.note(part.id));
    piece.boards.iter().for_each(|board| ids.note(board.id));
    piece.products.iter().for_each(|product| ids.note(product.id));
    piece.photos.iter().for_each(|photo| ids.note(photo.id));
    piece.readings.iter().for_each(|reading| ids.note(reading.id));
    piece.trials.iter().for_each(|trial| ids.note(trial.id));
}

impl From<&Piece> for PieceRecord {
    fn from(piece: &Piece) -> Self {
        let ids = piece.ids;
        Self {
            version: super::VERSION,
            name: piece.name.clone(),
            invented: piece.invented,
            note: piece.note.clone(),
            parts: records(&piece.parts),
            joints: piece.joints.iter().map(Into::into).collect(),
            match_sample: MatchText(piece.match_sample.clone()),
            topcoat: piece.topcoat.clone().map(|(name, sheen)| TopcoatRecord { name, sheen }),
            tolerances: (&piece.tolerances).into(),
            boards: records(&piece.boards),
            products: records(&piece.products),
            photos: records(&piece.photos),
            readings: records(&piece.readings),
            trials: records(&piece.trials),
            past: piece.past.iter().map(Into::into).collect(),
            plan: piece.plan.as_ref().map(Into::into),
            last_ids: LastIds {
                parts: ids.parts,
                boards: ids.boards,
                products: ids.products,
                photos: ids.photos,
                readings: ids.readings,
                trials: ids.trials,
            },
        }
    }
}
