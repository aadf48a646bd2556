//! Writing a file whole or not at all.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::Path,
};

use crate::Error;

/// Puts these bytes in the place of the file with this name, which is as it was until all of them are on disk.
pub(super) fn write(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), Error> {
    write_with(folder, name, |file| file.write_all(bytes)).map_err(|error| Error::Disk {
        path: folder.join(name).display().to_string(),
        problem: format!("cannot be written ({error}): free some space, or save elsewhere; the old file is untouched"),
    })
}

fn write_with(folder: &Path, name: &str, fill: impl FnOnce(&mut File) -> io::Result<()>) -> io::Result<()> {
    let target = folder.join(name);
    let prefix = format!(".{name}.");
    let mut builder = tempfile::Builder::new();
    builder.prefix(&prefix).suffix(".new");
    let permissions = usual_permissions();
    if let Some(permissions) = permissions {
        builder.permissions(permissions);
    }
    // Dropped on the way out of any failure, which removes it.
    let mut file = builder.tempfile_in(folder)?;
    fill(file.as_file_mut())?;
    if let Ok(metadata) = fs::metadata(&target) {
        file.as_file().set_permissions(metadata.permissions())?;
    }
    file.as_file().sync_all()?;
    file.persist(&target).map_err(|error| error.error)?;
    // The move itself reaches the disk with the folder. Not every system can do this, and the file is whole without it.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Readable by whom the user's settings allow: temporary files are private unless told otherwise.
#[cfg(unix)]
fn usual_permissions() -> Option<fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual_permissions() -> Option<fs::Permissions> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_writer_that_fails_half_way_leaves_the_old_file_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        write(folder.path(), "piece.json", b"old").unwrap();
        let failed = write_with(folder.path(), "piece.json", |file| {
            file.write_all(b"half of the n")?;
            Err(io::Error::other("the disk is full"))
        });
        assert_eq!(failed.unwrap_err().to_string(), "the disk is full");
        assert_eq!(fs::read(folder.path().join("piece.json")).unwrap(), b"old");
        assert_eq!(names(folder.path()), ["piece.json"]);
    }

    #[test]
    fn a_place_that_cannot_be_taken_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir_all(folder.path().join("piece.json/in the way")).unwrap();
        let error = write(folder.path(), "piece.json", b"new").unwrap_err().to_string();
        assert!(error.contains("cannot be written") && error.contains("save elsewhere"), "{error}");
        assert_eq!(names(folder.path()), ["piece.json"]);
    }

    /// Who has the old file open reads on in it: what takes its place is another file, and nothing is left between them.
    #[cfg(unix)]
    #[test]
    fn what_had_the_old_file_open_still_reads_it() {
        use std::io::Read;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("piece.json");
        write(folder.path(), "piece.json", b"the old text").unwrap();
        let mut old = File::open(&path).unwrap();
        write(folder.path(), "piece.json", b"new").unwrap();
        let mut still = String::new();
        old.read_to_string(&mut still).unwrap();
        assert_eq!((still.as_str(), fs::read(&path).unwrap().as_slice()), ("the old text", b"new".as_slice()));
        assert_eq!(names(folder.path()), ["piece.json"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_file_keeps_the_permissions_that_it_has() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("piece.json");
        write(folder.path(), "piece.json", b"one").unwrap();
        fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
        write(folder.path(), "piece.json", b"two").unwrap();
        assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(fs::read(&file).unwrap(), b"two");
    }
}
