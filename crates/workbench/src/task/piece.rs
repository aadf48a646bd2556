//! A piece folder to comparison, ranking, routes, the trial to make next, and what is wrong with it.

use std::path::Path;

use ::piece::{PartId, Piece, Problem, store};
use sheet::Units;

use super::{Error, Result};
use crate::record::{CheckRecord, CompareRecord, NextRecord, RankRecord, RoutesRecord};

/// Opens the piece in a folder.
///
/// # Errors
/// Where there is none, or its file does not say what it should.
pub fn open(folder: &Path) -> Result<store::Opened> {
    store::open(folder).map_err(|source| match source {
        ::piece::Error::Disk { path, problem } => Error::File { path, problem },
        source => Error::Piece { path: folder.display().to_string(), source },
    })
}

/// What is wrong with a piece folder.
///
/// # Errors
/// Where there is no piece to check, or its file cannot be read at all.
pub fn check(folder: &Path) -> Result<CheckRecord> {
    let opened = open(folder)?;
    let problems = problems(&opened.piece, Some(&opened.folder));
    Ok(CheckRecord::new(&folder.display().to_string(), &opened.piece, &problems))
}

/// What is wrong with a piece and its folder, where it has one, and what the trade has against it.
pub(crate) fn problems(piece: &Piece, folder: Option<&store::Folder>) -> Vec<Problem> {
    let found = folder.map_or_else(|| ::piece::check(piece), |folder| folder.check(piece));
    found.into_iter().chain(predict::trade::problems(piece)).collect()
}

/// Parts against each other and the match sample.
///
/// # Errors
/// Where there is nothing that can be compared.
pub fn compare(piece: &Piece) -> Result<CompareRecord> {
    if piece.parts.is_empty() {
        return Err(predict_error(piece, predict::Error::NoParts));
    }
    let record = CompareRecord::new(piece, &predict::compare(piece));
    if record.pairs.iter().any(|pair| pair.meet) || !record.to_match.is_empty() {
        return Ok(record);
    }
    let problem = match record.not_compared.as_slice() {
        [] => "there is nothing to compare: no two parts with a reading meet in sight, and there is no match sample to set one \
               beside; say which parts meet, or choose a match sample"
            .to_owned(),
        [first, rest @ ..] => {
            let more = if rest.is_empty() { String::new() } else { format!(" (and {} more)", rest.len()) };
            format!("nothing can be compared: {}{more}", first.reason)
        }
    };
    Err(Error::Input { at: piece.name.clone(), problem })
}

/// What can be done to one part, best first.
///
/// # Errors
/// Where nothing can be predicted for it.
pub fn rank(piece: &Piece, part: PartId) -> Result<RankRecord> {
    let ranking = predict::rank(piece, part, &|_| true).map_err(|source| predict_error(piece, source))?;
    Ok(RankRecord::new(piece, &ranking))
}

/// Joint plans over all parts; amounts that are said in words are in these units.
///
/// # Errors
/// Where nothing can be predicted for the piece.
pub fn routes(piece: &Piece, units: Units) -> Result<RoutesRecord> {
    let routes = predict::routes(piece, &|_| true).map_err(|source| predict_error(piece, source))?;
    Ok(RoutesRecord::new(piece, &routes, units))
}

/// What to try next, or to stop.
///
/// # Errors
/// Where nothing can be predicted for the piece.
pub fn next(piece: &Piece) -> Result<NextRecord> {
    let next = predict::next(piece, &|_| true).map_err(|source| predict_error(piece, source))?;
    Ok(NextRecord::new(piece, &next))
}

/// The part of this name.
///
/// # Errors
/// Where the piece has none: the line names those it has. Where it has several: the line says which.
pub fn part_named(piece: &Piece, name: &str) -> Result<PartId> {
    let alike = piece.parts.iter().filter(|part| part.name.to_lowercase() == name.trim().to_lowercase());
    let alike: Vec<String> = alike.map(|part| part.id.to_string()).collect();
    if alike.len() > 1 {
        let problem =
            format!("{} parts have this name, {}: give each a name of its own", alike.len(), alike.join(", "));
        return Err(Error::Input { at: name.to_owned(), problem });
    }
    let found = piece.part_named(name).map(|part| part.id);
    found.ok_or_else(|| {
        let names: Vec<&str> = piece.parts.iter().map(|part| part.name.as_str()).collect();
        let problem = match names.as_slice() {
            [] => "the piece has no parts yet: add one first".to_owned(),
            names => format!("the piece has no part of this name: name one of {}", names.join(", ")),
        };
        Error::Input { at: name.to_owned(), problem }
    })
}

pub(super) fn predict_error(piece: &Piece, source: predict::Error) -> Error {
    Error::Predict { piece: piece.name.clone(), source }
}
