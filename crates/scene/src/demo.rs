//! The photos of the demo pieces, from a short description kept as JSON in `demo/`. All their data are invented.

mod bureau;
mod chest;
mod stage;

use crate::draw::{draw_patches, draw_sensitivities};
use crate::{
    Camera, Card, Error, FigureKind, FileOptions, Light, LightKind, Observer, Profile, Scene, Spectrum, Tables, Truth,
};
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde::{Deserialize, Serialize};
use stage::Stage;

/// Standard deviation of this card's patches from their published values, ΔE2000.
const PATCH_SD_DE00: f64 = 0.4;
const FRAME_PX: [u32; 2] = [1600, 1200];

/// The photos of one piece.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Description {
    /// Name of the piece: its folder in `demo-projects`.
    pub piece: String,
    /// That the data are invented.
    pub note: String,
    /// Seed of the piece's card and camera.
    pub seed: u64,
    /// One by one.
    pub photos: Vec<Photo>,
}

/// One photo.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// File name.
    pub file: String,
    /// Seed of the noise and of the pose.
    pub seed: u64,
    /// What is seen.
    pub view: View,
    /// Illuminant, as in the table of illuminants.
    pub light: Lamp,
    /// Share of the light lost over the frame.
    pub slope: f64,
    /// Direction in which it falls off, 0 to the right, clockwise.
    pub slope_deg: f64,
    /// Centre of the card, its width, its turn clockwise.
    pub card: CardPlace,
    /// The wood that is read.
    pub panels: Vec<Panel>,
}

/// What a photo shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum View {
    /// The front of a chest of six drawers.
    Chest,
    /// A bureau with a fall front, a little from the right.
    Bureau,
    /// Boards on a bench.
    Boards,
}

/// A light by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lamp {
    /// D50.
    Daylight,
    /// Illuminant A.
    Tungsten,
}

/// Where the card lies.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardPlace {
    /// Centre on the stage.
    pub centre_mm: [f64; 2],
    /// Width of its grid.
    pub width_mm: f64,
    /// Turn clockwise.
    pub turn_deg: f64,
}

/// A piece of wood in one state.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Part, or swatch on a board.
    pub name: String,
    /// Surface state, in words.
    pub state: String,
    /// Mean Lab (D50, 2°) of its region.
    pub lab: [f64; 3],
    /// Wood.
    pub figure: FigureKind,
    /// Grain strength.
    #[serde(default = "one")]
    pub grain: f64,
    /// Patchiness: spread of the depth of colour from place to place.
    #[serde(default)]
    pub blotch: f64,
    /// On a bench: x, y, width, height. Panels that touch are swatches of one board.
    #[serde(default)]
    pub place_mm: Option<[f64; 4]>,
    /// On a bench: seed of the board's grain.
    #[serde(default)]
    pub board: u32,
}

const fn one() -> f64 {
    1.0
}

/// The truth about one demo photo.
#[derive(Clone, Debug, Serialize)]
pub struct PhotoTruth {
    /// File name.
    pub file: String,
    /// Surface state of each panel, in the order of the truth's panels.
    pub states: Vec<String>,
    /// The truth.
    #[serde(flatten)]
    pub truth: Truth,
}

impl Description {
    /// Reads a description.
    ///
    /// # Errors
    /// [`Error::Description`] saying what does not read.
    pub fn from_json(text: &str) -> Result<Self, Error> {
        serde_json::from_str(text).map_err(|err| Error::Description(err.to_string()))
    }

    /// The scene of one photo.
    ///
    /// # Errors
    /// When a panel the view needs is missing, or a colour is none wood can have.
    pub fn scene(&self, photo: &Photo) -> Result<Scene, Error> {
        let tables = Tables::read()?;
        let observer = Observer::d50(&tables)?;
        let mut rng = Pcg64::seed_from_u64(self.seed);
        let patches = draw_patches(&mut rng, &tables, &observer, PATCH_SD_DE00)?;
        let sensitivities = draw_sensitivities(&mut rng);
        let mut stage = Stage::new(&tables, photo, FRAME_PX)?;
        match photo.view {
            View::Chest => chest::build(&mut stage)?,
            View::Bureau => bureau::build(&mut stage)?,
            View::Boards => stage.boards()?,
        }
        let light = match photo.light {
            Lamp::Daylight => LightKind::D50,
            Lamp::Tungsten => LightKind::A,
        };
        let gap = 0.13;
        let corners_px = stage.card_corners(photo.card, [6.0 - gap, 4.0 - gap]);
        Ok(Scene {
            seed: photo.seed,
            width_px: FRAME_PX[0],
            height_px: FRAME_PX[1],
            light: Light {
                spectrum: light.spectrum(&tables)?,
                level: 1.0,
                slope: photo.slope,
                slope_rad: photo.slope_deg.to_radians(),
            },
            camera: Camera {
                sensitivities,
                balance: [1.01, 1.0, 0.985],
                exposure: 0.86,
                shot_noise: 0.006,
                read_noise: 0.0012,
                veil: 0.004,
                blur_px: 0.55,
                tone: [0.15, 0.16, 0.14],
            },
            surfaces: stage.surfaces,
            card: Some(Card { columns: 6, patches, frame: Spectrum::flat(0.042), gap, border: 0.16, corners_px }),
            file: FileOptions { quality: 92, orientation: 1, profile: Profile::Plain },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{de76, truth};

    /// The truths stored beside the descriptions are what the descriptions give.
    #[test]
    fn stored_truths_hold() {
        let demos = [
            (include_str!("../demo/oak-chest.json"), include_str!("../demo/oak-chest.truth.json")),
            (include_str!("../demo/cherry-bureau.json"), include_str!("../demo/cherry-bureau.truth.json")),
        ];
        for (text, stored) in demos {
            let description = Description::from_json(text).unwrap();
            assert!(description.note.to_lowercase().contains("invented"));
            let stored: Vec<serde_json::Value> = serde_json::from_str(stored).unwrap();
            assert_eq!(stored.len(), description.photos.len());
            assert!((4..=8).contains(&stored.len()));
            for (photo, stored) in description.photos.iter().zip(&stored) {
                let truth = truth(&description.scene(photo).unwrap()).unwrap();
                let stored: Truth = serde_json::from_value(stored.clone()).unwrap();
                for (found, kept) in truth.panels.iter().zip(&stored.panels) {
                    assert_eq!(found.name, kept.name);
                    assert!(de76(found.lab, kept.lab) < 1e-6, "{}", found.name);
                }
                for panel in &photo.panels {
                    let found = truth.panels.iter().find(|found| found.name == panel.name).unwrap();
                    assert!(de76(found.lab, panel.lab) < 1e-3, "{}: {:?}", panel.name, found.lab);
                }
            }
        }
    }

    #[test]
    fn a_wrong_description_is_one_clear_line() {
        let err = Description::from_json("{\"piece\": 3}").unwrap_err().to_string();
        assert!(err.contains("line 1") && !err.contains('\n'), "{err}");
    }
}
