//! What the workbench tells of itself.

use std::{path::PathBuf, sync::Arc};

use piece::{PartId, PhotoId, Piece};

use super::{Recent, Workbench};
use crate::{
    action::{Area, Beside},
    job,
    open::Open,
    photos::Photos,
    results::Results,
    settings::Theme,
    status::Status,
};

impl Workbench {
    /// The open piece.
    pub fn piece(&self) -> Option<&Arc<Piece>> {
        self.open.as_ref().map(Open::piece)
    }

    /// Where the open piece is kept.
    pub fn piece_folder(&self) -> Option<PathBuf> {
        Some(self.open.as_ref()?.folder.as_ref()?.path().to_path_buf())
    }

    /// The folder for new pieces and copies of demos.
    pub fn data_folder(&self) -> &std::path::Path {
        &self.folder
    }

    /// The pieces worked on last, as they were when the program started.
    pub fn recent(&self) -> &[Recent] {
        &self.recent
    }

    /// Whether the piece has changes that are not in its file.
    pub fn is_dirty(&self) -> bool {
        self.open.as_ref().is_some_and(|open| open.history.is_dirty())
    }

    /// The area on show.
    pub fn area(&self) -> Area {
        self.area
    }

    /// What stands in the panel in place of what belongs to the area.
    pub fn beside(&self) -> Option<Beside> {
        self.beside
    }

    /// The theme in force.
    pub fn theme(&self) -> Theme {
        self.settings.theme
    }

    /// The status line.
    pub fn status(&self) -> &Status {
        &self.status
    }

    /// The chosen parts, in the order they were chosen.
    pub fn chosen(&self) -> &[PartId] {
        &self.chosen
    }

    /// The part that panels tell about: the one chosen last, or the first of the piece.
    pub fn part(&self) -> Option<PartId> {
        let piece = self.piece()?;
        self.chosen.last().copied().or_else(|| piece.parts.first().map(|part| part.id))
    }

    /// The light readings are shown for; none: all.
    pub fn light(&self) -> Option<&str> {
        self.light.as_deref()
    }

    /// The state of the area Photos.
    pub fn photos(&self) -> &Photos {
        &self.photos
    }

    /// The photo on show.
    pub fn shown_photo(&self) -> Option<PhotoId> {
        self.photos.shown
    }

    /// What has been computed.
    pub fn results(&self) -> &Results {
        &self.results
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.open.as_ref()?.history.undo_label()
    }

    /// What redo would make again.
    pub fn redo_label(&self) -> Option<&str> {
        self.open.as_ref()?.history.redo_label()
    }

    /// The job to show in the top bar.
    pub fn job(&self) -> Option<job::Shown> {
        self.jobs.shown()
    }

    /// The last line logged.
    pub fn last_line(&self) -> &str {
        &self.samples.last_line
    }
}
