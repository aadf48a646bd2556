//! The autosave: work that was not saved, kept beside the piece until it is.

use std::{fs, time::SystemTime};

use super::{Folder, PIECE_FILE, atomic, read_text};
use crate::{Error, Piece, file};

/// What was not yet saved when the program ended.
pub const AUTOSAVE_FILE: &str = "piece.autosave.json";

/// Work found in the autosave file.
#[derive(Clone, Debug)]
pub struct Autosave {
    /// The piece as it was then.
    pub piece: Piece,
    /// When it was written.
    pub written: SystemTime,
}

impl Folder {
    /// Writes what is not saved yet to the autosave file, beside the piece.
    ///
    /// # Errors
    /// Where the disk refuses.
    pub fn autosave(&self, piece: &Piece) -> Result<(), Error> {
        let text = file::write(piece, &self.extras)?;
        atomic::write(&self.path, AUTOSAVE_FILE, text.as_bytes())
    }

    /// Removes the autosave file: it was taken up, or turned down.
    pub fn discard_autosave(&self) {
        // Nothing is lost where this fails: an autosave that equals the piece, or is older, is not offered.
        let _ = fs::remove_file(self.path.join(AUTOSAVE_FILE));
    }

    pub(super) fn newer_autosave(&self, piece: &Piece) -> Option<Autosave> {
        let file = self.path.join(AUTOSAVE_FILE);
        let written = fs::metadata(&file).and_then(|metadata| metadata.modified()).ok()?;
        let saved = fs::metadata(self.path.join(PIECE_FILE)).and_then(|metadata| metadata.modified()).ok()?;
        // One that is cut short or of another version is left where it is: it may still be of use to someone.
        let (found, _) = file::read(&read_text(&file).ok()?).ok()?;
        (written >= saved && found != *piece).then_some(Autosave { piece: found, written })
    }
}
