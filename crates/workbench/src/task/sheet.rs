//! The work sheet as a file.

use std::path::Path;

use ::piece::Piece;
use sheet::{Document, Units};

use super::{Error, Result, piece::predict_error, write::write_whole};

/// Writes the work sheet of a piece with amounts in these units: of the plan the user settled on, or else of the best route.
///
/// # Errors
/// Where the file name does not end in `.html`, no plan can be made, or the disk refuses.
pub fn write_sheet(piece: &Piece, units: Units, path: &Path) -> Result<()> {
    check_name(path)?;
    write_document(&sheet::work_sheet(piece, units).map_err(|source| predict_error(piece, source))?, path)
}

/// Writes a work sheet that was made before.
///
/// # Errors
/// Where the file name does not end in `.html`, or the disk refuses.
pub fn write_document(document: &Document, path: &Path) -> Result<()> {
    check_name(path)?;
    write_whole(path, sheet::html(document).as_bytes())
}

fn check_name(path: &Path) -> Result<()> {
    let html = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("html"));
    if html {
        return Ok(());
    }
    let problem = "the sheet is written as HTML: end the name in .html".to_owned();
    Err(Error::File { path: path.display().to_string(), problem })
}
