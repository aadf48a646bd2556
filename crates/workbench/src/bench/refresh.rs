//! What is due: starts the jobs whose results are missing or old, and takes in what arrives.

use std::{collections::BTreeSet, fs, sync::Arc};

use card::{Board, PhotoReading};
use piece::{PartId, Photo, PhotoId, Piece};
use predict::{Comparison, Next, Ranking, Routes};
use sheet::Document;

use super::{Workbench, even_light::Evened, photos::place_of, regions::RegionFor};
use crate::{
    action::Area,
    job::{End, Key},
    photos::{Looked, Made, Read, Wanted, grains, look, regions_of},
    results::Tagged,
    status::Status,
};

pub(super) const AUTOSAVE: &str = "autosave";
pub(super) const PHOTO: &str = "photo";
const COMPARE: &str = "compare";
const RANK: &str = "rank";
const ROUTES: &str = "routes";
const NEXT: &str = "next";
const SHEET: &str = "sheet";

/// What a job found.
#[derive(Debug)]
pub enum Found {
    /// A photo to show.
    Looked(PhotoId, Result<Looked, String>),
    /// A photo read against its card.
    Read(Wanted, Result<PhotoReading, String>),
    /// A region read.
    Region(Wanted, RegionFor, Result<PhotoReading, String>),
    /// The light over the frame that a photo is evened by, from the photo of a board.
    Board(PhotoId, PhotoId, Result<Arc<Board>, String>),
    /// A photo and its regions read again in another light.
    Evened(Arc<Photo>, Box<Evened>),
    /// Parts compared.
    Comparison(Arc<Piece>, Comparison),
    /// A part's schedules.
    Ranking(Arc<Piece>, PartId, Result<Ranking, String>),
    /// Joint plans.
    Routes(Arc<Piece>, Result<Routes, String>),
    /// What to try next.
    Next(Arc<Piece>, Result<Next, String>),
    /// The work sheet.
    Sheet(Arc<Piece>, Result<Document, String>),
    /// The piece was autosaved, or why not.
    Autosaved(Result<(), String>),
}

impl Workbench {
    /// Starts what is due.
    pub(crate) fn refresh(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        self.drop_unseen();
        if !self.jobs.runs(PHOTO) {
            self.next_photo(&piece);
        }
        self.due_comparison(&piece);
        if matches!(self.area, Area::Routes | Area::Samples) {
            self.due_ranking(&piece);
        }
        if self.area == Area::Routes {
            self.due_routes(&piece);
            self.due_next(&piece);
        }
        if self.area == Area::Sheet {
            self.due_sheet(&piece);
        }
        if self.area == Area::Photos && self.photos.corners.is_none() {
            self.offer_corners(&piece);
            self.due_study();
        }
    }

    /// Only the photo on show keeps its pixels.
    fn drop_unseen(&mut self) {
        let shown = self.photos.shown;
        for (id, view) in &mut self.photos.views {
            if Some(*id) != shown && view.read.is_some() {
                view.picture = None;
                view.decoded = None;
            }
        }
    }

    /// A photo in which no card was found asks for its corners.
    fn offer_corners(&mut self, piece: &Piece) {
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

    fn next_photo(&mut self, piece: &Arc<Piece>) {
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

    fn due_comparison(&mut self, piece: &Arc<Piece>) {
        let current = self.results.comparison.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{COMPARE} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(COMPARE);
        let piece = piece.clone();
        self.jobs.start(key, "Comparing", false, move |_| {
            let comparison = predict::compare(&piece);
            Ok(Found::Comparison(piece, comparison))
        });
    }

    fn due_ranking(&mut self, piece: &Arc<Piece>) {
        let Some(part) = self.part() else { return };
        let current = self.results.rankings.get(&part).is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{RANK} {part} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(RANK);
        let name = piece.part(part).map_or_else(|| "Ranking".into(), |part| format!("Ranking for {}", part.name));
        let piece = piece.clone();
        self.jobs.start(key, name, false, move |progress| {
            let ranking = predict::rank(&piece, part, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Ranking(piece, part, ranking))
        });
    }

    fn due_routes(&mut self, piece: &Arc<Piece>) {
        let current = self.results.routes.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{ROUTES} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(ROUTES);
        let piece = piece.clone();
        self.jobs.start(key, "Looking for routes", false, move |progress| {
            let routes = predict::routes(&piece, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Routes(piece, routes))
        });
    }

    /// What to try next is weighed once the routes are known.
    fn due_next(&mut self, piece: &Arc<Piece>) {
        let routes = self.results.routes.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let current = self.results.next.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{NEXT} {:p}", Arc::as_ptr(piece));
        if !routes || current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(NEXT);
        let piece = piece.clone();
        self.jobs.start(key, "Weighing what to try next", false, move |progress| {
            let next = predict::next(&piece, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Next(piece, next))
        });
    }

    fn due_sheet(&mut self, piece: &Arc<Piece>) {
        let current = self.results.sheet.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let units = self.settings.units;
        let key = format!("{SHEET} {} {:p}", units.name(), Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(SHEET);
        let piece = piece.clone();
        self.jobs.start(key, "Writing the sheet", false, move |_| {
            let document = sheet::work_sheet(&piece, units).map_err(|error| error.to_string());
            Ok(Found::Sheet(piece, document))
        });
    }

    /// Cancels jobs of a kind for pieces that are no longer the present one.
    fn cancel_others(&mut self, kind: &str) {
        self.jobs.cancel_where(|key| key.starts_with(kind));
    }

    /// Stops what is shown in the top bar; what was asked for is not started again until the piece changes.
    pub(super) fn cancel_shown(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        let stopped = "Stopped. Any change to the piece starts it again.";
        for key in self.jobs.keys() {
            if key.starts_with(ROUTES) {
                self.results.routes = Some(Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if key.starts_with(NEXT) {
                self.results.next = Some(Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if let Some(part) = key.starts_with(RANK).then(|| self.part()).flatten() {
                self.results.rankings.insert(part, Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if key == PHOTO {
                let shown = self.photos.shown;
                for photo in &piece.photos {
                    let view = self.photos.views.entry(photo.id).or_default();
                    if view.thumb.is_none() || Some(photo.id) == shown && view.read.is_none() {
                        view.problem = Some("stopped: look again to read it".into());
                    }
                }
            }
        }
        self.jobs.cancel_all();
    }

    /// Writes the autosave file, on a thread of its own.
    pub(crate) fn autosave(&mut self) {
        let Some(open) = &self.open else { return };
        let Some(folder) = open.folder.clone() else { return };
        let piece = open.piece().clone();
        self.jobs.start(AUTOSAVE, "Keeping a copy", true, move |progress| {
            if progress.cancelled() {
                return Ok(Found::Autosaved(Ok(())));
            }
            Ok(Found::Autosaved(folder.autosave(&piece).map_err(|error| error.to_string())))
        });
    }

    pub(super) fn found(&mut self, key: &Key, end: End<Found>) {
        let found = match end {
            End::Done(found) => found,
            End::Cancelled => return,
            End::Failed(line) => {
                log::error!("job {key}: {line}");
                self.status = Status::failed(line);
                return;
            }
        };
        match found {
            Found::Looked(id, Ok(looked)) => self.looked(id, looked),
            Found::Looked(id, Err(line)) => self.photo_failed(id, line),
            Found::Read(wanted, Ok(reading)) => self.was_read(wanted, reading),
            Found::Read(wanted, Err(line)) => self.photo_failed(wanted.photo.id, line),
            Found::Region(wanted, what, Ok(reading)) => self.region_read(&wanted, &what, &reading),
            Found::Region(_, _, Err(line)) => self.status = Status::failed(line),
            Found::Board(_, board, Ok(light)) => drop(self.photos.boards.insert(board, light)),
            Found::Board(photo, _, Err(line)) => self.photo_failed(photo, line),
            Found::Evened(photo, evened) => self.evened(&photo, *evened),
            Found::Comparison(of, comparison) => {
                self.results.comparison = Some(Tagged { of, value: Ok(Arc::new(comparison)) });
            }
            Found::Ranking(of, part, ranking) => {
                self.results.rankings.insert(part, Tagged { of, value: ranking.map(Arc::new) });
            }
            Found::Routes(of, routes) => {
                self.results.routes = Some(Tagged { of, value: routes.map(Arc::new) });
                if self.chosen.is_empty()
                    && let Some(part) = self.busiest_part(self.routes.route)
                {
                    self.chosen = vec![part];
                }
            }
            Found::Next(of, next) => {
                self.results.next = Some(Tagged { of, value: next.map(Arc::new) });
            }
            Found::Sheet(of, document) => {
                self.results.sheet = Some(Tagged { of, value: document.map(Arc::new) });
            }
            Found::Autosaved(Ok(())) => {}
            Found::Autosaved(Err(line)) => self.status = Status::failed(line),
        }
    }

    fn looked(&mut self, id: PhotoId, looked: Looked) {
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

    fn was_read(&mut self, wanted: Wanted, reading: PhotoReading) {
        let view = self.photos.views.entry(wanted.photo.id).or_default();
        view.no_card_wanted = false;
        view.read = Some(Read { of: wanted.photo, board: wanted.made.board, reading: Arc::new(reading) });
    }

    fn photo_failed(&mut self, id: PhotoId, line: String) {
        let file = self.piece().and_then(|piece| piece.photo(id)).map(|photo| photo.file.clone()).unwrap_or_default();
        self.photos.views.entry(id).or_default().problem = Some(line.clone());
        self.status = Status::failed(format!("{file}: {line}"));
    }
}

pub(super) fn decode(bytes: &[u8]) -> Result<Arc<card::Photo>, String> {
    card::decode(bytes, &card::Limits::default()).map(Arc::new).map_err(|error| error.to_string())
}
