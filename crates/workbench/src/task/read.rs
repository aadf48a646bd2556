//! A photo on disk to what can be read from it.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    sync::Arc,
    thread::available_parallelism,
    time::{Duration, Instant},
};

use card::{Board, Limits, Photo, PhotoReading, Request};

use super::{Error, Result, choose_card, file_error};
use crate::job::{End, Jobs};

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
    /// Places to leave out of every region they touch.
    pub left_out_px: Vec<Vec<[f64; 2]>>,
    /// Leave the light and dark spots of each region out of its colour.
    pub leave_spots_out: bool,
    /// The light over the frame, from a photo of a plain board.
    pub board: Option<Arc<Board>>,
}

/// The light over the frame, from the photo of a plain board in this file.
///
/// # Errors
/// Where the file cannot be read, or the board cannot even the light.
pub fn read_board(path: &Path) -> Result<Arc<Board>> {
    Board::from_photo(&decode(path)?).map(Arc::new).map_err(|source| photo_error(path, source))
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
    let request = Request {
        card,
        edition,
        corners_px: choice.corners_px,
        regions: choice.regions.clone(),
        left_out_px: choice.left_out_px.clone(),
        leave_spots_out: choice.leave_spots_out,
        board: choice.board.clone(),
    };
    let mut reading = card::read(&photo, &request, go_on).map_err(|source| photo_error(path, source))?;
    reading.seconds.decode = decoded;
    reading.seconds.total = start.elapsed().as_secs_f64();
    Ok(reading)
}

/// Reads many photos on all cores and hands over what each gave, in the order of `paths`.
///
/// A photo that cannot be read does not stop the others. Never are more photos in memory than there are cores. An
/// error of `each` ends it all and is returned.
///
/// # Errors
/// What `each` returned.
pub fn read_photos<E>(
    paths: &[PathBuf],
    choice: &Choice,
    mut each: impl FnMut(&Path, Result<PhotoReading>) -> std::result::Result<(), E>,
) -> std::result::Result<(), E> {
    let most = available_parallelism().map_or(1, usize::from);
    let choice = Arc::new(choice.clone());
    let mut jobs = Jobs::<Result<PhotoReading>>::default();
    let mut waiting = paths.iter().enumerate();
    let mut ended = BTreeMap::new();
    for (next, path) in paths.iter().enumerate() {
        while !ended.contains_key(&next.to_string()) {
            for (place, path) in waiting.by_ref().take(most.saturating_sub(jobs.count())) {
                let (path, choice) = (path.clone(), choice.clone());
                let name = format!("Reading photo {} of {}", place + 1, paths.len());
                jobs.start(place.to_string(), name, false, move |progress| {
                    Ok(read_photo(&path, &choice, &|fraction| progress.go_on(fraction)))
                });
            }
            ended.extend(jobs.wait(Duration::from_secs(1)));
        }
        let reading = match ended.remove(&next.to_string()) {
            Some(End::Done(reading)) => reading,
            Some(End::Failed(problem)) => Err(Error::File { path: path.display().to_string(), problem }),
            Some(End::Cancelled) | None => Err(photo_error(path, card::Error::Cancelled)),
        };
        if let Err(error) = each(path, reading) {
            jobs.cancel_all();
            return Err(error);
        }
    }
    Ok(())
}

fn photo_error(path: &Path, source: card::Error) -> Error {
    Error::Photo { path: path.display().to_string(), source }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is no photo fails at once, what is one takes a while: the order must be that of the names all the same.
    #[test]
    fn many_photos_come_back_in_their_order() {
        let folder = tempfile::tempdir().unwrap();
        let paths: Vec<PathBuf> = (0..9).map(|k| folder.path().join(format!("{k}.bmp"))).collect();
        for (k, path) in paths.iter().enumerate().filter(|(k, _)| k % 3 != 1) {
            fs::write(path, if k % 3 == 0 { bitmap(300, 200 + k as u32) } else { b"a letter".to_vec() }).unwrap();
        }
        let mut got = Vec::new();
        let done: std::result::Result<(), ()> = read_photos(&paths, &Choice::default(), |path, reading| {
            got.push((path.to_owned(), reading.map(|reading| reading.height_px).map_err(|error| error.to_string())));
            Ok(())
        });
        assert_eq!((done, got.len()), (Ok(()), 9));
        for (k, (path, reading)) in got.into_iter().enumerate() {
            assert_eq!(path, paths[k]);
            match k % 3 {
                0 => assert_eq!(reading, Ok(200 + k as u32)),
                1 => assert!(reading.is_err_and(|line| line.contains("no such file"))),
                _ => assert!(reading.is_err_and(|line| line.contains("a text file"))),
            }
        }
    }

    #[test]
    fn an_error_of_the_receiver_ends_it() {
        let paths = vec![PathBuf::from("no-such.jpg"); 5];
        let mut count = 0;
        let done = read_photos(&paths, &Choice::default(), |_, _| {
            count += 1;
            if count == 2 { Err("closed") } else { Ok(()) }
        });
        assert_eq!((done, count), (Err("closed"), 2));
    }

    /// A bitmap of 24 bits per pixel, all grey: file header of 14 bytes, information header of 40, rows of 4 bytes' multiples.
    fn bitmap(width: u32, height: u32) -> Vec<u8> {
        let bytes = width * 3 * height;
        let mut file = b"BM".to_vec();
        for word in [54 + bytes, 0, 54, 40, width, height, 1 | 24 << 16, 0, bytes, 0, 0, 0, 0] {
            file.extend(word.to_le_bytes());
        }
        file.resize(file.len() + bytes as usize, 128);
        file
    }
}
