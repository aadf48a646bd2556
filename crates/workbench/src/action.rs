//! Everything a person can do, by area. Only [`Workbench::apply`](crate::Workbench::apply) carries it out.

use std::path::PathBuf;

use piece::{Edit, PartId, PhotoId, ReadingId, State, Surface, TrialId};

use crate::{Theme, settings::Units};

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

/// What the pointer draws on a photo.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// Nothing: it moves the photo and chooses regions.
    #[default]
    Hand,
    /// A rectangle.
    Rectangle,
    /// A polygon, point by point.
    Polygon,
    /// A polygon, point by point, to be left out of the chosen region.
    LeaveOut,
}

/// What a region is read on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadOn {
    /// A part or a board.
    Surface(Surface),
    /// The user's own check tile.
    Tile,
}

/// Photos.
#[derive(Clone, Debug, PartialEq)]
pub enum PhotosAction {
    /// Shows a photo.
    Show(PhotoId),
    /// Takes up a tool.
    Tool(Tool),
    /// Chooses a region by its reading.
    ChooseRegion(Option<ReadingId>),
    /// Reads a new region.
    Draw {
        /// The photo.
        photo: PhotoId,
        /// Corners in upright photo pixels.
        points_px: Vec<[f64; 2]>,
    },
    /// Reads a region again at another place.
    Move {
        /// Its reading.
        reading: ReadingId,
        /// Corners in upright photo pixels.
        points_px: Vec<[f64; 2]>,
    },
    /// What new regions are read on.
    For(ReadOn),
    /// Leaves the light and dark spots of a region out of its colour, or takes them in again.
    LeaveSpotsOut(ReadingId, bool),
    /// Leaves a place out of the colour of a region.
    LeaveOut {
        /// Its reading.
        reading: ReadingId,
        /// Corners of the place in upright photo pixels.
        points_px: Vec<[f64; 2]>,
    },
    /// Takes all places left out by hand into the colour of a region again.
    TakeIn(ReadingId),
    /// Draws the lines of equal difference over the chosen region, or takes them away.
    ShowEvenness(bool),
    /// Evens the light of a photo by one of a plain board; none: as it falls.
    EvenLight(PhotoId, Option<PhotoId>),
    /// Names the card in a photo by its id; none: any card known.
    Card(PhotoId, Option<String>),
    /// Takes the last reading of the check tile out of its record.
    ForgetTile,
    /// The state new regions are read in.
    NextState(State),
    /// Moves a corner of the card; nothing is read yet.
    MoveCorner {
        /// Which: 0 to 3.
        corner: usize,
        /// To where, upright photo pixels.
        to_px: [f64; 2],
    },
    /// Takes up the next corner.
    NextCorner,
    /// Starts placing corners by hand.
    PlaceCorners(PhotoId),
    /// Reads the photo with the corners as they are.
    ReadWithCorners,
    /// Looks for the card again, without corners given by hand.
    LookAgain(PhotoId),
    /// There is no card in it: stop asking.
    NoCard(PhotoId),
    /// Writes the light a photo was taken in.
    Light(PhotoId, String),
}

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

/// Parts, as their fields are typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PartsAction {
    /// Writes the wood of a part.
    Wood(PartId, String),
    /// Writes the area of a part: in the units in force, or with its own; empty: not measured.
    Area(PartId, String),
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
