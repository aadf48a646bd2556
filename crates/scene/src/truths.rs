//! What is true of a rendered photo.

use serde::{Deserialize, Serialize};

/// The truth about one rendered photo. As JSON with these names.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Truth {
    /// Width of the upright photo.
    pub width_px: u32,
    /// Height of the upright photo.
    pub height_px: u32,
    /// Outer corners of the grid of patches: the outer corner of the first patch of the first row first, then along that
    /// row, then round. `None` without a card.
    pub card_corners_px: Option<[[f64; 2]; 4]>,
    /// The card is seen in a mirror: its corners run the other way round.
    pub mirrored: bool,
    /// Lab (D50, 2°) of each patch of this very card, row by row: off the published value, as cards are.
    pub patches_lab: Vec<[f64; 3]>,
    /// The wood panels.
    pub panels: Vec<PanelTruth>,
}

/// One panel of wood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PanelTruth {
    /// Its name.
    pub name: String,
    /// A region well inside it.
    pub polygon_px: Vec<[f64; 2]>,
    /// Lab (D50, 2°) of the mean XYZ of all its pixels, as rendered.
    pub lab: [f64; 3],
}

impl Truth {
    /// The truth as indented JSON.
    ///
    /// # Errors
    /// None in practice: all fields are numbers and text.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}
