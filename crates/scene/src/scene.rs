//! What a scene is made of.

use crate::{Camera, Error, Figure, FileOptions, Spectrum, Tables};

/// Everything a rendering depends on: the same scene gives the same bytes.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Seed of the sensor's noise and of the background's mottling.
    pub seed: u64,
    /// Width of the frame.
    pub width_px: u32,
    /// Height of the frame.
    pub height_px: u32,
    /// The light.
    pub light: Light,
    /// The camera.
    pub camera: Camera,
    /// Painted in this order; the first should fill the frame.
    pub surfaces: Vec<Surface>,
    /// The card, painted last.
    pub card: Option<Card>,
    /// How the photo is stored.
    pub file: FileOptions,
}

/// Kinds of light, all CIE illuminants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LightKind {
    /// Daylight at 5003 K.
    D50,
    /// Daylight at 6504 K.
    D65,
    /// Tungsten.
    A,
    /// White LED of 4103 K, LED-B3.
    Led,
    /// Narrow-band fluorescent, FL11.
    Fluorescent,
}

impl LightKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::D50, Self::D65, Self::A, Self::Led, Self::Fluorescent];

    /// Its name in the table of illuminants.
    pub const fn name(self) -> &'static str {
        match self {
            Self::D50 => "D50",
            Self::D65 => "D65",
            Self::A => "A",
            Self::Led => "LED-B3",
            Self::Fluorescent => "FL11",
        }
    }

    /// Its relative power.
    ///
    /// # Errors
    /// [`Error::Missing`] if the table was damaged.
    pub fn spectrum(self, tables: &Tables) -> Result<Spectrum, Error> {
        tables.light(self.name())
    }
}

/// The light over the frame: one spectrum, falling off in a straight line.
#[derive(Clone, Debug)]
pub struct Light {
    /// Relative power.
    pub spectrum: Spectrum,
    /// Level at the brightest corner.
    pub level: f64,
    /// Share lost from the brightest corner to the one opposite, 0–1.
    pub slope: f64,
    /// Direction in which it falls, 0 to the right, growing clockwise.
    pub slope_rad: f64,
}

/// The reference card: a grid of flat patches on a dark frame.
#[derive(Clone, Debug)]
pub struct Card {
    /// Patches along a row.
    pub columns: usize,
    /// Reflectance of each patch of this very card, row by row.
    pub patches: Vec<Spectrum>,
    /// Reflectance of its frame.
    pub frame: Spectrum,
    /// Gap between patches over their pitch.
    pub gap: f64,
    /// Frame around the grid over the pitch.
    pub border: f64,
    /// Outer corners of the grid: of the first patch of the first row first, along that row, then round.
    pub corners_px: [[f64; 2]; 4],
}

impl Card {
    /// Whether the corners run as in a mirror.
    pub fn mirrored(&self) -> bool {
        let area: f64 = (0..4)
            .map(|i| {
                let ([x0, y0], [x1, y1]) = (self.corners_px[i], self.corners_px[(i + 1) % 4]);
                x0 * y1 - x1 * y0
            })
            .sum();
        area < 0.0
    }
}

/// A flat thing in the picture: a rectangle of given size, seen as a quadrilateral.
#[derive(Clone, Debug)]
pub struct Surface {
    /// A named panel of wood has its truth told.
    pub name: Option<String>,
    /// What it is made of.
    pub material: Material,
    /// Width and height.
    pub size_mm: [f64; 2],
    /// Where its corners (0, 0), (w, 0), (w, h), (0, h) are seen.
    pub corners_px: [[f64; 2]; 4],
    /// Its outline within the rectangle.
    pub shape: Shape,
    /// Where its colour is told: a convex polygon in mm, well inside. Empty: the rectangle less a ninth on each side.
    pub region_mm: Vec<[f64; 2]>,
    /// Width of the softened edge, lit at the top and left, shaded at the foot and right.
    pub bevel_mm: f64,
    /// The shadow it throws on what was painted before.
    pub shadow: Option<Shadow>,
    /// Light on it relative to the rest.
    pub lit: f64,
}

/// A soft shadow.
#[derive(Clone, Copy, Debug)]
pub struct Shadow {
    /// How far it lies to the right and down.
    pub offset_mm: [f64; 2],
    /// Half the width of its soft edge.
    pub blur_mm: f64,
    /// Share of the light it takes.
    pub depth: f64,
}

/// Outline of a surface.
#[derive(Clone, Debug)]
pub enum Shape {
    /// The whole rectangle.
    Whole,
    /// The ellipse within it, shaded as a turned knob.
    Knob,
    /// A convex polygon, clockwise as seen.
    Polygon(Vec<[f64; 2]>),
}

/// What a surface is made of.
#[derive(Clone, Debug)]
pub enum Material {
    /// One reflectance all over.
    Flat(Spectrum),
    /// A bench, wall or cloth: one reflectance, its level mottled.
    Mottled {
        /// Mean reflectance.
        spectrum: Spectrum,
        /// Relative spread of the level.
        contrast: f64,
        /// Pitch of a weave; 0 for none.
        weave_mm: f64,
    },
    /// Wood: its reflectance is moved along K/S and towards its rays by the figure.
    Wood {
        /// Reflectance at the middle of the figure.
        base: Spectrum,
        /// Lab (D50, 2°) the mean of its region shall have; the base is corrected for it.
        wanted: Option<[f64; 3]>,
        /// Grain.
        figure: Figure,
    },
}
