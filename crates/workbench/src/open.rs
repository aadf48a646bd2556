//! The open piece: its folder and its history.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use piece::{Edit, History, Piece, store};

/// An open piece.
#[derive(Clone, Debug)]
pub struct Open {
    /// Its folder; none for a piece that was never saved.
    pub folder: Option<store::Folder>,
    /// What it is and was.
    pub history: History,
}

impl Open {
    /// Opens a piece, taking up unsaved work where there is some; says what to know about it.
    ///
    /// # Errors
    /// One line from the store.
    pub fn from_folder(path: &Path) -> Result<(Self, String), String> {
        let opened = store::open(path).map_err(|error| error.to_string())?;
        let parts = opened.piece.parts.len();
        let count = match parts {
            0 => "no part yet".to_owned(),
            1 => "1 part".to_owned(),
            n => format!("{n} parts"),
        };
        let mut said = format!("{} is open: {count}.", opened.piece.name);
        if !opened.missing_photos.is_empty() {
            said = format!("{said} {} of its photos are not in the folder.", opened.missing_photos.len());
        }
        let history = match opened.autosave {
            Some(autosave) => {
                said = format!("{} is open as it was left, with work that was not saved yet.", autosave.piece.name);
                History::unsaved(autosave.piece)
            }
            None => History::opened(opened.piece),
        };
        Ok((Self { folder: Some(opened.folder), history }, said))
    }

    /// Makes a new piece in its own folder under `pieces`.
    ///
    /// # Errors
    /// One line from the store.
    pub fn new_in(pieces: &Path, name: &str) -> Result<Self, String> {
        let piece = Piece { name: name.into(), ..Piece::default() };
        let path = free_folder(pieces, name);
        let folder = store::create(&path, &piece).map_err(|error| error.to_string())?;
        Ok(Self { folder: Some(folder), history: History::opened(piece) })
    }

    /// A piece without a folder, for tests and tries.
    pub fn unsaved(piece: Piece) -> Self {
        Self { folder: None, history: History::opened(piece) }
    }

    /// The piece as it is.
    pub fn piece(&self) -> &Arc<Piece> {
        self.history.piece()
    }

    /// Makes one change.
    ///
    /// # Errors
    /// One line saying why not.
    pub fn edit(&mut self, edit: &Edit) -> Result<(), String> {
        self.history.apply(edit).map_err(|error| error.to_string())
    }

    /// Saves what is not saved.
    ///
    /// # Errors
    /// One line from the store.
    pub fn save(&mut self) -> Result<(), String> {
        let Some(folder) = &mut self.folder else { return Ok(()) };
        let piece = self.history.piece().clone();
        folder.save(&piece).map_err(|error| error.to_string())?;
        self.history.mark_saved(&piece);
        Ok(())
    }
}

/// A folder that is not there yet: `New piece`, `New piece 2`.
pub fn free_folder(within: &Path, name: &str) -> PathBuf {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() || " -_".contains(c) { c } else { '-' }).collect();
    let plain = plain.trim().to_owned();
    (1..)
        .map(|n| within.join(if n == 1 { plain.clone() } else { format!("{plain} {n}") }))
        .find(|path| !path.exists())
        .unwrap_or_else(|| within.join(plain))
}
