//! Photos as the window needs them: shown, read against their card, and the grain of each region.

mod made;
mod read;
mod study;

use std::{collections::BTreeMap, sync::Arc};

use card::{Board, CardReading, PhotoReading};
use piece::{Photo, PhotoId, Piece, Reading, ReadingId, Source, State};

pub use made::Made;
pub use read::{Looked, Wanted, grains, look, now, reading_from, regions_of, taken};
pub use study::{Contour, Study};

use crate::{
    action::{ReadOn, Tool},
    crop::{Crop, Grain},
    picture::Picture,
};

/// What is known of one photo.
#[derive(Clone, Debug, Default)]
pub struct PhotoView {
    /// Small picture.
    pub thumb: Option<Arc<Crop>>,
    /// Width and height, pixels.
    pub size_px: Option<[u32; 2]>,
    /// The picture in levels, while it is on screen.
    pub picture: Option<Arc<Picture>>,
    /// The decoded photo, while it is on screen.
    pub decoded: Option<Arc<card::Photo>>,
    /// What was read.
    pub read: Option<Read>,
    /// Why it cannot be shown or read.
    pub problem: Option<String>,
    /// The user left its corners: they are not asked for again.
    pub no_card_wanted: bool,
}

/// What was read from a photo, and for what.
#[derive(Clone, Debug)]
pub struct Read {
    /// The entry of the piece it was read for.
    pub of: Arc<Photo>,
    /// The photo of a board that evened the light.
    pub board: Option<PhotoId>,
    /// What was read.
    pub reading: Arc<PhotoReading>,
}

impl PhotoView {
    /// The card as read.
    pub fn card(&self) -> Option<&CardReading> {
        self.read.as_ref().and_then(|read| read.reading.card.as_ref())
    }

    /// Whether it was read for this entry: same card, same corners, its light evened by the same board.
    pub fn read_for(&self, photo: &Photo, board: Option<PhotoId>) -> bool {
        let same =
            |read: &Read| read.of.card == photo.card && read.of.corners_px == photo.corners_px && read.board == board;
        self.read.as_ref().is_some_and(same)
    }
}

/// Corners of the card while they are placed by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners {
    /// The photo.
    pub photo: PhotoId,
    /// Where they are, upright photo pixels.
    pub at_px: [[f64; 2]; 4],
    /// The one that the arrow keys move.
    pub active: usize,
}

/// The state of the area Photos.
#[derive(Clone, Debug)]
pub struct Photos {
    /// The photo on show.
    pub shown: Option<PhotoId>,
    /// What is known of each.
    pub views: BTreeMap<PhotoId, PhotoView>,
    /// The grain of each region read from a photo.
    pub grains: BTreeMap<ReadingId, Arc<Grain>>,
    /// What the pointer draws.
    pub tool: Tool,
    /// The chosen region.
    pub region: Option<ReadingId>,
    /// Corners being placed.
    pub corners: Option<Corners>,
    /// The state that new regions are read in.
    pub next_state: State,
    /// What new regions are read on; none: the chosen part.
    pub next_on: Option<ReadOn>,
    /// What the light of regions showed.
    pub studies: BTreeMap<ReadingId, Arc<Study>>,
    /// The lines of equal difference are drawn.
    pub evenness_shown: bool,
    /// The photo of a board chosen to even the light of a photo without readings; readings know their own.
    pub evened_by: BTreeMap<PhotoId, PhotoId>,
    /// The light over the frame, from each photo of a board.
    pub boards: BTreeMap<PhotoId, Arc<Board>>,
}

impl Photos {
    /// The photo of a board that evens the light of this photo.
    pub fn board_of(&self, piece: &Piece, photo: PhotoId) -> Option<PhotoId> {
        let mut made = piece.readings.iter().filter_map(|reading| made_on(reading, photo));
        let chosen = || self.evened_by.get(&photo).copied();
        made.next_back().map_or_else(chosen, |made| made.board).filter(|board| piece.photo(*board).is_some())
    }

    /// Whether a photo is one of a board that evens the light of another.
    pub fn is_board(&self, piece: &Piece, photo: PhotoId) -> bool {
        piece.photos.iter().any(|other| self.board_of(piece, other.id) == Some(photo))
    }
}

/// How a reading was made, if it was on this photo.
fn made_on(reading: &Reading, photo: PhotoId) -> Option<Made> {
    match &reading.source {
        Source::Photo { photo: of, method, .. } if *of == photo => Some(Made::of(method)),
        _ => None,
    }
}

impl Default for Photos {
    fn default() -> Self {
        Self {
            shown: None,
            views: BTreeMap::new(),
            grains: BTreeMap::new(),
            tool: Tool::Hand,
            region: None,
            corners: None,
            next_state: State::BareDry,
            next_on: None,
            studies: BTreeMap::new(),
            evenness_shown: false,
            evened_by: BTreeMap::new(),
            boards: BTreeMap::new(),
        }
    }
}
