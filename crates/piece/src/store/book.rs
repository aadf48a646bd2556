//! The shop book on disk: one file.

use std::path::Path;

use super::{atomic, disk, read_text};
use crate::{Book, Error, file};

/// The name of a shop book's file where no other is chosen.
pub const BOOK_FILE: &str = "shop-book.json";

/// Opens a shop book; an empty one where the file is not there yet.
///
/// # Errors
/// Where it cannot be read, or does not say what it should.
pub fn open_book(path: &Path) -> Result<Book, Error> {
    if !path.exists() {
        return Ok(Book::default());
    }
    file::read_book(&read_text(path)?).map_err(|error| match error {
        Error::File { at, problem } => {
            disk(path, &format!("{at}{problem}: mend it there, or name the file of a shop book"))
        }
        error => error,
    })
}

/// Saves a shop book, whole or not at all.
///
/// # Errors
/// Where the disk refuses, or the book holds what could not be read back.
pub fn save_book(path: &Path, book: &Book) -> Result<(), Error> {
    let name = path.file_name().and_then(|name| name.to_str());
    let name = name.ok_or_else(|| disk(path, "is no name for a file: name one, such as shop-book.json"))?;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    atomic::write(folder, name, file::write_book(book)?.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_book_reads_back_and_what_is_none_is_told_in_one_line() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(BOOK_FILE);
        assert_eq!(open_book(&path), Ok(Book::default()));
        let piece = crate::sample::piece();
        let mut book = Book::default();
        let past = crate::sample::past_use(&piece);
        assert_eq!(book.merge(&piece.products, std::slice::from_ref(&past)).uses, 1);
        save_book(&path, &book).unwrap();
        assert_eq!(open_book(&path), Ok(book));
        for (text, expected) in [
            ("{", "not JSON"),
            ("{}", "this is not the file of a shop book"),
            (r#"{"shop_book_version": 9}"#, "newer"),
            (r#"{"shop_book_version": 1, "uses": [{"step": "seal"}]}"#, "uses[0]"),
        ] {
            std::fs::write(&path, text).unwrap();
            let told = open_book(&path).unwrap_err().to_string();
            assert!(told.contains(expected) && !told.contains('\n'), "{told}");
        }
    }
}
