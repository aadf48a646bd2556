//! Colouring out: the spot, the sticks at hand, and the mixes found for them. The sticks are the shop's, kept beside the
//! pieces.

use std::{path::PathBuf, sync::Arc};

use piece::{Piece, ReadingId};
use predict::{Mix, Stick};

use super::{Beside, Found, Workbench};
use crate::{action::ColouringOutAction, status::Status, task, words};

/// The file of sticks within the folder for pieces.
const FILE: &str = "sticks.csv";
const KEY: &str = "colouring out";

/// The spot, the sticks and what was found.
#[derive(Clone, Debug, Default)]
pub(crate) struct ColouringOut {
    /// The reading of the spot; none: of the chosen part.
    pub(crate) spot: Option<ReadingId>,
    /// The sticks at hand.
    pub(crate) sticks: Vec<Stick>,
    /// What was found last.
    pub(crate) found: Option<Mixed>,
}

/// The mixes for a spot, and what they hold for.
#[derive(Clone, Debug)]
pub struct Mixed {
    /// The piece.
    pub of: Arc<Piece>,
    /// The reading of the spot.
    pub spot: ReadingId,
    /// The sticks.
    pub sticks: Vec<Stick>,
    /// The mixes, best first, or one line saying why there are none.
    pub mixes: Result<Vec<Mix>, String>,
}

impl Workbench {
    pub(super) fn colouring_out_action(&mut self, action: ColouringOutAction) {
        match action {
            ColouringOutAction::Spot(reading) => self.colouring_out.spot = Some(reading),
            ColouringOutAction::AddStick(typed) => {
                let stick = task::stick_typed(&typed);
                let said = stick.as_ref().map_or_else(|_| String::new(), |stick| stick.name.clone());
                self.change_sticks(
                    |sticks| task::with_stick(sticks, stick?),
                    format!("{} is among the sticks.", words::capital(&said)),
                );
            }
            ColouringOutAction::RemoveStick(name) => {
                let said = format!("{} is taken out of the sticks.", words::capital(&name));
                self.change_sticks(|sticks| Ok(sticks.into_iter().filter(|stick| stick.name != name).collect()), said);
            }
        }
    }

    fn sticks_path(&self) -> PathBuf {
        self.folder.join(FILE)
    }

    /// Takes up the sticks as they stand on the disk, when colouring out is opened.
    pub(super) fn open_sticks(&mut self) {
        let path = self.sticks_path();
        if !path.exists() {
            return;
        }
        match task::open_sticks(&path) {
            Ok(sticks) => self.colouring_out.sticks = sticks,
            Err(error) => self.status = Status::failed(error.to_string()),
        }
    }

    fn change_sticks(&mut self, change: impl FnOnce(Vec<Stick>) -> task::Result<Vec<Stick>>, said: String) {
        let path = self.sticks_path();
        let now = || if path.exists() { task::open_sticks(&path) } else { Ok(Vec::new()) };
        let changed = now().and_then(change).and_then(|sticks| {
            task::save_sticks(&path, &sticks)?;
            Ok(sticks)
        });
        match changed {
            Ok(sticks) => {
                self.colouring_out.sticks = sticks;
                self.status = Status::done(said, "");
            }
            Err(error) => self.status = Status::failed(error.to_string()),
        }
    }

    /// The reading that is matched: the one chosen, or the chosen part's nearest to the finished look.
    pub(crate) fn spot(&self) -> Option<ReadingId> {
        let piece = self.piece()?;
        let chosen = self.colouring_out.spot.filter(|id| piece.reading(*id).is_some());
        chosen.or_else(|| task::spot_named(piece, &piece.part(self.part()?)?.name).ok())
    }

    /// What is found holds for this spot and these sticks.
    pub(crate) fn mixed(&self) -> Option<&Mixed> {
        let (piece, spot) = (self.piece()?, self.spot()?);
        let found = self.colouring_out.found.as_ref()?;
        let holds = Arc::ptr_eq(&found.of, piece) && found.spot == spot && found.sticks == self.colouring_out.sticks;
        holds.then_some(found)
    }

    pub(super) fn due_colouring_out(&mut self, piece: &Arc<Piece>) {
        let wanted = self.beside == Some(Beside::ColouringOut) && !self.colouring_out.sticks.is_empty();
        let Some(spot) = self.spot().filter(|_| wanted && self.mixed().is_none()) else { return };
        let (piece, sticks) = (piece.clone(), self.colouring_out.sticks.clone());
        let key = format!("{KEY} {spot} {:p} {sticks:?}", Arc::as_ptr(&piece));
        if self.jobs.runs(&key) {
            return;
        }
        self.jobs.cancel_where(|key| key.starts_with(KEY));
        self.jobs.start(key, "Mixing sticks", false, move |_| {
            let mixes = predict::colouring_out(&piece, spot, &sticks).map_err(|error| error.to_string());
            Ok(Found::Mixed(Mixed { of: piece, spot, sticks, mixes }))
        });
    }
}
