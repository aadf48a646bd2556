//! The piece: one furniture item, one project folder.

use std::sync::Arc;

use crate::{
    Board, BoardId, Ids, Joint, MatchSample, Meeting, Part, PartId, PastUse, Photo, PhotoId, Plan, Product, ProductId,
    Reading, ReadingId, Surface, Tolerances, Trial, TrialId,
};

/// Everything the user decided or measured about one piece of furniture; nothing that can be computed again.
///
/// Elements are shared (`Arc`) so that the history of a long session stays small.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Piece {
    /// The user's name for it.
    pub name: String,
    /// Free text. A demo says here that its data are invented.
    pub note: String,
    /// True for demo pieces: the data are invented, and every document says so.
    pub invented: bool,
    /// The parts, in the user's order.
    pub parts: Vec<Arc<Part>>,
    /// Which parts meet in sight.
    pub joints: Vec<Joint>,
    /// Sample boards and step panels.
    pub boards: Vec<Arc<Board>>,
    /// Products at hand.
    pub products: Vec<Arc<Product>>,
    /// Photos in the folder.
    pub photos: Vec<Arc<Photo>>,
    /// Readings of colour.
    pub readings: Vec<Arc<Reading>>,
    /// Trials.
    pub trials: Vec<Arc<Trial>>,
    /// What its products and bleaches did on earlier pieces, as taken up from the shop book.
    pub past: Vec<PastUse>,
    /// The colour to reach.
    pub match_sample: MatchSample,
    /// The clear coat the piece will get: name and sheen. The state in which a match is judged.
    pub topcoat: Option<(String, String)>,
    /// What counts as a match.
    pub tolerances: Tolerances,
    /// What the user settled on.
    pub plan: Option<Plan>,
    /// The numbers given to ids so far.
    pub ids: Ids,
}

impl Piece {
    /// The part with this id.
    pub fn part(&self, id: PartId) -> Option<&Arc<Part>> {
        self.parts.iter().find(|part| part.id == id)
    }

    /// The part with this name, ignoring case and surrounding blanks.
    pub fn part_named(&self, name: &str) -> Option<&Arc<Part>> {
        let name = name.trim().to_lowercase();
        self.parts.iter().find(|part| part.name.to_lowercase() == name)
    }

    /// How two parts meet in sight, if they do.
    pub fn meeting(&self, a: PartId, b: PartId) -> Option<Meeting> {
        self.joints.iter().find(|joint| joint.joins(a, b)).map(|joint| joint.meeting)
    }

    /// The name of the part or board, for showing; its id where there is none.
    pub fn surface_name(&self, surface: Surface) -> String {
        match surface {
            Surface::Part(id) => self.part(id).map_or_else(|| id.to_string(), |part| part.name.clone()),
            Surface::Board(id) => self.board(id).map_or_else(|| id.to_string(), |board| board.name.clone()),
        }
    }

    /// What was noted on the part or board, in one line; none where nothing was.
    pub fn surface_note(&self, surface: Surface) -> Option<String> {
        let note = match surface {
            Surface::Part(id) => &self.part(id)?.note,
            Surface::Board(id) => &self.board(id)?.note,
        };
        let line = note.split_whitespace().collect::<Vec<_>>().join(" ");
        (!line.is_empty()).then_some(line)
    }

    /// The board with this id.
    pub fn board(&self, id: BoardId) -> Option<&Arc<Board>> {
        self.boards.iter().find(|board| board.id == id)
    }

    /// The product with this id.
    pub fn product(&self, id: ProductId) -> Option<&Arc<Product>> {
        self.products.iter().find(|product| product.id == id)
    }

    /// The photo with this id.
    pub fn photo(&self, id: PhotoId) -> Option<&Arc<Photo>> {
        self.photos.iter().find(|photo| photo.id == id)
    }

    /// The reading with this id.
    pub fn reading(&self, id: ReadingId) -> Option<&Arc<Reading>> {
        self.readings.iter().find(|reading| reading.id == id)
    }

    /// The trial with this id.
    pub fn trial(&self, id: TrialId) -> Option<&Arc<Trial>> {
        self.trials.iter().find(|trial| trial.id == id)
    }
}
