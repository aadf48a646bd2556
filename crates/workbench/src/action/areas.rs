//! What is done in the other areas, in the list of parts, and in what opens beside them.

use std::path::PathBuf;

use piece::{PartId, ReadingId, TrialId};

use crate::settings::Units;

/// Side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SideAction {
    /// Shows this pair.
    Pair(PartId, PartId),
    /// Accepts the shift that carries readings across from other states.
    CarryAcross,
    /// Makes a part the match sample; none: all alike.
    MatchSample(Option<PartId>),
}

/// Samples.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SamplesAction {
    /// Chooses a trial.
    Choose(TrialId),
    /// Logs a trial from a line of text.
    Log(String),
    /// Adds a board that stands for the chosen part.
    AddBoard,
    /// Puts the trial's steps into the plan of the chosen part.
    Use(TrialId),
}

/// Routes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RoutesAction {
    /// Chooses a route by its place.
    Choose(usize),
    /// Chooses a ranked schedule by its id.
    ChooseRow(String),
    /// Makes the chosen route, or the chosen schedule, the plan.
    MakePlan,
}

/// Sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetAction {
    /// Writes the sheet to this file.
    Save(PathBuf),
    /// Writes amounts in these units.
    Units(Units),
}

/// Parts, as their fields are typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PartsAction {
    /// Writes the wood of a part.
    Wood(PartId, String),
    /// Writes the area of a part: in the units in force, or with its own; empty: not measured.
    Area(PartId, String),
    /// Writes the grit that a part was sanded to: `180`; empty: not noted.
    SandedTo(PartId, String),
}

/// Colouring out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ColouringOutAction {
    /// Matches the spot to this reading.
    Spot(ReadingId),
    /// Adds a stick as it is typed: `amber 56/24/45`.
    AddStick(String),
    /// Takes the stick of this name out.
    RemoveStick(String),
}

/// The shop book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BookAction {
    /// Chooses its file, which need not be there yet.
    Choose(PathBuf),
    /// Enters the trials of the open piece.
    Enter,
    /// Takes up what it knows of the open piece's products and of bleaches.
    TakeUp,
}
