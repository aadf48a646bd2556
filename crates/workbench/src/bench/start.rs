//! Opening, making and saving pieces.

use std::path::{Path, PathBuf};

use piece::{
    Edit, Photo, PhotoId,
    edit::{PhotoEdit, PieceEdit},
    store,
};

use super::{Chosen, Samples, Side, Workbench};
use crate::{action::StartAction, demo, open::Open, photos::Photos, results::Results, status::Status};

/// The name of a piece that has none yet.
const NEW_NAME: &str = "New piece";
/// The light of a new photo until the user says otherwise.
const FIRST_LIGHT: &str = "daylight";

impl Workbench {
    pub(super) fn start(&mut self, action: StartAction) {
        match action {
            StartAction::New => {
                if self.new_piece() {
                    self.status = Status::done("A new piece, kept in its own folder.", "name its parts");
                }
            }
            StartAction::Open(path) => self.open_folder(&path),
            StartAction::Last => self.open_last(),
            StartAction::Demo(id) => self.open_demo(&id),
            StartAction::Take(paths) => self.take(paths),
            StartAction::Save => self.save(),
            StartAction::SaveAs(path) => self.save_as(&path),
            StartAction::Close => self.close(),
        }
    }

    fn new_piece(&mut self) -> bool {
        if !self.save_before_leaving() {
            return false;
        }
        match Open::new_in(&self.folder, NEW_NAME) {
            Ok(open) => {
                self.opened(open, String::new());
                true
            }
            Err(line) => {
                self.status = Status::failed(line);
                false
            }
        }
    }

    fn open_folder(&mut self, path: &Path) {
        if !self.save_before_leaving() {
            return;
        }
        match Open::from_folder(path) {
            Ok((open, said)) => self.opened(open, said),
            Err(line) => self.status = Status::failed(line),
        }
    }

    /// The piece that was open last; the start page where there is none, or it is gone.
    fn open_last(&mut self) {
        let Some(path) = self.settings.last.clone().filter(|_| self.open.is_none()) else { return };
        if path.join(store::PIECE_FILE).is_file() {
            self.open_folder(&path);
        }
    }

    /// Keeps in mind which piece is open, for the next start.
    fn note_last(&mut self, path: Option<PathBuf>) {
        if self.settings.last != path {
            self.settings.last = path;
            // Whoever cannot keep it works on all the same.
            if let Err(line) = self.settings.keep(&self.folder) {
                log::warn!("{line}");
            }
        }
    }

    fn open_demo(&mut self, id: &str) {
        let copied = demo::by_id(id)
            .ok_or_else(|| format!("There is no demo called ‘{id}’: choose one from the start page."))
            .and_then(|demo| demo.copy_into(&self.folder));
        match copied {
            Ok(path) => {
                self.open_folder(&path);
                if !self.status.failed {
                    let said = format!("{} Its data are invented; this is your own copy.", self.status.happened);
                    self.status = Status::done(said, self.status.next.clone());
                }
            }
            Err(line) => self.status = Status::failed(line),
        }
    }

    /// Puts an open piece on the bench in place of the last.
    pub(crate) fn opened(&mut self, open: Open, said: String) {
        self.jobs.cancel_all();
        self.photos = Photos { shown: open.piece().photos.first().map(|photo| photo.id), ..Photos::default() };
        self.side = Side::default();
        self.samples = Samples::default();
        self.routes = Chosen::default();
        self.colouring_out.spot = None;
        self.beside = None;
        self.results = Results::default();
        self.crops.borrow_mut().clear();
        self.chosen.clear();
        self.light = None;
        let next = if open.piece().parts.is_empty() { "name the parts" } else { "compare the parts, press 2" };
        self.open = Some(open);
        if let Some(photo) = self.photos.shown {
            self.go_on_in_the_state_of(photo);
        }
        self.status = Status::done(said, next);
        if let Some(path) = self.piece_folder() {
            self.note_last(std::path::absolute(&path).ok().or(Some(path)));
        }
    }

    /// Takes in photos, or opens the one folder given.
    fn take(&mut self, paths: Vec<PathBuf>) {
        let is_piece = |path: &Path| path.is_dir() || path.file_name().is_some_and(|name| name == store::PIECE_FILE);
        match &paths[..] {
            [] => return,
            [one] if is_piece(one) => return self.open_folder(one),
            _ => {}
        }
        if self.open.is_none() && !self.new_piece() {
            return;
        }
        let mut taken = 0;
        for path in &paths {
            if !self.take_photo(path) {
                return;
            }
            taken += 1;
        }
        let photos = if taken == 1 { "One photo was".into() } else { format!("{taken} photos were") };
        self.status = Status::done(format!("{photos} copied into the piece's folder."), self.next_in(self.area));
    }

    fn take_photo(&mut self, path: &Path) -> bool {
        let Some(open) = &self.open else { return false };
        let Some(folder) = &open.folder else {
            self.status = Status::failed("This piece has no folder yet: save it first, then add photos.");
            return false;
        };
        let file = match folder.take_in_photo(path) {
            Ok(file) => file,
            Err(error) => {
                self.status = Status::failed(error.to_string());
                return false;
            }
        };
        let light = open.piece().photos.last().map_or_else(|| FIRST_LIGHT.to_owned(), |photo| photo.light.clone());
        let photo = Photo { id: PhotoId(0), file, light, card: None, corners_px: None, note: String::new() };
        let added = self.edit(&Edit::Photo(PhotoEdit::Add(photo)));
        self.photos.shown = self.piece().and_then(|piece| piece.photos.last()).map(|photo| photo.id);
        added
    }

    fn save(&mut self) {
        let Some(open) = &mut self.open else {
            self.status = Status::failed("No piece is open: there is nothing to save.");
            return;
        };
        if open.folder.is_none() {
            let target = crate::open::free_folder(&self.folder, &open.piece().name.clone());
            return self.save_as(&target);
        }
        self.jobs.cancel_key(super::due::AUTOSAVE);
        self.status = match open.save() {
            Ok(()) => Status::done(format!("{} is saved.", open.piece().name), ""),
            Err(line) => Status::failed(line),
        };
    }

    fn save_as(&mut self, path: &Path) {
        let Some(open) = &mut self.open else { return };
        let piece = open.piece().clone();
        let saved = match &open.folder {
            Some(folder) => folder.save_as(path, &piece),
            None => store::create(path, &piece),
        };
        self.status = match saved {
            Ok(folder) => {
                open.folder = Some(folder);
                open.history.mark_saved(&piece);
                Status::done(format!("Saved in {}.", path.display()), "")
            }
            Err(error) => Status::failed(error.to_string()),
        };
    }

    fn close(&mut self) {
        if self.save_before_leaving() {
            let folder = self.folder.clone();
            let (settings, wake) = (self.settings.clone(), self.jobs.wake());
            *self = Self::in_folder(folder);
            self.settings = settings;
            self.jobs.set_wake(wake);
            self.note_last(None);
        }
    }

    /// Saves the piece on the bench; false, with a line in the status, when that fails.
    pub fn save_before_leaving(&mut self) -> bool {
        let Some(open) = self.open.as_mut().filter(|open| open.folder.is_some() && open.history.is_dirty()) else {
            return true;
        };
        self.jobs.cancel_key(super::due::AUTOSAVE);
        match open.save() {
            Ok(()) => true,
            Err(line) => {
                self.status = Status::failed(line);
                false
            }
        }
    }

    /// Gives the piece another name.
    pub fn rename(&mut self, name: &str) {
        if self.edit(&Edit::Piece(PieceEdit::Rename(name.into()))) {
            self.status = Status::done(format!("The piece is called {name}."), "");
        }
    }
}
