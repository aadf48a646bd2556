//! Sheet: units, and writing it to a file.

use std::path::{Path, PathBuf};

use super::Workbench;
use crate::{action::SheetAction, settings::Units, status::Status, task};

impl Workbench {
    pub(super) fn sheet_action(&mut self, action: SheetAction) {
        match action {
            SheetAction::Save(path) => {
                self.status = match self.save_sheet(&path) {
                    Ok(()) => Status::done(format!("The sheet is in {}: print it from a browser.", path.display()), ""),
                    Err(line) => Status::failed(line),
                };
            }
            SheetAction::Units(units) => {
                self.settings.units = units;
                self.results.sheet = None;
                self.status = Status::done(format!("Amounts are in {}.", units.name()), "");
                self.keep_settings();
            }
        }
    }

    /// The units that amounts are written in.
    pub fn units(&self) -> Units {
        self.settings.units
    }

    /// Where the sheet goes if the user does not say: beside the piece.
    pub fn sheet_file(&self) -> Option<PathBuf> {
        Some(self.piece_folder()?.join("work sheet.html"))
    }

    fn save_sheet(&self, path: &Path) -> Result<(), String> {
        let document = self.results.sheet.as_ref().and_then(|tagged| tagged.value.as_ref().ok());
        let document = document.ok_or("There is no sheet to save yet: name the parts and log a trial first.")?;
        task::write_document(document, path).map_err(|error| error.to_string())
    }

    pub(super) fn keep_settings(&mut self) {
        if let Err(line) = self.settings.keep(&self.folder) {
            self.status = Status::failed(line);
        }
    }
}
