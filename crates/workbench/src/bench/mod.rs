//! The workbench: everything the window shows, and the one way to change it.

mod attach;
mod book;
mod colouring_out;
mod due;
mod even_light;
mod found;
mod frame;
mod left_out;
mod mixes;
mod parts;
mod photos;
mod problems;
mod reading;
mod recent;
mod regions;
mod routes;
mod samples;
mod sheet;
mod side;
mod start;
mod tile;
mod told;

use std::{
    cell::RefCell,
    collections::HashMap,
    path::PathBuf,
    sync::Arc,
    time::{Duration, Instant},
};

use piece::{Edit, PartId, Piece, Problem, ReadingId, TrialId};

use crate::{
    action::{Action, Area, Beside},
    crop::Crop,
    demo,
    job::{Jobs, Wake},
    open::Open,
    photos::Photos,
    results::Results,
    settings::Settings,
    status::Status,
    task::TileRecord,
};

pub use colouring_out::Mixed;
pub use found::Found;
pub use recent::Recent;

use book::ShopBook;
use colouring_out::ColouringOut;

/// The state of the app.
pub struct Workbench {
    pub(crate) open: Option<Open>,
    pub(crate) area: Area,
    pub(crate) beside: Option<Beside>,
    pub(crate) settings: Settings,
    pub(crate) status: Status,
    pub(crate) chosen: Vec<PartId>,
    pub(crate) light: Option<String>,
    pub(crate) photos: Photos,
    pub(crate) side: Side,
    pub(crate) samples: Samples,
    pub(crate) routes: Chosen,
    pub(crate) colouring_out: ColouringOut,
    pub(crate) book: ShopBook,
    pub(crate) problems: Option<(Arc<Piece>, Vec<Problem>)>,
    pub(crate) results: Results,
    pub(crate) jobs: Jobs<Found>,
    pub(crate) folder: PathBuf,
    pub(crate) recent: Vec<Recent>,
    pub(crate) tile: TileRecord,
    pub(crate) crops: RefCell<HashMap<CropKey, Arc<Crop>>>,
}

/// A grain about a colour, to a tenth of a unit.
pub(crate) type CropKey = (ReadingId, [i32; 3]);

/// The state of the area Side by side.
#[derive(Clone, Debug, Default)]
pub(crate) struct Side {
    /// The pair on show.
    pub(crate) pair: Option<(PartId, PartId)>,
    /// Shifts between states were accepted.
    pub(crate) carry: bool,
}

/// The state of the area Samples.
#[derive(Clone, Debug, Default)]
pub(crate) struct Samples {
    /// The chosen trial.
    pub(crate) trial: Option<TrialId>,
    /// The last line logged, to be repeated.
    pub(crate) last_line: String,
}

/// The state of the area Routes.
#[derive(Clone, Debug, Default)]
pub(crate) struct Chosen {
    /// Place of the chosen route.
    pub(crate) route: usize,
    /// Id of the chosen schedule; none: the one of the chosen route.
    pub(crate) row: Option<String>,
}

impl Default for Workbench {
    fn default() -> Self {
        Self::in_folder(demo::data_folder())
    }
}

impl Workbench {
    /// A workbench that keeps new pieces and copies of demos in this folder.
    pub fn in_folder(folder: PathBuf) -> Self {
        let mut bench = Self {
            open: None,
            area: Area::Photos,
            beside: None,
            settings: Settings::in_folder(&folder),
            status: Status::default(),
            chosen: Vec::new(),
            light: None,
            photos: Photos::default(),
            side: Side::default(),
            samples: Samples::default(),
            routes: Chosen::default(),
            colouring_out: ColouringOut::default(),
            book: ShopBook::default(),
            problems: None,
            results: Results::default(),
            jobs: Jobs::default(),
            recent: recent::in_folder(&folder),
            folder,
            tile: TileRecord::default(),
            crops: RefCell::default(),
        };
        bench.open_tile();
        bench
    }

    /// Sets what is called when there is something new to show.
    pub fn set_wake(&mut self, wake: Wake) {
        self.jobs.set_wake(wake);
    }

    /// Carries out one action. What could not be done before is no longer told.
    pub fn apply(&mut self, action: Action) {
        if self.status.failed {
            self.status = match self.open {
                Some(_) => Status::done("", self.next_in(self.area)),
                None => Status::default(),
            };
        }
        match action {
            Action::Start(action) => self.start(action),
            Action::Frame(action) => self.frame(action),
            Action::Photos(action) => self.photos_action(action),
            Action::SideBySide(action) => self.side_action(action),
            Action::Samples(action) => self.samples_action(action),
            Action::Routes(action) => self.routes_action(action),
            Action::Sheet(action) => self.sheet_action(action),
            Action::Parts(action) => self.parts_action(action),
            Action::ColouringOut(action) => self.colouring_out_action(action),
            Action::Book(action) => self.book_action(action),
            Action::Edit(edit) => {
                let label = edit.label().to_owned();
                if self.edit(&edit) {
                    self.forget_what_is_gone();
                    self.status = Status::done(format!("Done: {label}."), self.next_in(self.area));
                }
            }
        }
        self.refresh();
    }

    /// Puts a piece without a folder on the bench: for tests and tries.
    pub fn put(&mut self, piece: Piece) {
        let said = format!("{} is open.", piece.name);
        self.opened(Open::unsaved(piece), said);
        self.refresh();
    }

    /// Takes in results that have arrived and starts what is due. True when something is new.
    pub fn poll(&mut self) -> bool {
        let arrived = self.jobs.arrived();
        let new = !arrived.is_empty();
        for (key, end) in arrived {
            self.found(&key, end);
        }
        self.refresh();
        new
    }

    /// Waits until nothing runs any more; false when the time was over first. For programs without a window, and tests.
    pub fn settle(&mut self, at_most: Duration) -> bool {
        let deadline = Instant::now() + at_most;
        self.refresh();
        while self.jobs.any() && Instant::now() < deadline {
            for (key, end) in self.jobs.wait(Duration::from_millis(200)) {
                self.found(&key, end);
            }
            self.refresh();
        }
        !self.jobs.any()
    }

    /// Makes one change to the piece and keeps it safe; false, with a line in the status, when it cannot be made.
    pub(crate) fn edit(&mut self, edit: &Edit) -> bool {
        let Some(open) = &mut self.open else {
            self.status = Status::failed("No piece is open: open one, or make a new one first.");
            return false;
        };
        match open.edit(edit) {
            Ok(()) => {
                self.autosave();
                true
            }
            Err(line) => {
                self.status = Status::failed(line);
                false
            }
        }
    }
}
