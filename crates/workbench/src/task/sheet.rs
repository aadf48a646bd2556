//! The work sheet as a file.

use std::path::Path;

use ::piece::Piece;

use super::{Error, Result, piece::predict_error, write::write_whole};

/// Writes the work sheet of a piece: of the plan the user settled on, or else of the best route.
///
/// # Errors
/// Where the file name does not end in `.html`, no plan can be made, or the disk refuses.
pub fn write_sheet(piece: &Piece, path: &Path) -> Result<()> {
    let html = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("html"));
    if !html {
        let problem = "the sheet is written as HTML: end the name in .html".to_owned();
        return Err(Error::File { path: path.display().to_string(), problem });
    }
    let document = sheet::work_sheet(piece).map_err(|source| predict_error(piece, source))?;
    write_whole(path, sheet::html(&document).as_bytes())
}
