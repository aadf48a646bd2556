//! Records of parts, of how they meet, and of the boards that stand for them.

use serde::{Deserialize, Serialize};

use super::words::{BarWord, GlueWord, IdText, MeetingWord};
use crate::{Board, BoardId, Construction, Fidelity, Joint, Part, PartId};

#[derive(Serialize, Deserialize)]
pub(super) struct PartRecord {
    id: IdText<PartId>,
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    wood: String,
    construction: ConstructionRecord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    area_m2: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sanded_to: Option<u32>,
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
            sanded_to: record.sanded_to,
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
            sanded_to: part.sanded_to,
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
