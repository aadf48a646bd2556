//! Records of photos.

use serde::{Deserialize, Serialize};

use super::words::{IdText, Two};
use crate::{Photo, PhotoId};

#[derive(Serialize, Deserialize)]
pub(super) struct PhotoRecord {
    id: IdText<PhotoId>,
    file: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    light: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    card: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    corners_px: Option<[Two; 4]>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl From<PhotoRecord> for Photo {
    fn from(record: PhotoRecord) -> Self {
        Self {
            id: record.id.0,
            file: record.file,
            light: record.light,
            card: record.card,
            corners_px: record.corners_px.map(|corners| corners.map(|corner| corner.0)),
            note: record.note,
        }
    }
}

impl From<&Photo> for PhotoRecord {
    fn from(photo: &Photo) -> Self {
        Self {
            id: IdText(photo.id),
            file: photo.file.clone(),
            light: photo.light.clone(),
            card: photo.card.clone(),
            corners_px: photo.corners_px.map(|corners| corners.map(Two)),
            note: photo.note.clone(),
        }
    }
}
