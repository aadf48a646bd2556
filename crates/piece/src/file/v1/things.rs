//! Records of what there is: parts, joints, boards, products, photos.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::words::{BarWord, GlueWord, IdText, KindWord, MeetingWord, Two};
use crate::{Board, BoardId, Construction, Fidelity, Joint, Part, PartId, Photo, PhotoId, Product, ProductId, Share};

/// Elements of the model from their records.
pub(super) fn shared<R: Into<T>, T>(records: Vec<R>) -> Vec<Arc<T>> {
    records.into_iter().map(|record| Arc::new(record.into())).collect()
}

/// Records of elements of the model.
pub(super) fn records<'a, R: From<&'a T>, T>(elements: &'a [Arc<T>]) -> Vec<R> {
    elements.iter().map(|element| R::from(element)).collect()
}

#[derive(Serialize, Deserialize)]
pub(super) struct PartRecord {
    id: IdText<PartId>,
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    wood: String,
    construction: ConstructionRecord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    area_m2: Option<f64>,
    #[serde(default = "yes")]
    show_face: bool,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    bars: Vec<BarWord>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

fn yes() -> bool {
    true
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum ConstructionRecord {
    Solid,
    Veneer { thickness_mm: f64, glue: GlueWord },
    EndGrain,
}

impl From<PartRecord> for Part {
    fn from(record: PartRecord) -> Self {
        Self {
            id: record.id.0,
            name: record.name,
            wood: record.wood,
            construction: match record.construction {
                ConstructionRecord::Solid => Construction::Solid,
                ConstructionRecord::Veneer { thickness_mm, glue } => {
                    Construction::Veneer { thickness_mm, glue: glue.into() }
                }
                ConstructionRecord::EndGrain => Construction::EndGrain,
            },
            area_m2: record.area_m2,
            show_face: record.show_face,
            bars: record.bars.into_iter().map(Into::into).collect(),
            note: record.note,
        }
    }
}

impl From<&Part> for PartRecord {
    fn from(part: &Part) -> Self {
        Self {
            id: IdText(part.id),
            name: part.name.clone(),
            wood: part.wood.clone(),
            construction: match part.construction {
                Construction::Solid => ConstructionRecord::Solid,
                Construction::Veneer { thickness_mm, glue } => {
                    ConstructionRecord::Veneer { thickness_mm, glue: glue.into() }
                }
                Construction::EndGrain => ConstructionRecord::EndGrain,
            },
            area_m2: part.area_m2,
            show_face: part.show_face,
            bars: part.bars.iter().copied().map(Into::into).collect(),
            note: part.note.clone(),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct JointRecord {
    a: IdText<PartId>,
    b: IdText<PartId>,
    meeting: MeetingWord,
}

impl From<JointRecord> for Joint {
    fn from(record: JointRecord) -> Self {
        Self { a: record.a.0, b: record.b.0, meeting: record.meeting.into() }
    }
}

impl From<&Joint> for JointRecord {
    fn from(joint: &Joint) -> Self {
        Self { a: IdText(joint.a), b: IdText(joint.b), meeting: joint.meeting.into() }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct TopcoatRecord {
    pub(super) name: String,
    #[serde(default)]
    pub(super) sheen: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoardRecord {
    id: IdText<BoardId>,
    name: String,
    stands_for: IdText<PartId>,
    same_exposure: bool,
    same_grit: bool,
    same_stripping: bool,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl From<BoardRecord> for Board {
    fn from(record: BoardRecord) -> Self {
        Self {
            id: record.id.0,
            name: record.name,
            stands_for: record.stands_for.0,
            fidelity: Fidelity {
                same_exposure: record.same_exposure,
                same_grit: record.same_grit,
                same_stripping: record.same_stripping,
            },
            note: record.note,
        }
    }
}

impl From<&Board> for BoardRecord {
    fn from(board: &Board) -> Self {
        Self {
            id: IdText(board.id),
            name: board.name.clone(),
            stands_for: IdText(board.stands_for),
            same_exposure: board.fidelity.same_exposure,
            same_grit: board.fidelity.same_grit,
            same_stripping: board.fidelity.same_stripping,
            note: board.note.clone(),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct ProductRecord {
    id: IdText<ProductId>,
    name: String,
    kind: KindWord,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reducer: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    coverage_m2_per_l: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    drying_hours: Option<f64>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    lot: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    mix: Vec<ShareRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    cautions: Vec<String>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Serialize, Deserialize)]
struct ShareRecord {
    product: IdText<ProductId>,
    volume_parts: f64,
}

impl From<ProductRecord> for Product {
    fn from(record: ProductRecord) -> Self {
        let share = |share: ShareRecord| Share { product: share.product.0, parts: share.volume_parts };
        Self {
            id: record.id.0,
            name: record.name,
            kind: record.kind.into(),
            reducer: record.reducer,
            coverage_m2_per_l: record.coverage_m2_per_l,
            drying_hours: record.drying_hours,
            lot: record.lot,
            mix: record.mix.into_iter().map(share).collect(),
            cautions: record.cautions,
            note: record.note,
        }
    }
}

impl From<&Product> for ProductRecord {
    fn from(product: &Product) -> Self {
        let share = |share: &Share| ShareRecord { product: IdText(share.product), volume_parts: share.parts };
        Self {
            id: IdText(product.id),
            name: product.name.clone(),
            kind: product.kind.into(),
            reducer: product.reducer.clone(),
            coverage_m2_per_l: product.coverage_m2_per_l,
            drying_hours: product.drying_hours,
            lot: product.lot.clone(),
            mix: product.mix.iter().map(share).collect(),
            cautions: product.cautions.clone(),
            note: product.note.clone(),
        }
    }
}

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
