//! The whole job: a decoded photo to measured colours.
//!
//! # How a region's error is split
//! The error of a colour read off a photo has two sources. The grain: the region shows only so many grains, and another
//! region of the same board would average to another colour. And the calibration: the fit states, from its left-out
//! residuals, how far off a colour like this one may be in this photo. Part of the latter comes from the card itself
//! (its patches are not quite the published colours), part from the light and the camera's sensitivities (a paint and
//! a wood that look alike are not recorded alike), part from the noise of this photo's fit; these move all colours of
//! the photo together, and so they are kept apart as loadings on named factors that readings share. The rest moves
//! with the colour: it stays with the reading.
//!
//! A covariance between two readings follows from the factors they share: Σ loading₁·loading₂ᵀ. Two regions of similar
//! colour in one photo share all four with nearly equal loadings, which cancel in their difference: it is known better
//! than either colour. Regions in two photos of one card share the card alone. The slope of the light, and of its colour
//! where two lamps mix, has its own loadings, with the sign of the place: they cancel for regions side by side and add up
//! for regions on two sides of the card.
//!
//! The covariance is stated so that the 90 % ellipsoid of a normal distribution with it (χ² with 3 degrees of freedom,
//! 6.25) is the fit's 90 % region, which is that of a multivariate t.

mod clipped;
mod coded;
mod doubt;
mod find;
mod fitted;
mod job;
mod order;
mod several;
mod split;

use std::sync::Arc;

use crate::{Board, Card, Evenness, Profile, Warning};

pub use job::read;

/// Version of the method, stored with every reading made by it.
pub const METHOD: &str = "tonewright-read 1";

/// What to read from a photo.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// The card in the photo; without it every card of [`crate::layout::known`] is looked for.
    pub card: Option<Card>,
    /// Id of the card's edition; without it the one that fits best.
    pub edition: Option<String>,
    /// Corners of the patch grid in upright photo pixels, from the outer corner of the first patch of the first row
    /// along that row and round. They always win over the finder.
    pub corners_px: Option<[[f64; 2]; 4]>,
    /// Regions to measure: a name and a polygon in upright photo pixels.
    pub regions: Vec<(String, Vec<[f64; 2]>)>,
    /// Places to leave out of every region they touch: a knot, a label. Polygons in upright photo pixels.
    pub left_out_px: Vec<Vec<[f64; 2]>>,
    /// A photo of a plain board in the same light, which evens the light over the frame.
    pub board: Option<Arc<Board>>,
    /// Leave the light and dark spots of a region out of its colour, as its evenness finds them.
    pub leave_spots_out: bool,
}

/// What was read from a photo.
#[derive(Clone, Debug)]
pub struct PhotoReading {
    /// Width of the upright photo.
    pub width_px: u32,
    /// Height of the upright photo.
    pub height_px: u32,
    /// The colour profile that was followed.
    pub profile: Profile,
    /// When it was taken, as in [`crate::Photo::taken`].
    pub taken: Option<String>,
    /// The card, when one was found or its corners were given.
    pub card: Option<CardReading>,
    /// How well the card's patches were fitted, each one left out in turn; none without a card, and for a card that is too
    /// plain to tell of colours: then a warning says how far off these may be.
    pub fit: Option<FitSummary>,
    /// What the user should know, the gravest first.
    pub warnings: Vec<Warning>,
    /// The regions that could be measured.
    pub regions: Vec<RegionReading>,
    /// Where the time went.
    pub seconds: Seconds,
}

/// The card as it lies in the photo.
#[derive(Clone, Debug)]
pub struct CardReading {
    /// The card's id.
    pub id: String,
    /// Id of the edition used.
    pub edition: String,
    /// Corners of the patch grid in upright photo pixels, ordered as in [`Request::corners_px`].
    pub corners_px: [[f64; 2]; 4],
    /// Whether the photo shows the card as in a mirror.
    pub mirrored: bool,
    /// Millimetres between patch centres, where the card's size is known.
    pub pitch_mm: Option<f64>,
    /// The patches in the card's own order.
    pub patches: Vec<PatchReading>,
}

/// One patch of the card.
#[derive(Clone, Debug)]
pub struct PatchReading {
    /// The patch's id on the card.
    pub id: String,
    /// Its centre in upright photo pixels.
    pub centre_px: [f64; 2],
    /// Robust mean in linear working RGB.
    pub device_linear_rgb: [f64; 3],
    /// Share of pixels at the end of the scale, per channel.
    pub clipped_share: [f64; 3],
    /// Share of pixels in a bright tail.
    pub glare_share: f64,
    /// Whether it took part in the fit: what lies outside the photo, in a reflection or under something did not.
    pub in_fit: bool,
    /// The published colour.
    pub lab_reference: colour::Lab,
    /// The colour by the fit to all patches.
    pub lab_measured: colour::Lab,
    /// The colour by a fit made without this patch.
    pub lab_left_out: Option<colour::Lab>,
    /// ΔE2000 of `lab_left_out` to the published colour.
    pub left_out_de00: Option<f64>,
    /// Covariance stated without this patch, order L, a, b: the 90 % ellipsoid of a normal distribution with it is the
    /// region stated.
    pub left_out_covariance: Option<[[f64; 3]; 3]>,
    /// Whether the 90 % region stated without this patch holds the published colour.
    pub interval_holds: Option<bool>,
}

/// How well the card was fitted: ΔE2000 of its patches left out in turn, of those in the fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitSummary {
    /// Name and version of the fit.
    pub method: &'static str,
    /// Mean of the left-out errors.
    pub mean: f64,
    /// Median of the left-out errors.
    pub median: f64,
    /// Their 90th percentile.
    pub p90: f64,
}

/// The colour of a region.
#[derive(Clone, Debug)]
pub struct RegionReading {
    /// The name given in the request.
    pub name: String,
    /// Colour of the average light (XYZ averaged, then Lab).
    pub lab: colour::Lab,
    /// Covariance of `lab`, order L, a, b: `own` + Σ loading·loadingᵀ over `shared`.
    pub covariance: [[f64; 3]; 3],
    /// The part of it that no other reading shares: sampling of the grain, and what of the calibration's error moves
    /// with the colour.
    pub own: [[f64; 3]; 3],
    /// The parts shared with other readings, by named factor.
    pub shared: Vec<Shared>,
    /// Degrees of freedom behind the shared part (multivariate t).
    pub degrees_of_freedom: f64,
    /// Spread of the grain in L, a, b: between 0.5 and 10 mm where the card's size is known, else of all that is finer
    /// than a sixth of the region.
    pub grain_sd: [f64; 3],
    /// Pixels in the region.
    pub pixels: usize,
    /// Its area, where the card's size is known.
    pub area_mm2: Option<f64>,
    /// Share of the drawn area that was left out of the colour, 0..1.
    pub left_out_share: f64,
    /// How even it is, spots included; none where it is too small for that.
    pub evenness: Option<Evenness>,
    /// Direction in which the grain runs, degrees from the photo's width towards its foot, 0..180; none where it is not
    /// clear.
    pub grain_direction_deg: Option<f64>,
}

/// A loading on a named shared error factor.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared {
    /// What is shared.
    pub factor: Factor,
    /// Columns of the loading: ΔLab per unit of each of the factor's three standard normal components.
    pub loading: [[f64; 3]; 3],
}

/// An error that readings have in common.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Factor {
    /// The physical card: its age and how far its patches are off the published values. Shared by all photos of it.
    Card(String),
    /// The light and camera of the photo: what a fit to few patches cannot know of them.
    PhotoLight,
    /// This photo's fit around a lightness: colours near it are off by the same.
    PhotoFit {
        /// CIELAB L*.
        lightness: u8,
    },
    /// The slope of the light and of its colour over the frame, away from the card.
    PhotoSlope(Along),
    /// What falls on part of the card, a shadow or a reflection: whether it falls on the work as well.
    PhotoCast,
    /// How far readings drift from photo to photo, as the user's check tile shows.
    Drift,
}

/// A direction of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Along {
    /// Along its rows.
    Rows,
    /// Along its columns.
    Columns,
}

impl std::fmt::Display for Along {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Rows => "rows",
            Self::Columns => "columns",
        })
    }
}

impl std::fmt::Display for Factor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Card(id) => write!(f, "card:{id}"),
            Self::PhotoLight => f.write_str("photo:light"),
            Self::PhotoFit { lightness } => write!(f, "photo:fit:{lightness}"),
            Self::PhotoSlope(along) => write!(f, "photo:slope:{along}"),
            Self::PhotoCast => f.write_str("photo:cast"),
            Self::Drift => f.write_str("photo:drift"),
        }
    }
}

/// Wall seconds by stage.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seconds {
    /// File to pixels.
    pub decode: f64,
    /// Pixels to the card's corners.
    pub find: f64,
    /// Patches to the fit with its left-out errors.
    pub fit: f64,
    /// Of that, fitting without each patch.
    pub left_out: f64,
    /// The regions.
    pub regions: f64,
    /// All of it.
    pub total: f64,
}
