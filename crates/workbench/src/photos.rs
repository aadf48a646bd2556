//! Photos as the window needs them: shown, read against their card, and the grain of each region.

use std::{collections::BTreeMap, sync::Arc};

use card::{CardReading, Factor, PhotoReading, RegionReading, Request};
use piece::{Grain as Direction, Photo, PhotoId, Reading, ReadingId, Region, SharedError, Source, State, Surface};

use crate::{
    action::Tool,
    crop::{Crop, Grain, thumbnail},
    job::Progress,
    picture::Picture,
};

/// Longest edge of a thumbnail, pixels.
const THUMB_PX: u32 = 240;

/// What is known of one photo.
#[derive(Clone, Debug, Default)]
pub struct PhotoView {
    /// Small picture.
    pub thumb: Option<Arc<Crop>>,
    /// Width and height, pixels.
    pub size_px: Option<[u32; 2]>,
    /// The picture in levels, while it is on screen.
    pub picture: Option<Arc<Picture>>,
    /// The decoded photo, while it is on screen.
    pub decoded: Option<Arc<card::Photo>>,
    /// What was read, and for which entry of the piece.
    pub reading: Option<(Arc<Photo>, Arc<PhotoReading>)>,
    /// Why it cannot be shown or read.
    pub problem: Option<String>,
    /// The user said that there is no card in it.
    pub no_card_wanted: bool,
}

impl PhotoView {
    /// The card as read.
    pub fn card(&self) -> Option<&CardReading> {
        self.reading.as_ref().and_then(|(_, reading)| reading.card.as_ref())
    }

    /// Whether it was read for this entry: same card, same corners.
    pub fn read_for(&self, photo: &Photo) -> bool {
        self.reading.as_ref().is_some_and(|(of, _)| of.card == photo.card && of.corners_px == photo.corners_px)
    }
}

/// Corners of the card while they are placed by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners {
    /// The photo.
    pub photo: PhotoId,
    /// Where they are, upright photo pixels.
    pub at_px: [[f64; 2]; 4],
    /// The one that the arrow keys move.
    pub active: usize,
}

/// The state of the area Photos.
#[derive(Clone, Debug)]
pub struct Photos {
    /// The photo on show.
    pub shown: Option<PhotoId>,
    /// What is known of each.
    pub views: BTreeMap<PhotoId, PhotoView>,
    /// The grain of each region read from a photo.
    pub grains: BTreeMap<ReadingId, Arc<Grain>>,
    /// What the pointer draws.
    pub tool: Tool,
    /// The chosen region.
    pub region: Option<ReadingId>,
    /// Corners being placed.
    pub corners: Option<Corners>,
    /// The state that new regions are read in.
    pub next_state: State,
    /// The board new regions are read on; none: the chosen part.
    pub next_board: Option<piece::BoardId>,
}

impl Default for Photos {
    fn default() -> Self {
        Self {
            shown: None,
            views: BTreeMap::new(),
            grains: BTreeMap::new(),
            tool: Tool::Hand,
            region: None,
            corners: None,
            next_state: State::BareDry,
            next_board: None,
        }
    }
}

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

/// Reads a photo against its card, with one region or none.
///
/// # Errors
/// One line from the card crate.
pub fn read(
    decoded: &card::Photo,
    photo: &Photo,
    corners_px: Option<[[f64; 2]; 4]>,
    region: Option<&Region>,
    progress: &Progress,
) -> Result<PhotoReading, String> {
    let named = |id: &String| card::layout::known().into_iter().find(|card| card.id == *id);
    let request = Request {
        card: photo.card.as_ref().and_then(named),
        corners_px: photo.corners_px.or(corners_px),
        regions: region.map(|region| ("region".to_owned(), region.points_px.clone())).into_iter().collect(),
        ..Request::default()
    };
    card::read(decoded, &request, &|done| progress.go_on(done)).map_err(|error| error.to_string())
}

/// A region's colour as a reading of the piece; its id is given when it is added.
pub fn reading_from(
    region: &RegionReading,
    of: Surface,
    photo: &Photo,
    at: &Region,
    state: State,
    taken: String,
) -> Reading {
    let factor = |factor: &Factor| match factor {
        Factor::Card(id) => format!("card:{id}"),
        Factor::PhotoLight => format!("photo:{}:light", photo.id),
        Factor::PhotoFit => format!("photo:{}:fit", photo.id),
        Factor::PhotoSlope => format!("photo:{}:slope", photo.id),
        Factor::Drift => format!("photo:{}:drift", photo.id),
    };
    Reading {
        id: ReadingId(0),
        of,
        lab: region.lab,
        covariance: region.own,
        shared: region.shared.iter().map(|s| SharedError { factor: factor(&s.factor), loading: s.loading }).collect(),
        grain_sd: Some(region.grain_sd),
        state,
        light: photo.light.clone(),
        grain: Direction::NotNoted,
        taken,
        source: Source::Photo { photo: photo.id, region: at.clone(), method: card::METHOD.into() },
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

/// Now, as it stands on the bench's clock: RFC 3339.
pub fn now() -> String {
    jiff::Zoned::now().strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
