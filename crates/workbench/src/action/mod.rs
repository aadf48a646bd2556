//! Everything a person can do, by area. Only [`Workbench::apply`](crate::Workbench::apply) carries it out.

mod areas;
mod photos;

use std::path::PathBuf;

use piece::{Edit, PartId};

pub use areas::{BookAction, ColouringOutAction, PartsAction, RoutesAction, SamplesAction, SheetAction, SideAction};
pub use photos::{PhotosAction, ReadOn, Tool};

use crate::Theme;

/// One thing done.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Opening, making and saving pieces.
    Start(StartAction),
    /// What stands round the working area.
    Frame(FrameAction),
    /// Photos.
    Photos(PhotosAction),
    /// Side by side.
    SideBySide(SideAction),
    /// Samples.
    Samples(SamplesAction),
    /// Routes.
    Routes(RoutesAction),
    /// Sheet.
    Sheet(SheetAction),
    /// Parts.
    Parts(PartsAction),
    /// Colouring out.
    ColouringOut(ColouringOutAction),
    /// The shop book.
    Book(BookAction),
    /// A change to the piece, as one step to undo.
    Edit(Box<Edit>),
}

/// The working areas, in the order of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Area {
    /// Photos.
    #[default]
    Photos,
    /// Side by side.
    SideBySide,
    /// Samples.
    Samples,
    /// Routes.
    Routes,
    /// Sheet.
    Sheet,
}

impl Area {
    /// All of them, in order.
    pub const ALL: [Self; 5] = [Self::Photos, Self::SideBySide, Self::Samples, Self::Routes, Self::Sheet];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Photos => "Photos",
            Self::SideBySide => "Side by side",
            Self::Samples => "Samples",
            Self::Routes => "Routes",
            Self::Sheet => "Sheet",
        }
    }
}

/// Opening, making and saving pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StartAction {
    /// A new piece in the user's folder.
    New,
    /// Opens the piece in this folder.
    Open(PathBuf),
    /// Opens the piece that was open last, where it was not closed and is still there.
    Last,
    /// Opens a copy of the demo with this id.
    Demo(String),
    /// Takes in photos; makes a new piece where none is open. A folder is opened as a piece.
    Take(Vec<PathBuf>),
    /// Saves the piece.
    Save,
    /// Saves a copy in this folder and goes on there.
    SaveAs(PathBuf),
    /// Saves and closes the piece.
    Close,
}

/// What stands round the working area.
#[derive(Clone, Debug, PartialEq)]
pub enum FrameAction {
    /// Goes to an area.
    Go(Area),
    /// Chooses a part; with `add`, beside those already chosen, or takes it out again.
    Choose {
        /// The part.
        part: PartId,
        /// Keep the others.
        add: bool,
    },
    /// Takes back the last edit.
    Undo,
    /// Makes it again.
    Redo,
    /// Stops what runs.
    Cancel,
    /// Puts a theme in force.
    Theme(Theme),
    /// Opens this in the panel; none: what belongs to the area.
    Beside(Option<Beside>),
    /// Shows only readings of this light; none: all.
    Light(Option<String>),
    /// Says something in the status line: the result of a dialog, an error of the window.
    Say {
        /// What happened.
        line: String,
        /// Whether something could not be done.
        failed: bool,
    },
}

/// What stands in the panel in place of what belongs to the area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// Colouring out.
    ColouringOut,
    /// The shop book.
    ShopBook,
    /// What is wrong with the piece.
    Problems,
}

/// An action of an area is an action.
macro_rules! is_action {
    ($($area:ident($action:ident)),* $(,)?) => {
        $(impl From<$action> for Action {
            fn from(action: $action) -> Self {
                Self::$area(action)
            }
        })*
    };
}

is_action!(
    Start(StartAction),
    Frame(FrameAction),
    Photos(PhotosAction),
    SideBySide(SideAction),
    Samples(SamplesAction),
    Routes(RoutesAction),
    Sheet(SheetAction),
    Parts(PartsAction),
    ColouringOut(ColouringOutAction),
    Book(BookAction),
);

impl From<Edit> for Action {
    fn from(edit: Edit) -> Self {
        Self::Edit(Box::new(edit))
    }
}
