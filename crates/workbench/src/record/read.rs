//! `read --json`: one object per photo.

use serde::Serialize;

use super::{DifferenceRecord, EvennessRecord};
use crate::task::{TileReadingRecord, TileRecord, differences};

/// What was read from one photo.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadRecord {
    /// The photo, as it was named.
    pub photo: String,
    /// Width of the upright photo.
    pub width_px: u32,
    /// Height of the upright photo.
    pub height_px: u32,
    /// The colour profile that was followed.
    pub profile: String,
    /// When the photo was taken, by its own data: RFC 3339, without an offset where the camera noted none; null where it says
    /// nothing.
    pub taken: Option<String>,
    /// The card; null where none was found.
    pub card: Option<CardInPhotoRecord>,
    /// The fit; null without a card.
    pub fit: Option<FitRecord>,
    /// What to know about the photo.
    pub warnings: Vec<WarningRecord>,
    /// The regions asked for.
    pub regions: Vec<RegionRecord>,
    /// Each two of them against each other.
    pub differences: Vec<DifferenceRecord>,
    /// Pairs of regions that are not told, of very many: those nearest to one another.
    pub differences_left_out: usize,
    /// The check tile and its record; null where no record was named.
    pub check_tile: Option<CheckTileRecord>,
    /// Where the time went.
    pub seconds: SecondsRecord,
}

/// The card as it lies in the photo.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardInPhotoRecord {
    /// Its id.
    pub id: String,
    /// The edition whose colours fitted best, or were asked for.
    pub edition: String,
    /// Whether it is seen as in a mirror.
    pub mirrored: bool,
    /// From the outer corner of the first patch of the first row along that row, then round.
    pub corners_px: [[f64; 2]; 4],
    /// Its patches, row by row.
    pub patches: Vec<PatchRecord>,
}

/// One patch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PatchRecord {
    /// Its id on the card.
    pub id: String,
    /// Its centre.
    pub centre_px: [f64; 2],
    /// Robust mean in linear working RGB.
    pub device_linear_rgb: [f64; 3],
    /// Whether it took part in the fit: no reflection or other thing lies on it.
    pub in_fit: bool,
    /// The published colour.
    pub lab_reference: [f64; 3],
    /// What a fit made without this patch says it is; null where nothing is left to fit.
    pub lab_left_out: Option<[f64; 3]>,
    /// ΔE2000 between the two.
    pub left_out_de00: Option<f64>,
    /// Whether the stated 90 % region holds the published colour.
    pub interval_holds: Option<bool>,
}

/// How well the card's patches were predicted by fits without them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FitRecord {
    /// Name and version of the fit.
    pub method: String,
    /// ΔE2000 of the patches in the fit, each left out in turn.
    pub left_out_de00: LeftOutRecord,
}

/// ΔE2000 of patches left out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LeftOutRecord {
    /// Mean.
    pub mean: f64,
    /// Median.
    pub median: f64,
    /// 90th percentile.
    pub p90: f64,
}

/// A warning.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WarningRecord {
    /// Stable code.
    pub code: String,
    /// What is wrong and what to do.
    pub text: String,
}

/// The colour of a region.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RegionRecord {
    /// The name it was asked for by.
    pub name: String,
    /// CIELAB, D50, 2°.
    pub lab: [f64; 3],
    /// Covariance of L*, a*, b*: the reading's own and all shared errors.
    pub covariance: [[f64; 3]; 3],
    /// Errors shared with other readings: their difference is surer than either.
    pub shared: Vec<SharedRecord>,
    /// Spread of the grain per axis.
    pub grain_sd: [f64; 3],
    /// Its area; null where the card's size is not known.
    pub area_mm2: Option<f64>,
    /// Share of the drawn area that was left out of the colour.
    pub left_out_share: f64,
    /// Direction in which the grain runs, degrees from the photo's width towards its foot; null where it is not clear.
    pub grain_direction_deg: Option<f64>,
    /// How even it is, spots included; null where it is too small for that.
    pub evenness: Option<EvennessRecord>,
}

/// An error shared between readings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SharedRecord {
    /// Which error.
    pub factor: String,
    /// Rows L*, a*, b*; columns the factor's three unit normals.
    pub loading: [[f64; 3]; 3],
}

/// The check tile in a photo, and its record once the photo is in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckTileRecord {
    /// CIELAB of the tile in this photo, D50, 2°; null where it was not looked for or could not be measured.
    pub lab: Option<[f64; 3]>,
    /// Whether the photo was in the record before: its reading has given way to this one.
    pub again: bool,
    /// Readings in the record.
    pub readings: usize,
    /// One standard deviation of their drift beyond their own errors, per axis; null for too few of them.
    pub drift_sd: Option<[f64; 3]>,
    /// Readings, before this command, whose drift is in the errors of this photo's regions; 0 where none is.
    pub counted_readings: usize,
}

/// Wall seconds by stage.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SecondsRecord {
    /// File to pixels.
    pub decode: f64,
    /// Pixels to corners.
    pub find: f64,
    /// Patches to the fit with its left-out errors.
    pub fit: f64,
    /// Of that, fitting without each patch.
    pub left_out: f64,
    /// Regions.
    pub regions: f64,
    /// All of it.
    pub total: f64,
}

impl ReadRecord {
    /// The record of a reading of the photo by this name. The check tile is no region of it.
    pub fn new(photo: &str, reading: &card::PhotoReading, check_tile: Option<CheckTileRecord>) -> Self {
        let differences = differences(&reading.regions);
        Self {
            photo: photo.to_owned(),
            width_px: reading.width_px,
            height_px: reading.height_px,
            profile: profile_words(&reading.profile),
            taken: reading.taken.clone(),
            card: reading.card.as_ref().map(CardInPhotoRecord::new),
            fit: reading.fit.as_ref().map(|fit| FitRecord {
                method: fit.method.to_owned(),
                left_out_de00: LeftOutRecord { mean: fit.mean, median: fit.median, p90: fit.p90 },
            }),
            warnings: reading
                .warnings
                .iter()
                .map(|warning| WarningRecord { code: warning.code.to_owned(), text: warning.text.clone() })
                .collect(),
            regions: reading.regions.iter().map(RegionRecord::new).collect(),
            differences: differences.pairs.iter().map(DifferenceRecord::new).collect(),
            differences_left_out: differences.left_out,
            check_tile,
            seconds: SecondsRecord {
                decode: reading.seconds.decode,
                find: reading.seconds.find,
                fit: reading.seconds.fit,
                left_out: reading.seconds.left_out,
                regions: reading.seconds.regions,
                total: reading.seconds.total,
            },
        }
    }
}

/// The profile's name, and why it was followed where the photo does not say so itself.
fn profile_words(profile: &card::Profile) -> String {
    use card::photo::ProfileOrigin;
    match profile.origin {
        ProfileOrigin::Embedded | ProfileOrigin::Exif => profile.name.clone(),
        ProfileOrigin::Assumed => format!("{} (assumed: the photo names none)", profile.name),
        ProfileOrigin::Unreadable => format!("{} (assumed: the photo's own cannot be read)", profile.name),
    }
}

impl CardInPhotoRecord {
    fn new(card: &card::CardReading) -> Self {
        let patches = card.patches.iter().map(|patch| PatchRecord {
            id: patch.id.clone(),
            centre_px: patch.centre_px,
            device_linear_rgb: patch.device_linear_rgb,
            in_fit: patch.in_fit,
            lab_reference: super::lab(patch.lab_reference),
            lab_left_out: patch.lab_left_out.map(super::lab),
            left_out_de00: patch.left_out_de00,
            interval_holds: patch.interval_holds,
        });
        Self {
            id: card.id.clone(),
            edition: card.edition.clone(),
            mirrored: card.mirrored,
            corners_px: card.corners_px,
            patches: patches.collect(),
        }
    }
}

impl CheckTileRecord {
    /// Of a photo's reading of the tile, if any, and the record that it was taken into; the errors of the photo's regions have
    /// the drift of so many readings in them.
    pub fn new(reading: Option<(&TileReadingRecord, bool)>, record: &TileRecord, counted_readings: usize) -> Self {
        Self {
            lab: reading.map(|(reading, _)| reading.lab),
            again: reading.is_some_and(|(_, again)| again),
            readings: record.readings.len(),
            drift_sd: record.drift().map(|drift| drift.sd()),
            counted_readings,
        }
    }
}

impl RegionRecord {
    fn new(region: &card::RegionReading) -> Self {
        let shared = region
            .shared
            .iter()
            .map(|shared| SharedRecord { factor: shared.factor.to_string(), loading: shared.loading });
        Self {
            name: region.name.clone(),
            lab: super::lab(region.lab),
            covariance: region.covariance,
            shared: shared.collect(),
            grain_sd: region.grain_sd,
            area_mm2: region.area_mm2,
            left_out_share: region.left_out_share,
            grain_direction_deg: region.grain_direction_deg,
            evenness: region.evenness.as_ref().map(EvennessRecord::new),
        }
    }
}
