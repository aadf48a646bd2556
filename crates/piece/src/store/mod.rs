//! The folder of a piece on disk: `piece.json`, its photos, and the autosave. Nothing else in this crate touches the disk.
//!
//! A save is whole or not at all: the text goes to a temporary file in the same folder, reaches the disk, and takes the
//! place of `piece.json` in one move. The version before it is kept as `piece.json.bak`. A piece that did not change is
//! not written again.

mod atomic;
mod autosave;
mod book;
pub mod photo;

pub use autosave::{AUTOSAVE_FILE, Autosave};
pub use book::{BOOK_FILE, open_book, save_book};

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::{Error, PhotoId, Piece, Problem, check::check_with_missing, file, file::Extras};

/// The file that holds the piece.
pub const PIECE_FILE: &str = "piece.json";
/// The version before the last save.
pub const BACKUP_FILE: &str = "piece.json.bak";
/// No piece file is larger: it is text about a few hundred readings.
const LARGEST_BYTES: u64 = 64 << 20;

/// The folder of an open piece: where it is, what is in its file, and the fields of the file that this version does not
/// know and keeps.
#[derive(Clone, Debug)]
pub struct Folder {
    path: PathBuf,
    extras: Extras,
    /// The piece and the text as they are in the file; none before the first save.
    on_disk: Option<(Piece, String)>,
}

/// A piece as it was opened.
#[derive(Clone, Debug)]
pub struct Opened {
    /// Its folder.
    pub folder: Folder,
    /// The piece.
    pub piece: Piece,
    /// Photos whose files are not in the folder. The piece is whole without them; they cannot be shown or read again.
    pub missing_photos: Vec<PhotoId>,
    /// Work that was not saved, newer than the file: to be offered.
    pub autosave: Option<Autosave>,
}

/// Opens the piece in this folder; its `piece.json` may be named instead.
///
/// # Errors
/// Where there is no piece, it cannot be read, or its file does not say what it should.
pub fn open(path: &Path) -> Result<Opened, Error> {
    let path = match path.file_name() {
        Some(name) if name == PIECE_FILE && !path.is_dir() => folder_of(path),
        _ => path.to_path_buf(),
    };
    let file = path.join(PIECE_FILE);
    if !file.exists() {
        let problem = "there is no piece.json here: choose the folder of a piece, or make a new piece";
        return Err(disk(&path, problem));
    }
    let (text, (piece, extras)) = read_text(&file)
        .and_then(|text| file::read(&text).map(|read| (text, read)))
        .map_err(|error| with_the_way_back(error, &path))?;
    let folder = Folder { path, extras, on_disk: Some((piece.clone(), text)) };
    let missing_photos = folder.missing_photos(&piece);
    let autosave = folder.newer_autosave(&piece);
    Ok(Opened { folder, piece, missing_photos, autosave })
}

/// Makes the folder of a new piece and saves it there. The folder may exist if it holds no piece yet.
///
/// # Errors
/// Where there is a piece already, or the disk refuses.
pub fn create(path: &Path, piece: &Piece) -> Result<Folder, Error> {
    if path.join(PIECE_FILE).exists() {
        return Err(disk(path, "there is a piece here already: open it, or choose another folder"));
    }
    let mut folder = create_with(path, Extras::default())?;
    folder.save(piece)?;
    Ok(folder)
}

impl Folder {
    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Saves the piece; nothing is written where nothing changed.
    ///
    /// # Errors
    /// Where the disk refuses, the piece could not be read back, or another program changed the file since it was
    /// opened. The file is then as it was.
    pub fn save(&mut self, piece: &Piece) -> Result<(), Error> {
        let file = self.path.join(PIECE_FILE);
        let now = if file.exists() { Some(read_text(&file)?) } else { None };
        let expected = self.on_disk.as_ref().map(|(_, text)| text);
        if now.is_some() && now.as_ref() != expected {
            return Err(Error::ChangedOnDisk { path: file.display().to_string() });
        }
        self.put(piece, now)
    }

    /// Saves the piece even where another program changed the file; what it wrote is kept as `piece.json.bak`.
    ///
    /// # Errors
    /// Where the disk refuses, or the piece could not be read back.
    pub fn save_over(&mut self, piece: &Piece) -> Result<(), Error> {
        let file = self.path.join(PIECE_FILE);
        let now = if file.exists() { read_text(&file).ok() } else { None };
        self.put(piece, now)
    }

    fn put(&mut self, piece: &Piece, now: Option<String>) -> Result<(), Error> {
        let unchanged = |(saved, text): &&(Piece, String)| saved == piece && now.as_ref() == Some(text);
        let text = match self.on_disk.as_ref().filter(unchanged) {
            Some((_, text)) => text.clone(),
            None => file::write(piece, &self.extras)?,
        };
        if now.as_ref() != Some(&text) {
            if let Some(before) = &now {
                atomic::write(&self.path, BACKUP_FILE, before.as_bytes())?;
            }
            atomic::write(&self.path, PIECE_FILE, text.as_bytes())?;
        }
        self.on_disk = Some((piece.clone(), text));
        self.discard_autosave();
        Ok(())
    }

    /// Saves a copy of the piece with its photos in a new folder, and goes on there. Photos that are missing here are
    /// missing there.
    ///
    /// # Errors
    /// Where there is a piece already, or the disk refuses.
    pub fn save_as(&self, path: &Path, piece: &Piece) -> Result<Folder, Error> {
        if path.join(PIECE_FILE).exists() {
            return Err(disk(path, "there is a piece here already: choose another folder"));
        }
        for photo in &piece.photos {
            let from = self.photo_path(&photo.file)?;
            if from.is_file() {
                photo::copy(&from, path, &photo.file)?;
            }
        }
        let mut folder = create_with(path, self.extras.clone())?;
        folder.save(piece)?;
        Ok(folder)
    }

    /// Copies a photo into the folder under a name of its own, and says its path within.
    ///
    /// # Errors
    /// Where it cannot be read, or the disk refuses.
    pub fn take_in_photo(&self, from: &Path) -> Result<String, Error> {
        photo::take_in(&self.path, from)
    }

    /// Where the photo with this path within the folder is on disk, whether or not it is there.
    ///
    /// # Errors
    /// Where the path leads out of the folder.
    pub fn photo_path(&self, within: &str) -> Result<PathBuf, Error> {
        Ok(self.path.join(photo::inside(within)?))
    }

    /// The bytes of a photo.
    ///
    /// # Errors
    /// Where the path leads out of the folder, or the file cannot be read.
    pub fn read_photo(&self, within: &str) -> Result<Vec<u8>, Error> {
        let path = self.photo_path(within)?;
        fs::read(&path).map_err(|error| disk(&path, &format!("the photo cannot be read ({error}): put it back")))
    }

    /// Photos of the piece whose files are not in the folder.
    pub fn missing_photos(&self, piece: &Piece) -> Vec<PhotoId> {
        let missing = |file: &str| !self.photo_path(file).is_ok_and(|path| path.is_file());
        piece.photos.iter().filter(|photo| missing(&photo.file)).map(|photo| photo.id).collect()
    }

    /// What is wrong with the piece and its folder, and what its file says that is not understood.
    pub fn check(&self, piece: &Piece) -> Vec<Problem> {
        let mut problems = check_with_missing(piece, &self.missing_photos(piece));
        problems.extend(self.extras.told().map(|(at, field)| Problem {
            at: format!("{PIECE_FILE}{at}"),
            text: format!("'{field}' is not known to this version and is kept as it is: mend it if it is misspelt"),
        }));
        problems
    }
}

fn create_with(path: &Path, extras: Extras) -> Result<Folder, Error> {
    let refused =
        |error: std::io::Error| disk(path, &format!("the folder cannot be made ({error}): choose another place"));
    fs::create_dir_all(path.join(photo::PHOTO_FOLDER)).map_err(refused)?;
    Ok(Folder { path: path.to_path_buf(), extras, on_disk: None })
}

fn folder_of(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

fn read_text(file: &Path) -> Result<String, Error> {
    let refused =
        |error: std::io::Error| disk(file, &format!("cannot be read ({error}): check that it is there and yours"));
    let bytes = fs::metadata(file).map_err(refused)?.len();
    if bytes > LARGEST_BYTES {
        return Err(disk(file, &format!("has {bytes} bytes: not the file of a piece; choose another")));
    }
    let bytes = fs::read(file).map_err(refused)?;
    String::from_utf8(bytes).map_err(|_| disk(file, "is not text in UTF-8: not the file of a piece, or damaged"))
}

/// An error of the piece's file, naming the version before it where there is one to go back to.
fn with_the_way_back(mut error: Error, folder: &Path) -> Error {
    if let (Error::File { problem, .. } | Error::Disk { problem, .. }, true) =
        (&mut error, folder.join(BACKUP_FILE).is_file())
    {
        problem.push_str(&format!(", or go back to the version before it, {BACKUP_FILE}"));
    }
    error
}

fn disk(path: &Path, problem: &str) -> Error {
    Error::Disk { path: path.display().to_string(), problem: problem.into() }
}

#[cfg(test)]
mod tests;
