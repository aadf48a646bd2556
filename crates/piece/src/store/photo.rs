//! Photos in the folder of a piece: their paths, and copying them in.

use std::{
    fs::{self, File},
    io,
    path::{Path, PathBuf},
};

use crate::Error;

/// Where photos are kept within the folder.
pub const PHOTO_FOLDER: &str = "photos";

/// The path on this system of a path within the folder, as it stands in the file: forward slashes, no way out.
///
/// # Errors
/// Where it is absolute, empty, or has a `..`, a backslash or a drive letter in it.
pub fn inside(within: &str) -> Result<PathBuf, Error> {
    let bytes = within.as_bytes();
    let drive = bytes.len() > 1 && bytes[1] == b':';
    let plain = |name: &str| !matches!(name, "" | "." | "..") && !name.chars().any(|c| c == '\\' || c.is_control());
    if drive || !within.split('/').all(plain) {
        return Err(Error::PathEscapes { path: within.into() });
    }
    Ok(within.split('/').collect())
}

/// Copies a photo into the folder and says its path within. The name is the photo's own made plain; a photo of the same
/// name that is there already is not touched.
pub(super) fn take_in(folder: &Path, from: &Path) -> Result<String, Error> {
    let mut source = File::open(from).map_err(|error| refused(from, "cannot be read", &error))?;
    let photos = folder.join(PHOTO_FOLDER);
    fs::create_dir_all(&photos).map_err(|error| refused(&photos, "cannot be made", &error))?;
    let (stem, extension) = plain_name(from);
    for number in 1..10_000 {
        let name = match number {
            1 => format!("{stem}{extension}"),
            _ => format!("{stem}-{number}{extension}"),
        };
        let to = photos.join(&name);
        match File::create_new(&to) {
            Ok(mut target) => {
                let copied = io::copy(&mut source, &mut target).and_then(|_| target.sync_all());
                if let Err(error) = copied {
                    let _ = fs::remove_file(&to);
                    return Err(refused(&to, "cannot be written", &error));
                }
                return Ok(format!("{PHOTO_FOLDER}/{name}"));
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(refused(&to, "cannot be written", &error)),
        }
    }
    Err(Error::Disk {
        path: photos.display().to_string(),
        problem: format!("has thousands of '{stem}': rename the photo"),
    })
}

/// Copies a file to the same path within another folder.
pub(super) fn copy(from: &Path, folder: &Path, within: &str) -> Result<(), Error> {
    let to = folder.join(inside(within)?);
    if let Some(parent) = to.parent() {
        fs::create_dir_all(parent).map_err(|error| refused(parent, "cannot be made", &error))?;
    }
    fs::copy(from, &to).map_err(|error| refused(&to, "cannot be written", &error))?;
    Ok(())
}

/// The name without its ending, and the ending with its dot, of characters that every system takes.
fn plain_name(from: &Path) -> (String, String) {
    let text = |part: Option<&std::ffi::OsStr>| {
        let text = part.map(|part| part.to_string_lossy().into_owned()).unwrap_or_default();
        let kept = text.chars().map(|c| if c.is_alphanumeric() || "-_. ".contains(c) { c } else { '-' });
        kept.take(80).collect::<String>().trim_matches([' ', '.']).to_owned()
    };
    let stem = text(from.file_stem());
    let extension = text(from.extension());
    let stem = if stem.is_empty() { "photo".to_owned() } else { stem };
    (stem, if extension.is_empty() { extension } else { format!(".{extension}") })
}

fn refused(path: &Path, what: &str, error: &io::Error) -> Error {
    let problem = format!("{what} ({error}): check the place and the space on the disk");
    Error::Disk { path: path.display().to_string(), problem }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_path_leads_out_of_the_folder() {
        for within in ["photos/a.jpg", "a.jpg", "photos/über den Tisch.jpg", "photos/..a.jpg", "photos/12:30.jpg"] {
            assert!(inside(within).is_ok(), "{within:?}");
        }
        let out = [
            "",
            "/etc/passwd",
            "../x",
            "photos/../../x",
            "photos/..",
            "./x",
            "photos//x",
            "photos/",
            "..\\x",
            "photos\\..\\x",
            "C:/x",
            "c:x",
            "\\\\server\\x",
            "photos/a\0.jpg",
            "photos/a\n.jpg",
        ];
        for within in out {
            assert_eq!(inside(within), Err(Error::PathEscapes { path: within.into() }), "{within:?}");
        }
    }

    #[test]
    fn photos_of_one_name_are_all_kept() {
        let folder = tempfile::tempdir().unwrap();
        let elsewhere = tempfile::tempdir().unwrap();
        let from = elsewhere.path().join("IMG: 1.JPG");
        let mut taken = Vec::new();
        for text in ["one", "two", "three"] {
            fs::write(&from, text).unwrap();
            taken.push(take_in(folder.path(), &from).unwrap());
        }
        assert_eq!(taken, ["photos/IMG- 1.JPG", "photos/IMG- 1-2.JPG", "photos/IMG- 1-3.JPG"]);
        assert_eq!(fs::read_to_string(folder.path().join(&taken[1])).unwrap(), "two");
        let error = take_in(folder.path(), &elsewhere.path().join("none.jpg")).unwrap_err().to_string();
        assert!(error.contains("none.jpg: cannot be read"), "{error}");
    }
}
