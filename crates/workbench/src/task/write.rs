//! A file written whole or not at all.

use std::{io::Write, path::Path};

use super::{Error, Result, file_error};

/// Writes the bytes to a temporary file beside `path` and moves it there in one step.
///
/// # Errors
/// Where the disk refuses. What stood at `path` is then as it was.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        let problem = format!("there is no folder {}: make it, or name another", folder.display());
        return Err(Error::File { path: path.display().to_string(), problem });
    }
    if path.is_dir() {
        return Err(Error::File { path: path.display().to_string(), problem: "is a folder: name a file".to_owned() });
    }
    let write = || {
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(bytes)?;
        file.as_file().sync_all()?;
        open_to_readers(file.as_file())?;
        file.persist(path).map_err(|error| error.error)?;
        Ok(())
    };
    write().map_err(|error| file_error(path, &error))
}

/// Temporary files are made for their owner alone; a document is for whoever may read the folder.
#[cfg(unix)]
fn open_to_readers(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_file: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}
