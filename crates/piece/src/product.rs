//! Products: what is in the can.

use crate::ProductId;

/// A colouring product or a mix, as the user named it.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    /// Stable id.
    pub id: ProductId,
    /// The user's name for it.
    pub name: String,
    /// What carries the colour.
    pub kind: Kind,
    /// What thins it: 'white spirit', 'water', 'meths'.
    pub reducer: String,
    /// Square metres to the litre. None: the trade's default.
    pub coverage_m2_per_l: Option<f64>,
    /// Drying hours before the next step. None: the trade's default.
    pub drying_hours: Option<f64>,
    /// Batch or lot.
    pub lot: String,
    /// For a mix of two to four: the shares of other products. Empty for a product from the can.
    pub mix: Vec<Share>,
    /// Cautions of its own, from its label.
    pub cautions: Vec<String>,
    /// Free text.
    pub note: String,
}

impl Product {
    /// A product from the can of which nothing is said but its name and kind: the trade's coverage and drying hours, no reducer.
    pub fn new(id: ProductId, name: impl Into<String>, kind: Kind) -> Self {
        Self {
            id,
            name: name.into(),
            kind,
            reducer: String::new(),
            coverage_m2_per_l: None,
            drying_hours: None,
            lot: String::new(),
            mix: Vec::new(),
            cautions: Vec::new(),
            note: String::new(),
        }
    }
}

/// What carries the colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Dye in water.
    WaterDye,
    /// Dye in alcohol.
    AlcoholDye,
    /// Pigment in oil or water, wiped.
    Pigment,
    /// Pigment in a gel.
    Gel,
    /// Both dye and pigment.
    DyeAndPigment,
    /// A toner: colour in a thin clear coat.
    Toner,
    /// A glaze: colour in a slow base.
    Glaze,
    /// A filler.
    Filler,
}

/// One share of a mix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The product.
    pub product: ProductId,
    /// Parts by volume.
    pub parts: f64,
}
