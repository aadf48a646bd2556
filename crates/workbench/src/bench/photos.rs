//! Photos: showing, drawing regions, placing corners, and taking in what was read.

use std::sync::Arc;

use card::PhotoReading;
use piece::{
    Edit, Photo, PhotoId, ReadingId, Region, Source, State, Surface,
    edit::{PhotoEdit, ReadingEdit},
};

use super::Workbench;
use crate::{
    action::{PhotosAction, Tool},
    photos::{Corners, now, reading_from},
    status::Status,
    words,
};

/// What a region is read for.
#[derive(Clone, Debug, PartialEq)]
pub enum RegionFor {
    /// A new reading.
    New(Surface, State),
    /// In the place of a reading there is.
    Again(ReadingId),
}

impl Workbench {
    pub(super) fn photos_action(&mut self, action: PhotosAction) {
        match action {
            PhotosAction::Show(photo) => self.show(photo),
            PhotosAction::Tool(tool) => self.take_up(tool),
            PhotosAction::ChooseRegion(reading) => self.choose_region(reading),
            PhotosAction::Draw { photo, points_px } => self.draw(photo, points_px),
            PhotosAction::Move { reading, points_px } => self.move_region(reading, points_px),
            PhotosAction::For(on) => self.read_next_for(on),
            PhotosAction::NextState(state) => self.photos.next_state = state,
            PhotosAction::MoveCorner { corner, to_px } => self.move_corner(corner, to_px),
            PhotosAction::NextCorner => {
                if let Some(corners) = &mut self.photos.corners {
                    corners.active = (corners.active + 1) % 4;
                }
            }
            PhotosAction::PlaceCorners(photo) => self.place_corners(photo),
            PhotosAction::ReadWithCorners => self.read_with_corners(),
            PhotosAction::LookAgain(photo) => self.look_again(photo),
            PhotosAction::NoCard(photo) => self.no_card(photo),
            PhotosAction::Light(photo, light) => self.set_light(photo, light),
        }
    }

    fn show(&mut self, photo: PhotoId) {
        if self.piece().is_some_and(|piece| piece.photo(photo).is_some()) {
            self.photos.shown = Some(photo);
            self.photos.region = None;
            self.photos.corners = None;
        }
    }

    fn take_up(&mut self, tool: Tool) {
        self.photos.tool = tool;
        if tool != Tool::Hand {
            let on = self.next_surface().zip(self.piece()).map(|(on, piece)| words::surface(piece, on));
            self.status = match on {
                Some(on) => Status::done(
                    format!("Draw on {on}, {}.", words::state(&self.photos.next_state)),
                    "drag a rectangle",
                ),
                None => Status::failed("Name a part first: a region is read for a part or board."),
            };
        }
    }

    /// What the next region is read for.
    pub fn next_surface(&self) -> Option<Surface> {
        self.photos.next_board.map(Surface::Board).or_else(|| self.part().map(Surface::Part))
    }

    /// Reads the next regions for a part or a board.
    fn read_next_for(&mut self, on: Surface) {
        match on {
            Surface::Board(board) => self.photos.next_board = Some(board),
            Surface::Part(part) => {
                self.photos.next_board = None;
                self.choose(part, false);
            }
        }
    }

    fn choose_region(&mut self, reading: Option<ReadingId>) {
        self.photos.region = reading;
        let of = reading.and_then(|id| Some(self.piece()?.reading(id)?.of));
        if let Some(Surface::Part(part)) = of {
            self.choose(part, false);
        }
    }

    fn draw(&mut self, photo: PhotoId, points_px: Vec<[f64; 2]>) {
        self.photos.tool = Tool::Hand;
        let Some(on) = self.next_surface() else {
            self.status = Status::failed("Name a part first: a region is read for a part or board.");
            return;
        };
        let region = RegionFor::New(on, self.photos.next_state.clone());
        self.read_region(photo, Region { points_px }, region);
    }

    fn move_region(&mut self, reading: ReadingId, points_px: Vec<[f64; 2]>) {
        let source = self.piece().and_then(|piece| piece.reading(reading)).map(|reading| reading.source.clone());
        if let Some(Source::Photo { photo, .. }) = source {
            self.read_region(photo, Region { points_px }, RegionFor::Again(reading));
        }
    }

    /// Takes in the reading of a region as an edit.
    pub(super) fn region_read(&mut self, photo: &Arc<Photo>, region: &Region, wanted: RegionFor, read: &PhotoReading) {
        let Some(piece) = self.piece().cloned() else { return };
        let Some(found) = read.regions.first() else {
            let why = read.warnings.last().map(|warning| warning.text.clone());
            let why = why.unwrap_or_else(|| "Too small, or off the photo: draw it larger.".into());
            self.status = Status::failed(format!("The region cannot be read. {why}"));
            return;
        };
        let edit = match &wanted {
            RegionFor::New(on, state) => {
                let reading = reading_from(found, *on, photo, region, state.clone(), now());
                Edit::Reading(ReadingEdit::Add(Box::new(reading)))
            }
            RegionFor::Again(id) => {
                let Some(old) = piece.reading(*id) else { return };
                let mut reading = reading_from(found, old.of, photo, region, old.state.clone(), now());
                reading.id = *id;
                reading.grain = old.grain;
                Edit::Reading(ReadingEdit::Change(Box::new(reading)))
            }
        };
        if !self.edit(&edit) {
            return;
        }
        let Some(piece) = self.piece() else { return };
        let id = match wanted {
            RegionFor::New(..) => piece.readings.last().map(|reading| reading.id),
            RegionFor::Again(id) => Some(id),
        };
        let said = id.and_then(|id| piece.reading(id)).map(|reading| {
            let name = words::capital(&words::surface(piece, reading.of));
            format!("{name} read from photo {}: {}.", place_of(piece, photo.id), words::lab(reading.lab))
        });
        self.photos.region = id;
        self.photos.grains.retain(|known, _| Some(*known) != id);
        self.regrain(photo.id);
        self.status = Status::done(said.unwrap_or_default(), "compare the parts, press 2");
    }

    fn move_corner(&mut self, corner: usize, to_px: [f64; 2]) {
        let size = self.photos.shown.and_then(|id| self.photos.views.get(&id)).and_then(|view| view.size_px);
        let (Some(corners), Some([width, height])) = (&mut self.photos.corners, size) else { return };
        if corner < 4 && to_px.iter().all(|c| c.is_finite()) {
            corners.at_px[corner] = [to_px[0].clamp(0.0, f64::from(width)), to_px[1].clamp(0.0, f64::from(height))];
            corners.active = corner;
        }
    }

    pub(super) fn place_corners(&mut self, photo: PhotoId) {
        let Some(view) = self.photos.views.get(&photo) else { return };
        let Some([width, height]) = view.size_px.map(|size| size.map(f64::from)) else { return };
        let [w, h] = [width * 0.2, width * 0.2 * 4.0 / 6.0];
        let (x, y) = ((width - w) / 2.0, (height - h) / 2.0);
        let middle = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
        let by_hand = self.piece().and_then(|piece| piece.photo(photo)).and_then(|photo| photo.corners_px);
        let at_px = by_hand.or_else(|| view.card().map(|card| card.corners_px)).unwrap_or(middle);
        self.photos.shown = Some(photo);
        self.photos.corners = Some(Corners { photo, at_px, active: 0 });
        self.status.next = "put corner 1 on its patch".into();
    }

    fn read_with_corners(&mut self) {
        let Some(corners) = self.photos.corners else { return };
        if self.edit(&Edit::Photo(PhotoEdit::PlaceCorners(corners.photo, Some(corners.at_px)))) {
            self.photos.corners = None;
            self.status = Status::done("The card is read where you put it.", "");
        }
    }

    fn look_again(&mut self, photo: PhotoId) {
        let by_hand = self.piece().and_then(|piece| piece.photo(photo)).is_some_and(|photo| photo.corners_px.is_some());
        if by_hand && !self.edit(&Edit::Photo(PhotoEdit::PlaceCorners(photo, None))) {
            return;
        }
        self.photos.corners = None;
        if let Some(view) = self.photos.views.get_mut(&photo) {
            view.reading = None;
            view.problem = None;
            view.no_card_wanted = false;
        }
        self.status = Status::done("Looking for the card again.", "");
    }

    fn no_card(&mut self, photo: PhotoId) {
        self.photos.corners = None;
        if let Some(view) = self.photos.views.get_mut(&photo) {
            view.no_card_wanted = true;
        }
        self.status = Status::done("The photo is kept to look at. Without a card no colour is read from it.", "");
    }

    fn set_light(&mut self, photo: PhotoId, light: String) {
        let Some(photo) = self.piece().and_then(|piece| piece.photo(photo)).cloned() else { return };
        let changed = Photo { light: light.trim().into(), ..(*photo).clone() };
        if self.edit(&Edit::Photo(PhotoEdit::Change(changed))) {
            self.status = Status::done("The light is noted. Readings already made keep theirs.", "");
        }
    }
}

/// Which photo of the piece this is, counted from 1.
pub(super) fn place_of(piece: &piece::Piece, photo: PhotoId) -> usize {
    piece.photos.iter().position(|other| other.id == photo).map_or(0, |place| place + 1)
}
