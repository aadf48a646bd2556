//! Photos: showing, drawing regions, placing corners, and taking in what was read.

use piece::{Edit, Photo, PhotoId, Source, edit::PhotoEdit};

use super::Workbench;
use crate::{
    action::{Area, PhotosAction, ReadOn, Tool},
    photos::Corners,
    status::Status,
    words,
};

impl Workbench {
    pub(super) fn photos_action(&mut self, action: PhotosAction) {
        match action {
            PhotosAction::Show(photo) => self.show(photo),
            PhotosAction::Tool(tool) => self.take_up(tool),
            PhotosAction::ChooseRegion(reading) => self.choose_region(reading),
            PhotosAction::Draw { photo, points_px } => self.draw(photo, points_px),
            PhotosAction::Move { reading, points_px } => self.move_region(reading, points_px),
            PhotosAction::For(on) => self.read_next_on(on),
            PhotosAction::LeaveSpotsOut(reading, leave) => self.leave_spots_out(reading, leave),
            PhotosAction::LeaveOut { reading, points_px } => self.leave_out(reading, points_px),
            PhotosAction::TakeIn(reading) => self.take_in(reading),
            PhotosAction::ShowEvenness(show) => self.photos.evenness_shown = show,
            PhotosAction::EvenLight(photo, board) => self.even_light(photo, board),
            PhotosAction::Card(photo, card) => self.name_card(photo, card),
            PhotosAction::ForgetTile => self.forget_tile(),
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
            PhotosAction::Light(photo, light) => self.set_light(photo, light),
        }
    }

    fn show(&mut self, photo: PhotoId) {
        if self.piece().is_some_and(|piece| piece.photo(photo).is_some()) {
            self.photos.shown = Some(photo);
            self.photos.region = None;
            if self.photos.corners.take().is_some() {
                self.status.next = self.next_in(self.area);
            }
            self.go_on_in_the_state_of(photo);
        }
    }

    /// The next region is in the state of those already read in this photo, where they agree: a spirit-wet photo is not taken
    /// for a dry one in silence.
    pub(super) fn go_on_in_the_state_of(&mut self, photo: PhotoId) {
        let Some(piece) = self.piece() else { return };
        let here = |source: &Source| matches!(source, Source::Photo { photo: of, .. } if *of == photo);
        let mut states = piece.readings.iter().filter(|reading| here(&reading.source)).map(|reading| &reading.state);
        let Some(first) = states.next().cloned() else { return };
        if states.all(|state| *state == first) {
            self.photos.next_state = first;
        }
    }

    fn take_up(&mut self, tool: Tool) {
        self.put_down();
        match tool {
            Tool::Hand => {}
            Tool::Rectangle => self.take_up_drawing(tool, "drag a rectangle"),
            Tool::Polygon => self.take_up_drawing(tool, "click its corners, then Enter"),
            Tool::LeaveOut => self.take_up_leaving_out(),
        }
    }

    /// Whether anything is in hand that can be put down.
    pub fn holds_a_tool(&self) -> bool {
        self.photos.tool != Tool::Hand || self.photos.corners.is_some()
    }

    /// Puts down what is in hand. A photo whose card was not found is not asked about again.
    fn put_down(&mut self) {
        if !self.holds_a_tool() {
            return;
        }
        self.photos.tool = Tool::Hand;
        let left = self.photos.corners.take().and_then(|corners| self.photos.views.get_mut(&corners.photo));
        let said = match left {
            Some(view) if view.card().is_none() => {
                view.no_card_wanted = true;
                "The photo is kept to look at. Without a card no colour is read from it."
            }
            Some(_) => "The card stays where it was read.",
            None => "",
        };
        self.status = Status::done(said, self.next_in(Area::Photos));
    }

    fn take_up_drawing(&mut self, tool: Tool, how: &str) {
        self.photos.tool = tool;
        let on = match self.next_on() {
            Some(ReadOn::Tile) => Some("the check tile".to_owned()),
            Some(ReadOn::Surface(on)) => self
                .piece()
                .map(|piece| format!("{}, {}", words::surface(piece, on), words::state(&self.photos.next_state))),
            None => None,
        };
        self.status = match on {
            Some(on) => Status::done(format!("Draw on {on}."), how),
            None => Status::failed("Name a part first, at the right: a region is read for a part or board."),
        };
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
        self.photos.tool = Tool::Hand;
        self.photos.corners = Some(Corners { photo, at_px, active: 0 });
        self.status.next = self.next_in(Area::Photos);
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
            view.read = None;
            view.problem = None;
            view.no_card_wanted = false;
        }
        self.status = Status::done("Looking for the card again.", "");
    }

    fn name_card(&mut self, photo: PhotoId, card: Option<String>) {
        let Some(photo) = self.piece().and_then(|piece| piece.photo(photo)).cloned() else { return };
        if photo.card != card && self.edit(&Edit::Photo(PhotoEdit::Change(Photo { card, ..(*photo).clone() }))) {
            self.status = Status::done("The photo is read again with that card.", "");
        }
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use piece::{Id, Piece, Region, State};

    use super::*;
    use crate::sample::oak_chest;

    /// The oak chest with its bare readings taken from one photo and its wet ones from another; a third holds both. Invented.
    fn photographed() -> (Piece, [PhotoId; 3]) {
        let mut piece = oak_chest();
        let ids: [PhotoId; 3] = [901, 902, 903].map(PhotoId);
        for id in ids {
            let file = format!("photos/{}.jpg", id.number());
            let photo = Photo { id, file, light: "daylight".into(), card: None, corners_px: None, note: String::new() };
            piece.photos.push(Arc::new(photo));
        }
        for (at, reading) in piece.readings.iter_mut().enumerate().take(14) {
            let reading = Arc::make_mut(reading);
            let photo = match (at, reading.state == State::BareDry) {
                (12.., _) => ids[2],
                (_, true) => ids[0],
                (_, false) => ids[1],
            };
            let region = Region::whole(vec![[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]]);
            reading.source = Source::Photo { photo, region, method: "invented".into() };
        }
        (piece, ids)
    }

    #[test]
    fn the_next_region_is_in_the_state_of_those_in_its_photo() {
        let (piece, [dry, wet, both]) = photographed();
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(piece);
        bench.show(wet);
        assert!(matches!(bench.photos.next_state, State::SpiritWet { .. }));
        bench.show(both);
        assert!(matches!(bench.photos.next_state, State::SpiritWet { .. }), "where they disagree, it stays");
        bench.show(dry);
        assert_eq!(bench.photos.next_state, State::BareDry);
    }
}
