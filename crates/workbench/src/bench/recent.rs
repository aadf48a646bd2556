//! The pieces worked on last.

use std::{
    fs,
    path::{Path, PathBuf},
    time::SystemTime,
};

use piece::store::PIECE_FILE;

/// A piece in the user's folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recent {
    /// The name of its folder.
    pub name: String,
    /// When it was saved last.
    pub note: String,
    /// Where it is.
    pub path: PathBuf,
}

/// How many are kept in view.
const MOST: usize = 8;

/// The pieces in a folder, the last saved first.
pub(super) fn in_folder(folder: &Path) -> Vec<Recent> {
    let saved = |path: PathBuf| Some((fs::metadata(path.join(PIECE_FILE)).and_then(|m| m.modified()).ok()?, path));
    let entries = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let mut pieces: Vec<(SystemTime, PathBuf)> = entries.filter_map(|entry| saved(entry.path())).collect();
    pieces.sort_by(|a, b| b.cmp(a));
    let recent = |(saved, path): (SystemTime, PathBuf)| Recent {
        name: crate::words::capital(&path.file_name().unwrap_or_default().to_string_lossy().replace('-', " ")),
        note: day(saved),
        path,
    };
    pieces.into_iter().take(MOST).map(recent).collect()
}

/// The day in words: `25 November`.
fn day(time: SystemTime) -> String {
    jiff::Timestamp::try_from(time).map_or_else(
        |_| String::new(),
        |time| time.to_zoned(jiff::tz::TimeZone::system()).strftime("saved %-d %B").to_string(),
    )
}
