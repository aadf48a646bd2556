//! Regions: drawing, moving, reading them, and what their light showed.

use std::sync::Arc;

use card::PhotoReading;
use piece::{Edit, Photo, PhotoId, Reading, ReadingId, Region, Source, State, Surface, edit::ReadingEdit};

use super::{Found, Workbench, photos::place_of};
use crate::{
    action::{ReadOn, Tool},
    photos::{Made, Study, Wanted, now, reading_from, taken},
    status::Status,
    words,
};

const REGION: &str = "region";
const STUDY: &str = "study";

/// What a region is read for.
#[derive(Clone, Debug, PartialEq)]
pub enum RegionFor {
    /// A new reading.
    New(Surface, State),
    /// In the place of a reading there is.
    Again(ReadingId),
    /// The record of the check tile.
    Tile,
    /// To see how even it is; the reading stays.
    Study(ReadingId),
}

impl Workbench {
    /// What the next region is read on.
    pub fn next_on(&self) -> Option<ReadOn> {
        self.photos.next_on.or_else(|| self.part().map(|part| ReadOn::Surface(Surface::Part(part))))
    }

    /// Reads the next regions on a part, a board, or the check tile.
    pub(super) fn read_next_on(&mut self, on: ReadOn) {
        self.photos.next_on = Some(on);
        if let ReadOn::Surface(Surface::Part(part)) = on {
            self.photos.next_on = None;
            self.choose(part, false);
        }
    }

    pub(super) fn choose_region(&mut self, reading: Option<ReadingId>) {
        self.photos.region = reading;
        let of = reading.and_then(|id| Some(self.piece()?.reading(id)?.of));
        if let Some(Surface::Part(part)) = of {
            self.choose(part, false);
        }
    }

    pub(super) fn draw(&mut self, photo: PhotoId, points_px: Vec<[f64; 2]>) {
        self.photos.tool = Tool::Hand;
        let what = match self.next_on() {
            Some(ReadOn::Surface(on)) => RegionFor::New(on, self.photos.next_state.clone()),
            Some(ReadOn::Tile) => RegionFor::Tile,
            None => {
                self.status = Status::failed("Name a part first, at the right: a region is read for a part or board.");
                return;
            }
        };
        self.read_region(photo, Region::whole(points_px), false, what);
    }

    pub(super) fn move_region(&mut self, reading: ReadingId, points_px: Vec<[f64; 2]>) {
        if let Some((photo, region, made)) = self.region_of(reading) {
            // What is left out lies on the wood, not on the region: it stays.
            self.read_region(photo, Region { points_px, ..region }, made.spots_left_out, RegionFor::Again(reading));
        }
    }

    pub(super) fn leave_spots_out(&mut self, reading: ReadingId, leave: bool) {
        if let Some((photo, region, _)) = self.region_of(reading) {
            self.read_region(photo, region, leave, RegionFor::Again(reading));
        }
    }

    /// Where a reading was made, and how.
    pub(crate) fn region_of(&self, reading: ReadingId) -> Option<(PhotoId, Region, Made)> {
        match &self.piece()?.reading(reading)?.source {
            Source::Photo { photo, region, method } => Some((*photo, region.clone(), Made::of(method))),
            _ => None,
        }
    }

    /// What the light of the chosen region showed, where it was looked at as it is now.
    pub(crate) fn study(&self) -> Option<&Arc<Study>> {
        let id = self.photos.region?;
        let (_, region, made) = self.region_of(id)?;
        self.photos.studies.get(&id).filter(|study| study.of == region && study.made == made)
    }

    /// Looks at the chosen region's light where that was not done yet.
    pub(super) fn due_study(&mut self) {
        let Some(id) = self.photos.region.filter(|_| self.study().is_none()) else { return };
        let Some((photo, region, made)) = self.region_of(id) else { return };
        let shown = self.photos.views.get(&photo).is_some_and(|view| view.card().is_some() && view.decoded.is_some());
        let busy = [REGION, STUDY, super::reading::PHOTO].iter().any(|key| self.jobs.runs(key));
        if shown && !busy {
            self.read_region(photo, region, made.spots_left_out, RegionFor::Study(id));
        }
    }

    /// Reads a region of a photo.
    pub(super) fn read_region(&mut self, photo: PhotoId, region: Region, spots_left_out: bool, what: RegionFor) {
        let Some(piece) = self.piece().cloned() else { return };
        let Some(photo) = piece.photo(photo).cloned() else { return };
        let board = self.photos.board_of(&piece, photo.id);
        let light = board.and_then(|board| self.photos.boards.get(&board).cloned());
        let quiet = matches!(what, RegionFor::Study(_));
        if board.is_some() && light.is_none() {
            if !quiet {
                self.status =
                    Status::failed("The photo of the board is not read yet: draw the region again in a moment.");
            }
            return;
        }
        let view = self.photos.views.get(&photo.id);
        let decoded = view.and_then(|view| view.decoded.clone());
        let corners_px = view.and_then(|view| view.card()).map(|card| card.corners_px);
        let Some(bytes) = self.bytes_of(&photo) else { return };
        let made = Made { spots_left_out, board };
        let wanted = Wanted { photo, corners_px, region: Some(region), made, board: light };
        let (key, name) = if quiet { (STUDY, "Looking at the region") } else { (REGION, "Reading the region") };
        if !quiet {
            self.status = Status::done("Reading the region.", "");
        }
        self.jobs.start(key, name, quiet, move |progress| {
            let decoded = match decoded {
                Some(decoded) => Ok(decoded),
                None => bytes().and_then(|bytes| super::reading::decode(&bytes)),
            };
            let found = decoded.and_then(|decoded| wanted.read(&decoded, progress));
            Ok(Found::Region(wanted, what, found))
        });
    }

    /// Takes in what was read of a region.
    pub(super) fn region_read(&mut self, wanted: &Wanted, what: &RegionFor, read: &PhotoReading) {
        let (Some(found), Some(region)) = (read.regions.first(), &wanted.region) else {
            let why = read.warnings.last().map(|warning| warning.text.clone());
            let why = why.unwrap_or_else(|| "Too small, or off the photo: draw it larger.".into());
            if !matches!(what, RegionFor::Study(_)) {
                self.status = Status::failed(format!("The region cannot be read. {why}"));
            }
            return;
        };
        let study = Arc::new(Study::new(region.clone(), wanted.made, found));
        let id = match what {
            RegionFor::Tile => return self.tile_read(&wanted.photo, read.taken.as_deref(), found),
            RegionFor::Study(id) => {
                self.photos.studies.insert(*id, study);
                return;
            }
            RegionFor::New(on, state) => self.region_added(wanted, *on, state, read),
            RegionFor::Again(id) => self.region_changed(wanted, *id, read).map(|id| (id, None)),
        };
        let (Some((id, stands)), Some(piece)) = (id, self.piece()) else { return };
        let said = piece.reading(id).map(|reading| {
            let name = words::capital(&words::surface(piece, reading.of));
            let stands = stands.map(|stands| format!(" {stands}")).unwrap_or_default();
            format!("{name} read from photo {}: {}.{stands}", place_of(piece, wanted.photo.id), words::lab(reading.lab))
        });
        self.photos.region = Some(id);
        self.photos.studies.insert(id, study);
        self.photos.grains.remove(&id);
        self.regrain(wanted.photo.id);
        self.status = Status::done(said.unwrap_or_default(), "compare the parts, press 2");
    }

    /// The reading that is added, and where it stands in a trial, where it does.
    fn region_added(
        &mut self,
        wanted: &Wanted,
        on: Surface,
        state: &State,
        read: &PhotoReading,
    ) -> Option<(ReadingId, Option<String>)> {
        let (found, at) = (read.regions.first()?, wanted.region.as_ref()?);
        let when = taken(read).unwrap_or_else(now);
        let reading = reading_from(&self.with_drift(found), on, wanted, at, state.clone(), when);
        let edit = Edit::Reading(ReadingEdit::Add(Box::new(reading)));
        let added = self.edit(&edit);
        let id = added.then(|| self.piece()?.readings.last().map(|reading| reading.id)).flatten()?;
        let stands = self.attach(id, edit.label());
        Some((id, stands))
    }

    fn region_changed(&mut self, wanted: &Wanted, id: ReadingId, read: &PhotoReading) -> Option<ReadingId> {
        let old = self.piece()?.reading(id)?.clone();
        let reading = self.read_again(&old, wanted, read)?;
        self.edit(&Edit::Reading(ReadingEdit::Change(Box::new(reading)))).then_some(id)
    }

    /// A reading read again: what the user said of it stays, and so does its time where the photo knows none.
    pub(super) fn read_again(&self, old: &Reading, wanted: &Wanted, read: &PhotoReading) -> Option<Reading> {
        let (found, at) = (read.regions.first()?, wanted.region.as_ref()?);
        let when = taken(read).unwrap_or_else(|| old.taken.clone());
        let reading = reading_from(&self.with_drift(found), old.of, wanted, at, old.state.clone(), when);
        Some(Reading { id: old.id, grain: old.grain, ..reading })
    }

    /// The regions of a photo, each as it would be read again.
    pub(super) fn wanted_again(&self, photo: &Arc<Photo>, board: Option<PhotoId>) -> Vec<(ReadingId, Wanted)> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let again = |reading: &Arc<Reading>| match &reading.source {
            Source::Photo { photo: of, region, method } if *of == photo.id => {
                let made = Made { board, ..Made::of(method) };
                let wanted =
                    Wanted { photo: photo.clone(), corners_px: None, region: Some(region.clone()), made, board: None };
                Some((reading.id, wanted))
            }
            _ => None,
        };
        piece.readings.iter().filter_map(again).collect()
    }
}
