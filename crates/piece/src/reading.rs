//! A reading of colour: CIELAB with its uncertainty, and under what conditions it was taken.

use crate::{PhotoId, ReadingId, Surface};
use colour::Lab;

/// A colour as measured. It counts as measured for good: it is stored with its errors and the method's version.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Stable id.
    pub id: ReadingId,
    /// What was read.
    pub of: Surface,
    /// The colour, D50, 2°.
    pub lab: Lab,
    /// The reading's own covariance (sampling, grain), CIELAB units squared.
    pub covariance: [[f64; 3]; 3],
    /// Errors it shares with other readings, by name.
    pub shared: Vec<SharedError>,
    /// Standard deviation of the grain about the mean, per L*, a*, b*. None where not measured.
    pub grain_sd: Option<[f64; 3]>,
    /// One standard deviation of the colour from place to place at the scale of the bench, beyond what the grain makes: along
    /// the axis of the widest spread, towards light, per L*, a*, b*. None where not measured.
    pub patch_sd: Option<[f64; 3]>,
    /// The state of the surface.
    pub state: State,
    /// The light, in the user's words.
    pub light: String,
    /// Direction of the grain as seen.
    pub grain: Grain,
    /// When: RFC 3339, local to the bench, as text.
    pub taken: String,
    /// Where the colour comes from.
    pub source: Source,
}

impl Reading {
    /// A colour typed in: D50, 2°, with its covariance in CIELAB units squared. It shares no error with another, and its grain,
    /// light and time are not noted.
    pub fn typed(id: ReadingId, of: Surface, state: State, lab: Lab, covariance: [[f64; 3]; 3]) -> Self {
        Self {
            id,
            of,
            lab,
            covariance,
            shared: Vec::new(),
            grain_sd: None,
            patch_sd: None,
            state,
            light: String::new(),
            grain: Grain::NotNoted,
            taken: String::new(),
            source: Source::Typed,
        }
    }
}

/// An error shared between readings: a factor of unit variance in three dimensions, and how it moves this reading.
///
/// Two readings with the same factor have covariance `loading₁ · loading₂ᵀ` from it.
#[derive(Clone, Debug, PartialEq)]
pub struct SharedError {
    /// Which error, named so that equal names are the same error: `card:chart24-1976`, `photo:f2:fit`.
    pub factor: String,
    /// Rows L*, a*, b*; columns the factor's three unit normals.
    pub loading: [[f64; 3]; 3],
}

/// The state of the surface when it was read.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// Bare and dry.
    BareDry,
    /// Wetted to preview the clear coat.
    SpiritWet {
        /// What was wiped on: 'white spirit'.
        liquid: String,
        /// Seconds since it was wiped on.
        seconds: f64,
    },
    /// Colour just put on, still wet.
    ColourWet,
    /// Coloured and dry.
    ColourDry,
    /// Washcoated.
    Washcoated,
    /// Sealed.
    Sealed,
    /// Under the clear coats.
    Topcoated {
        /// The topcoat, by the user's name for it.
        topcoat: String,
        /// Its sheen: 'satin'.
        sheen: String,
    },
}

/// Direction of the grain against the camera and light; end for end changes the colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Grain runs across the picture.
    Along,
    /// Grain runs up the picture.
    Across,
    /// Not noted.
    NotNoted,
}

/// Where a reading's colour comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A region of a photo.
    Photo {
        /// The photo.
        photo: PhotoId,
        /// The region, in pixels of the upright picture.
        region: Region,
        /// Version of the method that measured it.
        method: String,
    },
    /// An instrument, as the user named it.
    Instrument {
        /// Its name.
        name: String,
    },
    /// Typed in.
    Typed,
}

/// A region of a photo: a polygon in pixels of the upright picture. A rectangle is four points.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Corners, in order, at least three.
    pub points_px: Vec<[f64; 2]>,
    /// Places in it that do not count, by the user's own mark: a knot, a label. Polygons of at least three corners each, in the
    /// same pixels.
    pub left_out_px: Vec<Vec<[f64; 2]>>,
}

impl Region {
    /// A region that counts whole.
    pub fn whole(points_px: Vec<[f64; 2]>) -> Self {
        Self { points_px, left_out_px: Vec::new() }
    }
}

impl State {
    /// The kind of state in the trade's words, without its particulars: 'spirit-wet'.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::BareDry => "bare dry",
            Self::SpiritWet { .. } => "spirit-wet",
            Self::ColourWet => "colour wet",
            Self::ColourDry => "colour dry",
            Self::Washcoated => "washcoated",
            Self::Sealed => "sealed",
            Self::Topcoated { .. } => "topcoated",
        }
    }
}
