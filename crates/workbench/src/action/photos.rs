//! What is done to photos.

use piece::{PhotoId, ReadingId, State, Surface};

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
    /// Takes up a tool. The hand puts down what was in it before, and so does any other: a tool, or the card's corners, which
    /// stay where they were.
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
    /// Writes the light a photo was taken in.
    Light(PhotoId, String),
}
