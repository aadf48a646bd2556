//! The shop book: entering a piece's trials, taking up what it knows, merging another.

use std::path::Path;

use ::piece::{Book, Edit, Piece, ProductEdit, apply, store};

use super::{Error, Result, piece};
use crate::record::MergedRecord;

/// Opens a shop book; an empty one where the file is not there yet.
///
/// # Errors
/// Where it cannot be read, or is no shop book.
pub fn open_book(path: &Path) -> Result<Book> {
    store::open_book(path).map_err(|source| book_error(path, source))
}

/// As [`open_book`], where the file must be there.
///
/// # Errors
/// As there, and where it is not.
pub fn known_book(path: &Path) -> Result<Book> {
    if path.exists() {
        return open_book(path);
    }
    let problem = "there is no shop book here: enter the trials of a piece to begin one".to_owned();
    Err(Error::File { path: path.display().to_string(), problem })
}

/// Enters the trials of a piece into the book of this file, which is begun where there is none.
///
/// # Errors
/// Where the piece's data are invented, or a file cannot be read or written.
pub fn enter_piece(path: &Path, piece: &Piece) -> Result<MergedRecord> {
    if piece.invented {
        let problem = "its data are invented, as a demo's are, and do not belong in a shop book: to try one, copy the \
                       folder, take the line \"invented\" out of its piece.json, and name a book that you throw away"
            .to_owned();
        return Err(Error::Input { at: piece.name.clone(), problem });
    }
    let mut book = open_book(path)?;
    let merged = book.merge(&piece.products, &predict::past_uses(piece));
    store::save_book(path, &book).map_err(|source| book_error(path, source))?;
    Ok(merged.into())
}

/// Merges another book into the one of this file, which is begun where there is none.
///
/// # Errors
/// Where a file cannot be read or written.
pub fn merge_book(path: &Path, other: &Path) -> Result<MergedRecord> {
    let (mut book, other) = (open_book(path)?, known_book(other)?);
    let merged = book.merge(&other.products, &other.uses);
    store::save_book(path, &book).map_err(|source| book_error(path, source))?;
    Ok(merged.into())
}

/// Takes up what the book knows of a piece's products and of bleaches, in the place of what was taken up before, and saves
/// the piece; says how many uses it is.
///
/// # Errors
/// Where there is no such book or piece, or the piece cannot be saved.
pub fn take_up(path: &Path, folder: &Path) -> Result<usize> {
    let book = known_book(path)?;
    let mut opened = piece::open(folder)?;
    let edit = take_up_edit(&book, &opened.piece);
    let in_folder = |source| Error::Piece { path: folder.display().to_string(), source };
    let piece = apply(&opened.piece, &edit).map_err(in_folder)?;
    opened.folder.save(&piece).map_err(in_folder)?;
    Ok(piece.past.len())
}

/// The edit by which a piece takes up what the book knows.
pub fn take_up_edit(book: &Book, piece: &Piece) -> Edit {
    Edit::Product(ProductEdit::TakeUp(book.uses_for(piece)))
}

fn book_error(path: &Path, source: ::piece::Error) -> Error {
    match source {
        ::piece::Error::Disk { path, problem } => Error::File { path, problem },
        source => Error::Piece { path: path.display().to_string(), source },
    }
}
