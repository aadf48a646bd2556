//! What stands round the working area: areas, chosen parts, undo, theme, light.

use piece::PartId;

use super::Workbench;
use crate::{
    action::{Area, Beside, FrameAction},
    status::Status,
};

impl Workbench {
    pub(super) fn frame(&mut self, action: FrameAction) {
        match action {
            FrameAction::Go(area) => self.go(area),
            FrameAction::Choose { part, add } => self.choose(part, add),
            FrameAction::Undo => self.undo(),
            FrameAction::Redo => self.redo(),
            FrameAction::Cancel => {
                self.cancel_shown();
                self.status = Status::done("Stopped. What was done before stands.", "");
            }
            FrameAction::Theme(theme) => {
                self.settings.theme = theme;
                self.keep_settings();
            }
            FrameAction::Beside(beside) => self.open_beside(beside),
            FrameAction::Light(light) => self.light = light,
            FrameAction::Say { line, failed } => {
                self.status = if failed { Status::failed(line) } else { Status::done(line, "") };
            }
        }
    }

    fn open_beside(&mut self, beside: Option<Beside>) {
        self.beside = beside.filter(|_| self.open.is_some());
        match self.beside {
            Some(Beside::ColouringOut) => self.open_sticks(),
            Some(Beside::ShopBook) => drop(self.look_into_book()),
            Some(Beside::Problems) | None => {}
        }
    }

    fn go(&mut self, area: Area) {
        if self.open.is_none() {
            return;
        }
        self.beside = None;
        self.area = area;
        self.status.next = self.next_in(area);
    }

    /// What to do next in an area: the first thing that is missing there.
    pub(super) fn next_in(&self, area: Area) -> String {
        let Some(piece) = self.piece() else { return String::new() };
        match area {
            Area::Photos if self.photos.corners.is_some() => "put each corner on its patch, then Enter",
            Area::Photos if piece.parts.is_empty() => "name the parts",
            _ if piece.parts.is_empty() => "name the parts, press 1",
            Area::Photos if piece.photos.is_empty() => "drop photos of the piece",
            Area::Photos => "draw a region, press R",
            Area::Sheet if piece.plan.is_some() => "save the sheet",
            _ if piece.readings.is_empty() => "read the parts from photos, press 1",
            Area::SideBySide => "try something on a board, press 3",
            Area::Samples if piece.boards.is_empty() => "add a board, at the right",
            Area::Samples => "log a trial, press /",
            _ if piece.trials.is_empty() => "log a trial first, press 3",
            Area::Routes => "make a route the plan",
            Area::Sheet => "make a plan first, press 4",
        }
        .into()
    }

    /// Chooses a part; the two chosen last are shown side by side.
    pub(super) fn choose(&mut self, part: PartId, add: bool) {
        if self.piece().is_none_or(|piece| piece.part(part).is_none()) {
            return;
        }
        match self.chosen.iter().position(|chosen| *chosen == part) {
            Some(place) if add => drop(self.chosen.remove(place)),
            _ if add => self.chosen.push(part),
            _ => self.chosen = vec![part],
        }
        self.routes.row = None;
        self.photos.next_on = None;
        self.side.pair = match &self.chosen[..] {
            [.., a, b] => Some((*a, *b)),
            _ => None,
        };
    }

    fn undo(&mut self) {
        let label = self.open.as_mut().and_then(|open| open.history.undo());
        self.stepped(label, "Undone");
    }

    fn redo(&mut self) {
        let label = self.open.as_mut().and_then(|open| open.history.redo());
        self.stepped(label, "Done again");
    }

    fn stepped(&mut self, label: Option<String>, said: &str) {
        let Some(label) = label else {
            self.status = Status::done("Nothing to take back.", "");
            return;
        };
        self.status = Status::done(format!("{said}: {label}."), "");
        self.autosave();
        self.forget_what_is_gone();
    }

    /// Drops what is chosen but no longer in the piece.
    pub(super) fn forget_what_is_gone(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        self.chosen.retain(|part| piece.part(*part).is_some());
        self.photos.region = self.photos.region.filter(|id| piece.reading(*id).is_some());
        self.photos.shown = self.photos.shown.filter(|id| piece.photo(*id).is_some());
        if self.photos.shown.is_none() {
            self.photos.shown = piece.photos.first().map(|photo| photo.id);
        }
        self.photos.corners = self.photos.corners.filter(|corners| Some(corners.photo) == self.photos.shown);
        self.samples.trial = self.samples.trial.filter(|id| piece.trial(*id).is_some());
        let there = |(a, b): &(PartId, PartId)| piece.part(*a).is_some() && piece.part(*b).is_some();
        self.side.pair = self.side.pair.filter(there);
    }
}
