//! Rendered photos through the whole reading: what a seed gave, against the truth known.

use card::{Limits, PhotoReading, Request};
use colour::Lab;
use nalgebra::{Matrix3, Vector3};

/// 90 % point of χ² with three degrees of freedom: the stated region is the ellipsoid dᵀΣ⁻¹d ≤ this.
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
pub const CHI2_3_AT_90: f64 = 6.251;

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
    /// Squared distance of the truth in the stated covariance.
    pub distance2: f64,
    /// Geometric mean of the ellipsoid's half axes, CIELAB units.
    pub half_width: f64,
}

/// The difference of two panels of one photo.
pub struct Pair {
    /// Length of the error of the difference, CIELAB units.
    pub error: f64,
    /// Squared distance of the true difference in its own covariance.
    pub distance2: f64,
    /// Geometric mean of that ellipsoid's half axes.
    pub half_width: f64,
}

/// Renders the scene of a seed and reads it.
///
/// # Errors
/// Words where the photo could not be rendered or read at all.
pub fn outcome(seed: u64) -> Result<Outcome, String> {
    let scene = scene::draw(seed).map_err(|error| format!("seed {seed}: {error}"))?;
    let rendered = scene::render(&scene).map_err(|error| format!("seed {seed}: {error}"))?;
    let bytes = scene::jpeg(&rendered, &scene.file).map_err(|error| format!("seed {seed}: {error}"))?;
    let truth = rendered.truth;
    let regions = truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect();
    let photo = card::decode(&bytes, &Limits::default()).map_err(|error| format!("seed {seed}: {error}"))?;
    let request = Request { regions, ..Request::default() };
    let reading = card::read(&photo, &request, &|_| true).map_err(|error| format!("seed {seed}: {error}"))?;
    Ok(judge(seed, &reading, &truth))
}

fn judge(seed: u64, reading: &PhotoReading, truth: &scene::Truth) -> Outcome {
    let corner_off_px = match (&reading.card, truth.card_corners_px) {
        (Some(card), Some(wanted)) => corner_off(card.corners_px, wanted),
        _ => f64::INFINITY,
    };
    let pitch = truth.card_corners_px.map_or(0.0, |c| (c[1][0] - c[0][0]).hypot(c[1][1] - c[0][1]) / 6.0);
    let mirrored = reading.card.as_ref().is_some_and(|card| card.mirrored == truth.mirrored);
    let found = corner_off_px < 0.3 * pitch && mirrored;
    let panels = if found { panels(reading, truth) } else { Vec::new() };
    Outcome {
        seed,
        found,
        corner_off_px,
        left_out_de00: reading.fit.as_ref().map_or(f64::NAN, |fit| fit.mean),
        pairs: if found { pairs(reading, truth) } else { Vec::new() },
        panels,
        panels_wanted: truth.panels.len(),
    }
}

fn corner_off(found: [[f64; 2]; 4], wanted: [[f64; 2]; 4]) -> f64 {
    found.iter().zip(wanted).map(|(f, w)| (f[0] - w[0]).hypot(f[1] - w[1])).fold(0.0, f64::max)
}

fn panels(reading: &PhotoReading, truth: &scene::Truth) -> Vec<Panel> {
    let both = reading.regions.iter().filter_map(|region| {
        let panel = truth.panels.iter().find(|panel| panel.name == region.name)?;
        Some((region, Lab::new(panel.lab[0], panel.lab[1], panel.lab[2])))
    });
    both.map(|(region, wanted)| {
        let off = vector(region.lab) - vector(wanted);
        let (distance2, half_width) = ellipsoid(off, matrix(region.covariance));
        Panel { de00: colour::de2000(region.lab, wanted), distance2, half_width }
    })
    .collect()
}

fn pairs(reading: &PhotoReading, truth: &scene::Truth) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for (at, first) in reading.regions.iter().enumerate() {
        for second in &reading.regions[at + 1..] {
            let wanted = |name: &str| truth.panels.iter().find(|panel| panel.name == name).map(|panel| panel.lab);
            let (Some(lab1), Some(lab2)) = (wanted(&first.name), wanted(&second.name)) else { continue };
            let off = vector(first.lab) - vector(second.lab) - (Vector3::from(lab1) - Vector3::from(lab2));
            let mut covariance = matrix(first.own) + matrix(second.own);
            for shared in &first.shared {
                let loading = matrix(shared.loading);
                let other = second.shared.iter().find(|other| other.factor == shared.factor);
                let difference = loading - other.map_or_else(Matrix3::zeros, |other| matrix(other.loading));
                covariance += difference * difference.transpose();
            }
            let (distance2, half_width) = ellipsoid(off, covariance);
            pairs.push(Pair { error: off.norm(), distance2, half_width });
        }
    }
    pairs
}

impl Panel {
    /// Whether the stated 90 % ellipsoid holds the truth.
    pub fn holds(&self) -> bool {
        self.distance2 <= CHI2_3_AT_90
    }
}

impl Pair {
    /// Whether the stated 90 % ellipsoid of the difference holds the truth.
    pub fn holds(&self) -> bool {
        self.distance2 <= CHI2_3_AT_90
    }
}

/// The squared distance of the offset in this covariance, and the geometric mean of its 90 % ellipsoid's half axes.
fn ellipsoid(off: Vector3<f64>, covariance: Matrix3<f64>) -> (f64, f64) {
    let half_width = (CHI2_3_AT_90.powi(3) * covariance.determinant().max(0.0)).powf(1.0 / 6.0);
    let distance2 = covariance.try_inverse().map_or(f64::INFINITY, |inverse| (off.transpose() * inverse * off).x);
    (distance2, half_width)
}

fn vector(lab: Lab) -> Vector3<f64> {
    Vector3::new(lab.l, lab.a, lab.b)
}

fn matrix(rows: [[f64; 3]; 3]) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| rows[row][column])
}

/// The value below which this share of the values lies; not a number for none.
pub fn quantile(values: impl IntoIterator<Item = f64>, share: f64) -> f64 {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    let at = ((values.len() as f64 - 1.0) * share).round().max(0.0) as usize;
    values.get(at).copied().unwrap_or(f64::NAN)
}
