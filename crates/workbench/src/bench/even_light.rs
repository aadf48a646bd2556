//! A photo of a plain board evens the light of another, and of the regions already read from it.

use std::sync::Arc;

use card::{Board, PhotoReading};
use piece::{Edit, Photo, PhotoId, ReadingId, edit::ReadingEdit};

use super::{
    Found, Workbench,
    photos::place_of,
    reading::{PHOTO, decode},
};
use crate::{
    photos::{Made, Read, Study, Wanted},
    status::Status,
};

/// A photo read again in another light, with its regions.
#[derive(Debug)]
pub struct Evened {
    board: Option<(PhotoId, Arc<Board>)>,
    reading: PhotoReading,
    regions: Vec<(ReadingId, Wanted, PhotoReading)>,
}

impl Workbench {
    /// Reads a photo and its regions again, evened by the photo of a board or as the light falls.
    pub(super) fn even_light(&mut self, photo: PhotoId, board: Option<PhotoId>) {
        let Some(piece) = self.piece().cloned() else { return };
        let Some(photo) = piece.photo(photo).cloned() else { return };
        let board = board.filter(|board| *board != photo.id).and_then(|board| piece.photo(board)).cloned();
        if self.photos.board_of(&piece, photo.id) == board.as_ref().map(|board| board.id) {
            return;
        }
        let Some(bytes) = self.bytes_of(&photo) else { return };
        let light = match &board {
            Some(board) => match self.bytes_of(board) {
                Some(bytes) => Some((board.id, place_of(&piece, board.id), bytes)),
                None => return,
            },
            None => None,
        };
        let regions = self.wanted_again(&photo, board.map(|board| board.id));
        self.jobs.start("light", "Evening the light", false, move |progress| {
            let board = match light {
                Some((id, place, bytes)) => Some((id, board_from(&bytes()?, place)?)),
                None => None,
            };
            progress.go_on(0.3);
            let decoded = decode(&bytes()?)?;
            let light = board.as_ref().map(|(_, light)| light.clone());
            let made = Made { board: board.as_ref().map(|(id, _)| *id), ..Made::default() };
            let of = Wanted { photo: photo.clone(), corners_px: None, region: None, made, board: light.clone() };
            let reading = of.read(&decoded, progress)?;
            let found = reading.card.as_ref().map(|card| card.corners_px);
            let read = |(id, wanted): (ReadingId, Wanted)| {
                let wanted = Wanted { corners_px: found, board: light.clone(), ..wanted };
                let reading = wanted.read(&decoded, progress)?;
                Ok((id, wanted, reading))
            };
            let regions = regions.into_iter().map(read).collect::<Result<_, String>>()?;
            Ok(Found::Evened(photo, Box::new(Evened { board, reading, regions })))
        });
    }

    /// Takes in a photo read in another light, its regions as one step to undo.
    pub(super) fn evened(&mut self, photo: &Arc<Photo>, evened: Evened) {
        let Some(piece) = self.piece().cloned() else { return };
        let mut edits = Vec::new();
        for (id, wanted, reading) in &evened.regions {
            let (Some(old), Some(found)) = (piece.reading(*id), reading.regions.first()) else { continue };
            if let Some(again) = self.read_again(old, wanted, reading) {
                edits.push(Edit::Reading(ReadingEdit::Change(Box::new(again))));
                let region = wanted.region.clone().map(|of| Study::new(of, wanted.made, found));
                self.photos.studies.extend(region.map(|study| (*id, Arc::new(study))));
            }
        }
        let count = edits.len();
        if count > 0 && !self.edit(&Edit::Together { label: "even the light".into(), edits }) {
            return;
        }
        let board = evened.board.as_ref().map(|(id, _)| *id);
        match board {
            Some(board) => self.photos.evened_by.insert(photo.id, board),
            None => self.photos.evened_by.remove(&photo.id),
        };
        let percent = evened.board.as_ref().map(|(_, light)| (100.0 * light.fall_off()).round());
        self.photos.boards.extend(evened.board);
        let view = self.photos.views.entry(photo.id).or_default();
        view.read = Some(Read { of: photo.clone(), board, reading: Arc::new(evened.reading) });
        let again = match count {
            0 => String::new(),
            1 => " Its region is read again.".into(),
            n => format!(" Its {n} regions are read again."),
        };
        let said = match percent {
            Some(percent) => {
                format!("The light falls off {percent} % over the frame and is evened by the board.{again}")
            }
            None => format!("The light is taken as it falls.{again}"),
        };
        self.status = Status::done(said, "");
    }

    /// The light of the board that a photo's readings were evened by, where it is not known yet.
    pub(super) fn due_board(&mut self, photo: PhotoId) -> bool {
        let Some(piece) = self.piece().cloned() else { return false };
        let due = self.photos.board_of(&piece, photo).filter(|board| !self.photos.boards.contains_key(board));
        let Some(board) = due.and_then(|id| piece.photo(id)) else { return false };
        let place = place_of(&piece, board.id);
        let id = board.id;
        if let Some(bytes) = self.bytes_of(board) {
            self.jobs.start(PHOTO, format!("Reading the board in photo {place}"), false, move |_| {
                Ok(Found::Board(photo, id, bytes().and_then(|bytes| board_from(&bytes, place))))
            });
        }
        true
    }
}

/// The light over the frame, from the file of a board's photo.
fn board_from(bytes: &[u8], place: usize) -> Result<Arc<Board>, String> {
    let photo = decode(bytes)?;
    Board::from_photo(&photo).map(Arc::new).map_err(|error| format!("Photo {place}: {error}"))
}
