//! Sheet: units, and writing it to a file.

use std::{fs, io::Write, path::Path};

use super::Workbench;
use crate::{action::SheetAction, status::Status};

impl Workbench {
    pub(super) fn sheet_action(&mut self, action: SheetAction) {
        match action {
            SheetAction::Save(path) => {
                self.status = match self.save_sheet(&path) {
                    Ok(()) => Status::done(format!("The sheet is in {}: print it from a browser.", path.display()), ""),
                    Err(line) => Status::failed(line),
                };
            }
        }
    }

    /// Where the sheet goes if the user does not say: beside the piece.
    pub fn sheet_file(&self) -> Option<std::path::PathBuf> {
        Some(self.piece_folder()?.join("work sheet.html"))
    }

    fn save_sheet(&self, path: &Path) -> Result<(), String> {
        let html = self.sheet_html().ok_or("No piece is open: there is no sheet to save.")?;
        let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let refused = |error: std::io::Error| {
            format!("{}: the sheet cannot be written ({error}): choose another place", path.display())
        };
        fs::create_dir_all(folder).map_err(refused)?;
        let mut file = tempfile::Builder::new().prefix(".sheet").tempfile_in(folder).map_err(refused)?;
        file.write_all(html.as_bytes()).map_err(refused)?;
        file.persist(path).map_err(|error| refused(error.error))?;
        Ok(())
    }
}
