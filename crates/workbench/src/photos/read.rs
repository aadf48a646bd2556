//! A photo made ready to show, and read against its card.

use std::sync::Arc;

use card::{Board, Factor, PhotoReading, RegionReading, Request};
use piece::{Grain as Direction, Photo, PhotoId, Reading, ReadingId, Region, SharedError, Source, State, Surface};

use super::Made;
use crate::{
    crop::{Crop, Grain, thumbnail},
    job::Progress,
    picture::Picture,
};

/// Longest edge of a thumbnail, pixels.
const THUMB_PX: u32 = 240;

/// A photo made ready to show.
#[derive(Debug)]
pub struct Looked {
    /// Small picture.
    pub thumb: Arc<Crop>,
    /// The picture in levels.
    pub picture: Arc<Picture>,
    /// The decoded photo.
    pub decoded: Arc<card::Photo>,
    /// The grain of the regions in it.
    pub grains: Vec<(ReadingId, Arc<Grain>)>,
}

/// Decodes a photo and makes its levels and the grain of its regions.
///
/// # Errors
/// One line saying why it cannot be shown.
pub fn look(bytes: &[u8], regions: &[(ReadingId, Region)], progress: &Progress) -> Result<Looked, String> {
    let decoded = card::decode(bytes, &card::Limits::default()).map_err(|error| error.to_string())?;
    progress.go_on(0.4);
    let shown = decoded.picture(decoded.whole(), u32::MAX).ok_or("the photo has no pixels")?;
    let picture = Picture::new(shown.width, shown.height, shown.rgb).ok_or("the photo has no pixels")?;
    progress.go_on(0.8);
    let grains = grains(&picture, regions);
    Ok(Looked { thumb: thumbnail(&picture, THUMB_PX), picture: Arc::new(picture), decoded: Arc::new(decoded), grains })
}

/// The grain of regions of a picture.
pub fn grains(picture: &Picture, regions: &[(ReadingId, Region)]) -> Vec<(ReadingId, Arc<Grain>)> {
    let grain =
        |(id, region): &(ReadingId, Region)| Some((*id, Arc::new(Grain::from_picture(picture, &region.points_px)?)));
    regions.iter().filter_map(grain).collect()
}

/// What is wanted of a photo.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// Its entry in the piece.
    pub photo: Arc<Photo>,
    /// Where the card was found before.
    pub corners_px: Option<[[f64; 2]; 4]>,
    /// The region to read, if any.
    pub region: Option<Region>,
    /// What the user chose for it.
    pub made: Made,
    /// The light over the frame, where a board evens it.
    pub board: Option<Arc<Board>>,
}

impl Wanted {
    /// Reads the photo against its card, and the region.
    ///
    /// # Errors
    /// One line from the card crate.
    pub fn read(&self, decoded: &card::Photo, progress: &Progress) -> Result<PhotoReading, String> {
        let named = |id: &String| card::layout::known().into_iter().find(|card| card.id == *id);
        let region = self.region.iter().map(|region| ("region".to_owned(), region.points_px.clone()));
        let request = Request {
            card: self.photo.card.as_ref().and_then(named),
            corners_px: self.photo.corners_px.or(self.corners_px),
            regions: region.collect(),
            left_out_px: self.region.as_ref().map_or_else(Vec::new, |region| region.left_out_px.clone()),
            leave_spots_out: self.made.spots_left_out,
            board: self.board.clone(),
            ..Request::default()
        };
        card::read(decoded, &request, &|done| progress.go_on(done)).map_err(|error| error.to_string())
    }
}

/// A region's colour as a reading of the piece, taken when the photo was; its id is given when it is added.
pub fn reading_from(
    region: &RegionReading,
    of: Surface,
    wanted: &Wanted,
    at: &Region,
    state: State,
    taken: String,
) -> Reading {
    let photo = &wanted.photo;
    let factor = |factor: &Factor| match factor {
        Factor::Card(id) => format!("card:{id}"),
        Factor::PhotoLight => format!("photo:{}:light", photo.id),
        Factor::PhotoFit { lightness } => format!("photo:{}:fit:{lightness}", photo.id),
        Factor::PhotoSlope(along) => format!("photo:{}:slope:{along}", photo.id),
        Factor::PhotoCast => format!("photo:{}:cast", photo.id),
        Factor::Drift => format!("photo:{}:drift", photo.id),
    };
    Reading {
        id: ReadingId(0),
        of,
        lab: region.lab,
        covariance: region.own,
        shared: region.shared.iter().map(|s| SharedError { factor: factor(&s.factor), loading: s.loading }).collect(),
        grain_sd: Some(region.grain_sd),
        patch_sd: region.evenness.as_ref().map(|evenness| evenness.patch_sd),
        state,
        light: photo.light.clone(),
        grain: Direction::NotNoted,
        taken,
        source: Source::Photo { photo: photo.id, region: at.clone(), method: wanted.made.method() },
    }
}

/// The regions of a photo, from the piece's readings.
pub fn regions_of(piece: &piece::Piece, photo: PhotoId) -> Vec<(ReadingId, Region)> {
    let region = |reading: &Arc<Reading>| match &reading.source {
        Source::Photo { photo: of, region, .. } if *of == photo => Some((reading.id, region.clone())),
        _ => None,
    };
    piece.readings.iter().filter_map(region).collect()
}

/// When a photo was taken, by its own data; none where it is not noted or no day there is.
pub fn taken(read: &PhotoReading) -> Option<String> {
    read.taken.clone().filter(|taken| taken.parse::<jiff::civil::DateTime>().is_ok())
}

/// Now, as it stands on the bench's clock: RFC 3339.
pub fn now() -> String {
    jiff::Zoned::now().strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
