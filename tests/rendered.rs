//! Rendered photos through the whole reading: what a seed gave, against the truth known.

use card::{Limits, PhotoReading, RegionReading, Request};
use colour::Lab;
use nalgebra::{Matrix3, Vector3};

use crate::stated::{CHI2_3_AT_90, Stated};

/// One photo, read.
pub struct Outcome {
    /// The seed of the scene.
    pub seed: u64,
    /// Whether the right card was found the right way round.
    pub found: bool,
    /// Furthest corner from the truth, pixels.
    pub corner_off_px: f64,
    /// Mean left-out error, ΔE2000.
    pub left_out_de00: f64,
    /// The panels of wood; empty where the card was not found.
    pub panels: Vec<Panel>,
    /// How many panels there were to read.
    pub panels_wanted: usize,
    /// Differences between two panels of the photo.
    pub pairs: Vec<Pair>,
}

/// One panel of wood.
pub struct Panel {
    /// ΔE2000 to the truth.
    pub de00: f64,
    /// The stated 90 % ellipsoid, and where the truth lies in it.
    pub stated: Stated,
}

/// The difference of two panels of one photo.
pub struct Pair {
    /// How far apart the two panels truly are, CIELAB units.
    pub apart: f64,
    /// Length of the error of the difference, CIELAB units.
    pub error: f64,
    /// The ellipsoid stated of the difference, and where the true one lies in it.
    pub stated: Stated,
    /// Whether the interval told of its ΔE2000 holds the true one.
    pub told_holds: bool,
}

/// Renders the scene of a seed and reads it.
///
/// # Errors
/// Words where the photo could not be rendered or read at all.
pub fn outcome(seed: u64) -> Result<Outcome, String> {
    let scene = scene::draw(seed).map_err(|error| format!("seed {seed}: {error}"))?;
    let (reading, truth) = photographed(&scene).map_err(|error| format!("seed {seed}: {error}"))?;
    Ok(judge(seed, &reading, &truth))
}

/// Renders a scene, stores it as its file options say, and reads its panels.
///
/// # Errors
/// Words where the photo could not be rendered or read at all.
pub fn photographed(scene: &scene::Scene) -> Result<(PhotoReading, scene::Truth), String> {
    let rendered = scene::render(scene).map_err(|error| error.to_string())?;
    let bytes = scene::jpeg(&rendered, &scene.file).map_err(|error| error.to_string())?;
    let reading = read_file(&bytes, &rendered.truth)?;
    Ok((reading, rendered.truth))
}

/// Reads the panels of a photo's file.
///
/// # Errors
/// Words where it could not be read at all.
pub fn read_file(bytes: &[u8], truth: &scene::Truth) -> Result<PhotoReading, String> {
    let regions = truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect();
    let photo = card::decode(bytes, &Limits::default()).map_err(|error| error.to_string())?;
    let request = Request { regions, ..Request::default() };
    card::read(&photo, &request, &|_| true).map_err(|error| error.to_string())
}

/// Whether the card was found where it lies, the right way round, and how far its furthest corner is off, pixels.
pub fn found(reading: &PhotoReading, truth: &scene::Truth) -> (bool, f64) {
    let off = match (&reading.card, truth.card_corners_px) {
        (Some(card), Some(wanted)) => corner_off(card.corners_px, wanted),
        _ => f64::INFINITY,
    };
    let pitch = truth.card_corners_px.map_or(0.0, |c| (c[1][0] - c[0][0]).hypot(c[1][1] - c[0][1]) / 6.0);
    let mirrored = reading.card.as_ref().is_some_and(|card| card.mirrored == truth.mirrored);
    (off < 0.3 * pitch && mirrored, off)
}

fn judge(seed: u64, reading: &PhotoReading, truth: &scene::Truth) -> Outcome {
    let (found, corner_off_px) = found(reading, truth);
    Outcome {
        seed,
        found,
        corner_off_px,
        left_out_de00: reading.fit.as_ref().map_or(f64::NAN, |fit| fit.mean),
        panels: if found { panels(reading, truth) } else { Vec::new() },
        pairs: if found { pairs(reading, truth) } else { Vec::new() },
        panels_wanted: truth.panels.len(),
    }
}

fn corner_off(found: [[f64; 2]; 4], wanted: [[f64; 2]; 4]) -> f64 {
    found.iter().zip(wanted).map(|(f, w)| (f[0] - w[0]).hypot(f[1] - w[1])).fold(0.0, f64::max)
}

/// The panels read, held against their truth.
pub fn panels(reading: &PhotoReading, truth: &scene::Truth) -> Vec<Panel> {
    let both = reading.regions.iter().filter_map(|region| Some((region, truth_of(truth, &region.name)?)));
    both.map(|(region, wanted)| {
        let off = vector(region.lab) - vector(wanted);
        let stated = Stated::new(off, matrix(region.covariance), CHI2_3_AT_90);
        Panel { de00: colour::de2000(region.lab, wanted), stated }
    })
    .collect()
}

/// The differences between all panels read, held against the true ones.
pub fn pairs(reading: &PhotoReading, truth: &scene::Truth) -> Vec<Pair> {
    let mut pairs = Vec::new();
    let told = workbench::task::differences(&reading.regions).pairs;
    let interval_of = |first: &RegionReading, second: &RegionReading| {
        told.iter().find(|pair| pair.a == first.name && pair.b == second.name).map(|pair| pair.found.de00)
    };
    for (at, first) in reading.regions.iter().enumerate() {
        for second in &reading.regions[at + 1..] {
            let (Some(lab1), Some(lab2)) = (truth_of(truth, &first.name), truth_of(truth, &second.name)) else {
                continue;
            };
            let apart = vector(lab1) - vector(lab2);
            let off = vector(first.lab) - vector(second.lab) - apart;
            let stated = Stated::new(off, covariance_of_difference(first, second), CHI2_3_AT_90);
            let de00 = colour::de2000(lab1, lab2);
            let told_holds = interval_of(first, second).is_some_and(|told| (told.low..=told.high).contains(&de00));
            pairs.push(Pair { apart: apart.norm(), error: off.norm(), stated, told_holds });
        }
    }
    pairs
}

/// What two readings do not share is added, what they share is subtracted first (any textbook).
fn covariance_of_difference(first: &RegionReading, second: &RegionReading) -> Matrix3<f64> {
    let mut covariance = matrix(first.own) + matrix(second.own);
    for shared in &first.shared {
        let other = second.shared.iter().find(|other| other.factor == shared.factor);
        let loading = matrix(shared.loading) - other.map_or_else(Matrix3::zeros, |other| matrix(other.loading));
        covariance += loading * loading.transpose();
    }
    covariance
}

fn truth_of(truth: &scene::Truth, name: &str) -> Option<Lab> {
    let panel = truth.panels.iter().find(|panel| panel.name == name)?;
    Some(Lab::new(panel.lab[0], panel.lab[1], panel.lab[2]))
}

fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}

fn matrix(rows: [[f64; 3]; 3]) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| rows[row][column])
}
