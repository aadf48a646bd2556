//! Parts, the boards that stand for them, and how parts meet.

use crate::{BoardId, PartId};

/// What is coloured as one: a top, a rail, a door, an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Stable id.
    pub id: PartId,
    /// The user's name for it.
    pub name: String,
    /// The wood, in the user's words: 'oak, quarter-sawn'.
    pub wood: String,
    /// How it is built.
    pub construction: Construction,
    /// Area to be finished, m². None where not measured.
    pub area_m2: Option<f64>,
    /// The last grit it was sanded to. None where not noted.
    pub sanded_to: Option<u32>,
    /// Whether this is a face people look at.
    pub show_face: bool,
    /// What may not be done to it, beyond what its construction forbids.
    pub bars: Vec<Bar>,
    /// Free text.
    pub note: String,
}

impl Part {
    /// A part of which nothing is said but its name and wood: solid, a show face, its area not measured, its grit not noted,
    /// nothing barred.
    pub fn new(id: PartId, name: impl Into<String>, wood: impl Into<String>) -> Self {
        Self {
            id,
            name: name.into(),
            wood: wood.into(),
            construction: Construction::Solid,
            area_m2: None,
            sanded_to: None,
            show_face: true,
            bars: Vec::new(),
            note: String::new(),
        }
    }

    /// Its area in m², where one is stated that can be one: above zero.
    pub fn usable_area_m2(&self) -> Option<f64> {
        self.area_m2.filter(|area| area.is_finite() && *area > 0.0)
    }
}

/// How a part is built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Construction {
    /// Solid wood, face or side grain.
    Solid,
    /// Veneer on a ground.
    Veneer {
        /// Thickness of the veneer, mm.
        thickness_mm: f64,
        /// What holds it.
        glue: Glue,
    },
    /// End grain showing.
    EndGrain,
}

/// The glue under a veneer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glue {
    /// Animal glue: water and alkali lift it.
    Hide,
    /// A synthetic glue.
    Modern,
    /// Not known: treated as hide glue.
    Unknown,
}

/// Something that may not be done to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bar {
    /// No sanding.
    Sanding,
    /// No water on the wood: water dye, damping down, wet bleach.
    Water,
    /// No bleach of any kind.
    Bleach,
}

/// Two parts that meet in sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// One part.
    pub a: PartId,
    /// The other.
    pub b: PartId,
    /// How they meet.
    pub meeting: Meeting,
}

impl Joint {
    /// Whether these are the two parts, either way round.
    pub fn joins(&self, a: PartId, b: PartId) -> bool {
        (self.a, self.b) == (a, b) || (self.a, self.b) == (b, a)
    }
}

/// How two parts meet in sight, which decides what difference is tolerated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meeting {
    /// Touching in one plane.
    SamePlane,
    /// Doors and fronts: alike, with a gap or rail between.
    Fronts,
    /// Other planes.
    OtherPlanes,
}

/// Where something is read or tried: a part or a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Surface {
    /// On the piece itself.
    Part(PartId),
    /// On a board.
    Board(BoardId),
}

/// An offcut, board or hidden spot where trials are made.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// Stable id.
    pub id: BoardId,
    /// The user's name for it.
    pub name: String,
    /// The part whose wood it stands for.
    pub stands_for: PartId,
    /// How truly it stands for that part.
    pub fidelity: Fidelity,
    /// Free text.
    pub note: String,
}

impl Board {
    /// A board that stands truly for a part.
    pub fn new(id: BoardId, name: impl Into<String>, stands_for: PartId) -> Self {
        Self { id, name: name.into(), stands_for, fidelity: Fidelity::FULL, note: String::new() }
    }
}

/// How truly a board stands for its part. Each false one widens what is learned from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fidelity {
    /// Same ageing and exposure to light.
    pub same_exposure: bool,
    /// Sanded to the same grit.
    pub same_grit: bool,
    /// Stripped the same way.
    pub same_stripping: bool,
}

impl Fidelity {
    /// True in every way.
    pub const FULL: Self = Self { same_exposure: true, same_grit: true, same_stripping: true };
}
