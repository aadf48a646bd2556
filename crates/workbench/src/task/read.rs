//! A photo on disk to what can be read from it.

use std::{fs, path::Path, time::Instant};

use card::{Limits, Photo, PhotoReading, Request};

use super::{Error, Result, choose_card, file_error};

/// No photo file is larger than this: a 160-megapixel picture at 16 bits.
const LARGEST_BYTES: u64 = 1 << 30;

/// What is wanted of a photo, as it is written on the command line or in the window.
#[derive(Clone, Debug, Default)]
pub struct Choice {
    /// The card: an id, `id/edition`, or a card file. None: any card known.
    pub card: Option<String>,
    /// The card's corners in pixels of the upright picture.
    pub corners_px: Option<[[f64; 2]; 4]>,
    /// Regions to measure, by name, with their corners.
    pub regions: Vec<(String, Vec<[f64; 2]>)>,
}

/// Decodes the photo in this file.
///
/// # Errors
/// Where the file cannot be read, or is no photo that can be measured.
pub fn decode(path: &Path) -> Result<Photo> {
    let size = fs::metadata(path).map_err(|error| file_error(path, &error))?;
    if size.is_dir() {
        return Err(Error::File { path: path.display().to_string(), problem: "is a folder: name a photo".into() });
    }
    if size.len() > LARGEST_BYTES {
        let problem = "is larger than 1 GiB, more than any photo: name a photo".into();
        return Err(Error::File { path: path.display().to_string(), problem });
    }
    let bytes = fs::read(path).map_err(|error| file_error(path, &error))?;
    card::decode(&bytes, &Limits::default()).map_err(|source| photo_error(path, source))
}

/// Reads a photo: finds the card, fits its colours, measures the regions. The time on file and decoding counts.
///
/// # Errors
/// Where the photo or the card cannot be used, or `go_on` answers false.
pub fn read_photo(path: &Path, choice: &Choice, go_on: &(dyn Fn(f64) -> bool + Sync)) -> Result<PhotoReading> {
    let (card, edition) = match &choice.card {
        Some(name) => choose_card(name).map(|(card, edition)| (Some(card), edition))?,
        None => (None, None),
    };
    let start = Instant::now();
    let photo = decode(path)?;
    let decoded = start.elapsed().as_secs_f64();
    let request = Request { card, edition, corners_px: choice.corners_px, regions: choice.regions.clone() };
    let mut reading = card::read(&photo, &request, go_on).map_err(|source| photo_error(path, source))?;
    reading.seconds.decode = decoded;
    reading.seconds.total = start.elapsed().as_secs_f64();
    Ok(reading)
}

fn photo_error(path: &Path, source: card::Error) -> Error {
    Error::Photo { path: path.display().to_string(), source }
}
