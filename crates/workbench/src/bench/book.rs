//! The shop book: which file it is, entering the piece's trials, taking up what it knows.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use piece::{Piece, store::BOOK_FILE};
use predict::Learned;

use super::{Beside, Found, Workbench};
use crate::{action::BookAction, record::BookRecord, results::Tagged, status::Status, task};

const KEY: &str = "what was learned";

/// The shop book's file and what it knows.
#[derive(Clone, Debug, Default)]
pub(crate) struct ShopBook {
    /// The file chosen; none: the one beside the pieces.
    file: Option<PathBuf>,
    /// What it knows; none where there is no such file yet.
    pub(crate) known: Option<BookRecord>,
    /// What the piece's trials and the book teach together.
    pub(crate) learned: Option<Tagged<Vec<Learned>>>,
}

impl Workbench {
    /// The shop book's file: the one chosen, or the one beside the pieces.
    pub fn book_file(&self) -> PathBuf {
        self.book.file.clone().unwrap_or_else(|| self.folder.join(BOOK_FILE))
    }

    pub(super) fn book_action(&mut self, action: BookAction) {
        match action {
            BookAction::Choose(path) => {
                let said = format!("The shop book is {}.", path.display());
                self.book.file = Some(path);
                if self.look_into_book() {
                    self.status = Status::done(said, "");
                }
            }
            BookAction::Enter => self.enter_in_book(),
            BookAction::TakeUp => self.take_up_book(),
        }
    }

    /// Reads what the book knows; false, with a line in the status, where it cannot be read.
    pub(super) fn look_into_book(&mut self) -> bool {
        let path = self.book_file();
        self.book.known = None;
        if !path.exists() {
            return true;
        }
        match task::open_book(&path) {
            Ok(book) => {
                self.book.known = Some(BookRecord::new(&book));
                true
            }
            Err(error) => {
                self.status = Status::failed(error.to_string());
                false
            }
        }
    }

    fn enter_in_book(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        let path = self.book_file();
        match entered(&path, &piece) {
            Ok(said) => {
                self.status = Status::done(said, "");
                self.look_into_book();
            }
            Err(error) => self.status = Status::failed(error.to_string()),
        }
    }

    fn take_up_book(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        let edit = match task::known_book(&self.book_file()) {
            Ok(book) => task::take_up_edit(&book, &piece),
            Err(error) => {
                self.status = Status::failed(error.to_string());
                return;
            }
        };
        if self.edit(&edit) {
            let said = match self.piece().map_or(0, |piece| piece.past.len()) {
                0 => "The book knows nothing of this piece's products beyond the piece itself.".to_owned(),
                1 => "One use on an earlier piece is taken up.".to_owned(),
                uses => format!("{uses} uses on earlier pieces are taken up."),
            };
            self.status = Status::done(said, "see what they change, press 4");
        }
    }

    pub(super) fn due_learned(&mut self, piece: &Arc<Piece>) {
        let current = self.book.learned.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{KEY} {:p}", Arc::as_ptr(piece));
        if self.beside != Some(Beside::ShopBook) || current || piece.past.is_empty() || self.jobs.runs(&key) {
            return;
        }
        self.jobs.cancel_where(|key| key.starts_with(KEY));
        let piece = piece.clone();
        self.jobs.start(key, "Learning", false, move |_| {
            let (learned, _) = predict::learned(&piece);
            Ok(Found::Learned(piece, learned))
        });
    }
}

fn entered(path: &Path, piece: &Piece) -> task::Result<String> {
    let merged = task::enter_piece(path, piece)?;
    let uses = match merged.uses {
        0 => "No new use".to_owned(),
        1 => "One new use".to_owned(),
        uses => format!("{uses} new uses"),
    };
    let renewed = if merged.renewed > 0 { format!(", {} renewed", merged.renewed) } else { String::new() };
    Ok(format!("{uses}{renewed} in the shop book {}.", path.display()))
}
