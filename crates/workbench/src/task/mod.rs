//! The jobs that the window and the command line share: a file or a piece in, plain data out.
//!
//! None of them prints, asks or keeps anything. Each error is one line that says what, where and what to do.

mod book;
mod cards;
mod colour_out;
mod differ;
mod differences;
mod piece;
mod read;
mod sheet;
mod sticks;
mod tile;
mod write;

pub use book::{enter_piece, known_book, merge_book, open_book, take_up, take_up_edit};
pub use card::{PhotoReading, tile::Drift};
pub use cards::{cards_known, check_card_file, choose_card};
pub use colour_out::{colour_out, spot_named};
pub use differ::differ;
pub use differences::{Differences, RegionDifference, differences};
pub(crate) use piece::problems;
pub use piece::{check, compare, next, open, part_named, rank, routes};
pub use predict::Stick;
pub use read::{Choice, decode, read_board, read_photo, read_photos};
pub use sheet::{write_document, write_sheet};
pub use sticks::{lab_typed, open_sticks, save_sticks, stick_typed, with_stick};
pub use tile::{TileReadingRecord, TileRecord, fingerprint, fingerprint_of};
pub(crate) use write::write_whole;

use std::path::Path;

/// Why a job could not be done: one line that says what, where and what to do.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// A file or folder cannot be read or written.
    #[error("{path}: {problem}")]
    File {
        /// Which file.
        path: String,
        /// What is wrong and what to do.
        problem: String,
    },
    /// Input that does not say what it should.
    #[error("{at}: {problem}")]
    Input {
        /// Where in the input.
        at: String,
        /// What was expected.
        problem: String,
    },
    /// A photo cannot be used.
    #[error("{path}: {source}")]
    Photo {
        /// Which photo.
        path: String,
        /// Why.
        source: card::Error,
    },
    /// A piece cannot be opened or saved.
    #[error("{path}: {source}")]
    Piece {
        /// Which folder.
        path: String,
        /// Why.
        source: ::piece::Error,
    },
    /// Nothing could be predicted.
    #[error("{piece}: {source}")]
    Predict {
        /// Which piece.
        piece: String,
        /// Why.
        source: predict::Error,
    },
}

/// Result of a job.
pub type Result<T> = std::result::Result<T, Error>;

/// An error of the disk, in words that say what to do.
fn file_error(path: &Path, error: &std::io::Error) -> Error {
    use std::io::ErrorKind;
    let problem = match error.kind() {
        ErrorKind::NotFound => "there is no such file: check the name and the folder".to_owned(),
        ErrorKind::PermissionDenied => "may not be opened: check its permissions".to_owned(),
        ErrorKind::IsADirectory => "is a folder: name a file".to_owned(),
        ErrorKind::NotADirectory => "the folder is a file: check the path".to_owned(),
        _ => format!("{error}: check the disk and the path"),
    };
    Error::File { path: path.display().to_string(), problem }
}
