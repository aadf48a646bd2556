//! Opening and reading photos, one at a time, the one on show first.

use std::{collections::BTreeSet, fs, sync::Arc};

use card::PhotoReading;
use piece::{Photo, PhotoId, Piece};

use super::{Found, Workbench, photos::place_of};
use crate::{
    photos::{Looked, Made, Read, Wanted, grains, look, regions_of},
    status::Status,
};

pub(super) const PHOTO: &str = "photo";

impl Workbench {
    /// Only the photo on show keeps its pixels.
    pub(super) fn drop_unseen(&mut self) {
        let shown = self.photos.shown;
        for (id, view) in &mut self.photos.views {
            if Some(*id) != shown && view.read.is_some() {
                view.picture = None;
                view.decoded = None;
            }
        }
    }

    /// A photo in which no card was found asks for its corners.
    pub(super) fn offer_corners(&mut self, piece: &Piece) {
        let Some(id) = self.photos.shown else { return };
        let (Some(view), Some(photo)) = (self.photos.views.get(&id), piece.photo(id)) else { return };
        let board = self.photos.board_of(piece, id);
        let wanted = !view.no_card_wanted && !self.photos.is_board(piece, id);
        if view.read_for(photo, board) && view.card().is_none() && wanted && view.picture.is_some() {
            self.place_corners(id);
            let place = place_of(piece, id);
            self.status.happened = format!("Photo {place} cannot be read yet. The other photos are not affected.");
        }
    }

    pub(super) fn next_photo(&mut self, piece: &Arc<Piece>) {
        let view = |id: PhotoId| self.photos.views.get(&id);
        let failed = |id: PhotoId| view(id).is_some_and(|view| view.problem.is_some());
        let shown_first = || {
            let shown = self.photos.shown.into_iter();
            shown.chain(piece.photos.iter().map(|photo| photo.id)).filter(|id| !failed(*id))
        };
        let no_picture = |id: &PhotoId| Some(*id) == self.photos.shown && view(*id).is_none_or(|v| v.picture.is_none());
        let not_looked = |id: &PhotoId| view(*id).is_none_or(|v| v.thumb.is_none());
        if let Some(id) = shown_first().find(|id| no_picture(id) || not_looked(id)) {
            return self.look_at(piece, id);
        }
        let board = |id: PhotoId| self.photos.board_of(piece, id);
        let unread = |id: &PhotoId| {
            piece.photo(*id).is_some_and(|photo| view(*id).is_none_or(|v| !v.read_for(photo, board(*id))))
        };
        let due = shown_first().find(unread).and_then(|id| piece.photo(id)).cloned();
        if let Some(photo) = due.filter(|photo| !self.due_board(photo.id)) {
            self.read_photo(piece, &photo);
        }
    }

    pub(super) fn bytes_of(
        &mut self,
        photo: &Photo,
    ) -> Option<impl FnOnce() -> Result<Vec<u8>, String> + Send + use<>> {
        let folder = self.open.as_ref()?.folder.as_ref();
        let path = folder.map(|folder| folder.photo_path(&photo.file));
        let path = match path {
            Some(Ok(path)) => path,
            Some(Err(error)) => {
                self.photo_failed(photo.id, error.to_string());
                return None;
            }
            None => {
                self.photo_failed(photo.id, "the piece has no folder yet: save it first".into());
                return None;
            }
        };
        Some(move || {
            fs::read(&path).map_err(|error| format!("{}: cannot be read ({error}): put it back", path.display()))
        })
    }

    fn look_at(&mut self, piece: &Arc<Piece>, id: PhotoId) {
        let Some(photo) = piece.photo(id).cloned() else { return };
        let Some(bytes) = self.bytes_of(&photo) else { return };
        let regions = regions_of(piece, id);
        let name = format!("Opening photo {} of {}", place_of(piece, id), piece.photos.len());
        self.jobs.start(PHOTO, name, false, move |progress| {
            let looked = bytes().and_then(|bytes| look(&bytes, &regions, progress));
            Ok(Found::Looked(id, looked))
        });
    }

    fn read_photo(&mut self, piece: &Arc<Piece>, photo: &Arc<Photo>) {
        let Some(bytes) = self.bytes_of(photo) else { return };
        let decoded = self.photos.views.get(&photo.id).and_then(|view| view.decoded.clone());
        let name = format!("Reading photo {} of {}", place_of(piece, photo.id), piece.photos.len());
        let board = self.photos.board_of(piece, photo.id);
        let light = board.and_then(|board| self.photos.boards.get(&board).cloned());
        let made = Made { board, ..Made::default() };
        let wanted = Wanted { photo: photo.clone(), corners_px: None, region: None, made, board: light };
        self.jobs.start(PHOTO, name, false, move |progress| {
            let decoded = match decoded {
                Some(decoded) => Ok(decoded),
                None => bytes().and_then(|bytes| decode(&bytes)),
            };
            let found = decoded.and_then(|decoded| wanted.read(&decoded, progress));
            Ok(Found::Read(wanted, found))
        });
    }

    /// Makes the grain of regions again from the picture on show.
    pub(super) fn regrain(&mut self, photo: PhotoId) {
        let Some(piece) = self.piece().cloned() else { return };
        let Some(picture) = self.photos.views.get(&photo).and_then(|view| view.picture.clone()) else { return };
        let mut regions = regions_of(&piece, photo);
        regions.retain(|(id, _)| !self.photos.grains.contains_key(id));
        self.photos.grains.extend(grains(&picture, &regions));
        let gone: BTreeSet<_> = regions.iter().map(|(id, _)| *id).collect();
        self.crops.borrow_mut().retain(|(id, _), _| !gone.contains(id));
    }

    pub(super) fn looked(&mut self, id: PhotoId, looked: Looked) {
        let view = self.photos.views.entry(id).or_default();
        view.size_px = Some([looked.picture.width_px(), looked.picture.height_px()]);
        view.thumb = Some(looked.thumb);
        // Kept until it was read, and while it is on show.
        if Some(id) == self.photos.shown || view.read.is_none() {
            view.picture = (Some(id) == self.photos.shown).then_some(looked.picture);
            view.decoded = Some(looked.decoded).filter(|_| Some(id) == self.photos.shown);
        }
        self.photos.grains.extend(looked.grains);
        self.crops.borrow_mut().clear();
    }

    pub(super) fn was_read(&mut self, wanted: Wanted, reading: PhotoReading) {
        let view = self.photos.views.entry(wanted.photo.id).or_default();
        view.no_card_wanted = false;
        view.read = Some(Read { of: wanted.photo, board: wanted.made.board, reading: Arc::new(reading) });
    }

    pub(super) fn photo_failed(&mut self, id: PhotoId, line: String) {
        let file = self.piece().and_then(|piece| piece.photo(id)).map(|photo| photo.file.clone()).unwrap_or_default();
        self.photos.views.entry(id).or_default().problem = Some(line.clone());
        self.status = Status::failed(format!("{file}: {line}"));
    }
}

pub(super) fn decode(bytes: &[u8]) -> Result<Arc<card::Photo>, String> {
    card::decode(bytes, &card::Limits::default()).map(Arc::new).map_err(|error| error.to_string())
}
