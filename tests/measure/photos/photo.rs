//! One photo, read.

use std::path::Path;

use acceptance::figures::mean;
use acceptance::stated::{CHI2_3_AT_90, Stated};
use card::{CardReading, Limits, PatchReading, PhotoReading, Request, Seconds};
use nalgebra::{Matrix3, Vector3};

use crate::grid;
use crate::manifest::{Chart, Listed};
use crate::quality::Quality;

/// Linear light of a channel from which on a patch counts as clipped.
const CLIPPED_FROM: f64 = 0.99;
/// Linear light up to which a patch is black: all channels at the last code above nothing, or at nothing (1/255 on the
/// straight part of the sRGB curve, IEC 61966-2-1:1999).
const BLACK_TO: f64 = 1.0 / 255.0 / 12.92;
/// Side of each of the four regions that are measured for the time they take, over the frame's shorter side.
const REGION_SHARE: f64 = 0.2;

/// A photo: what is known of it, and what was read.
pub(crate) struct Photo {
    pub(crate) listed: Listed,
    pub(crate) outcome: Result<Outcome, String>,
}

/// What the reading made of a photo.
pub(crate) struct Outcome {
    pub(crate) seconds: Seconds,
    pub(crate) warnings: Vec<&'static str>,
    pub(crate) card: Option<Found>,
}

/// A card that was found.
pub(crate) struct Found {
    /// Every patch lies in its own patch of the known grid.
    pub(crate) right: bool,
    pub(crate) mirrored: bool,
    pub(crate) edition: String,
    pub(crate) pitch_px: f64,
    /// Patches with a channel at the top.
    pub(crate) clipped: usize,
    /// Patches at the bottom in all channels.
    pub(crate) black: usize,
    pub(crate) quality: Quality,
    pub(crate) patches: Vec<Patch>,
    /// As it was read.
    pub(crate) card: CardReading,
}

/// A patch that was left out.
pub(crate) struct Patch {
    /// ΔE2000 of the prediction made without it.
    pub(crate) de00: f64,
    /// It looks like wood: hue 40° to 90° at a chroma over 10, or neutral with L* 25 to 85.
    pub(crate) wood: bool,
    /// Whether the region stated without it holds its published colour.
    pub(crate) holds: bool,
    /// That region.
    pub(crate) stated: Option<Stated>,
}

impl Photo {
    pub(crate) fn read(folder: &Path, listed: Listed, by_hand: bool) -> Self {
        let corners_px = listed.known.filter(|_| by_hand).map(|(corners, _)| corners);
        let outcome = read(&folder.join(&listed.file), corners_px).map(|reading| Outcome::new(&reading, &listed));
        Self { listed, outcome }
    }

    /// The card, where one was found.
    pub(crate) fn card(&self) -> Option<&Found> {
        self.outcome.as_ref().ok()?.card.as_ref()
    }

    /// The card, where it was found where it lies.
    pub(crate) fn right(&self) -> Option<&Found> {
        self.card().filter(|card| card.right)
    }

    /// Whether the photo counts as that.
    pub(crate) fn is(&self, chart: Chart) -> bool {
        self.listed.chart == chart
    }
}

fn read(path: &Path, corners_px: Option<[[f64; 2]; 4]>) -> Result<PhotoReading, String> {
    let bytes = std::fs::read(path).map_err(|error| error.to_string())?;
    let photo = card::decode(&bytes, &Limits::default()).map_err(|error| error.to_string())?;
    let regions = four_regions(f64::from(photo.width_px), f64::from(photo.height_px));
    let request = Request { corners_px, regions, ..Request::default() };
    card::read(&photo, &request, &|_| true).map_err(|error| error.to_string())
}

/// A square in each corner of the frame.
fn four_regions(width: f64, height: f64) -> Vec<(String, Vec<[f64; 2]>)> {
    let side = REGION_SHARE * width.min(height);
    let square = |x: f64, y: f64| vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]];
    [(0.0, 0.0), (width - side, 0.0), (width - side, height - side), (0.0, height - side)]
        .into_iter()
        .enumerate()
        .map(|(k, (x, y))| (format!("corner {}", k + 1), square(x, y)))
        .collect()
}

impl Outcome {
    fn new(reading: &PhotoReading, listed: &Listed) -> Self {
        // The squares in the frame's corners are measured for their time alone.
        let codes = reading.warnings.iter().map(|warning| warning.code);
        let warnings: Vec<&'static str> = codes.filter(|code| !code.starts_with("region-")).collect();
        let blurred = warnings.contains(&"blurred");
        let card = reading.card.as_ref().map(|card| Found::new(card, listed, blurred));
        Self { seconds: reading.seconds, warnings, card }
    }
}

impl Found {
    fn new(card: &CardReading, listed: &Listed, blurred: bool) -> Self {
        let brightest = |patch: &&PatchReading| patch.device_linear_rgb.iter().copied().fold(0.0, f64::max);
        let clipped = card.patches.iter().filter(|patch| brightest(patch) > CLIPPED_FROM).count();
        let pitch_px = grid::pitch_px(card);
        Self {
            right: listed.known.is_some_and(|(corners, gap)| grid::right(card, &corners, gap)),
            mirrored: card.mirrored,
            edition: card.edition.clone(),
            pitch_px,
            clipped,
            black: card.patches.iter().filter(|patch| brightest(patch) <= BLACK_TO).count(),
            quality: Quality::new(clipped, pitch_px, blurred),
            patches: card.patches.iter().filter_map(Patch::new).collect(),
            card: card.clone(),
        }
    }

    /// Mean left-out error.
    pub(crate) fn mean(&self) -> f64 {
        mean(self.patches.iter().map(|patch| patch.de00))
    }

    /// Mean left-out error of the patches that look like wood.
    pub(crate) fn wood(&self) -> f64 {
        mean(self.patches.iter().filter(|patch| patch.wood).map(|patch| patch.de00))
    }

    /// Share of patches whose stated region holds, 0–1.
    pub(crate) fn held(&self) -> f64 {
        mean(self.patches.iter().map(|patch| f64::from(u8::from(patch.holds))))
    }
}

impl Patch {
    fn new(patch: &PatchReading) -> Option<Self> {
        let (de00, holds) = (patch.left_out_de00?, patch.interval_holds?);
        let (want, got) = (patch.lab_reference, patch.lab_left_out?);
        let off = Vector3::new(want.l - got.l, want.a - got.a, want.b - got.b);
        let stated = |rows: [[f64; 3]; 3]| Stated::new(off, Matrix3::from_fn(|i, j| rows[i][j]), CHI2_3_AT_90);
        Some(Self { de00, wood: is_wood(want), holds, stated: patch.left_out_covariance.map(stated) })
    }
}

fn is_wood(lab: colour::Lab) -> bool {
    let (l, chroma, hue) = colour::lch_from_lab(lab);
    (chroma > 10.0 && (40.0..=90.0).contains(&hue)) || (chroma < 5.0 && l > 25.0 && l < 85.0)
}
