//! What goes into a fit and what comes out.

use nalgebra::Matrix3;

use crate::Lab;

/// Name and version of the method, kept with every reading made by it.
pub const METHOD: &str = "map39 4";

/// The same where only exposure and white could be set.
pub const METHOD_WHITE: &str = "white 1";

/// One patch of the card as the photo recorded it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Median of the patch in the linear working RGB, 0..=1 (slightly outside is allowed).
    pub device: [f64; 3],
    /// Channels that are clipped at the top: the true value is at least the recorded one.
    pub clipped: [bool; 3],
    /// Reference colour of the patch (ignored by [`super::fit_editions`], which is given its own).
    pub lab: Lab,
    /// Centre of the patch on the card, -1..=1 from left to right and from top to bottom.
    pub place: [f64; 2],
    /// The same centre in patch pitches (column, row).
    pub pitch_place: [f64; 2],
    /// Glare lies on the patch: it is predicted, but does not take part in the fit.
    pub glared: bool,
}

/// The linear RGB space the photo's pixels are in. Its curve is that of sRGB, whatever its primaries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Working {
    /// Linear RGB to XYZ relative to D50, Y = 1 for white.
    pub xyz_from_rgb: Matrix3<f64>,
}

/// Why no fit was made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalibrationError {
    /// Too few patches can be used.
    #[error(
        "{usable} of {given} patches can be used, at least {needed} are needed: photograph the card again, evenly lit and without glare"
    )]
    TooFewPatches {
        /// Patches given.
        given: usize,
        /// Patches with finite values and no glare.
        usable: usize,
        /// The least number that allows a fit.
        needed: usize,
    },
    /// Few patches, and no grey among them.
    #[error(
        "none of the card's {given} patches is a white or grey that can be used: name the card that is in the photo, and expose so that its white is not clipped"
    )]
    NoGrey {
        /// Patches given.
        given: usize,
    },
    /// An edition of the card does not list one colour for each patch.
    #[error("edition {edition} of the card lists {listed} colours for {given} patches: give one colour for each patch")]
    EditionLength {
        /// Place of the edition in the list, from 0.
        edition: usize,
        /// Colours in that edition.
        listed: usize,
        /// Patches given.
        given: usize,
    },
    /// No edition was given.
    #[error("no reference colours were given: name at least one edition of the card")]
    NoEdition,
    /// The prior's text is not as expected.
    #[error("calibration prior, line {line}: {problem}: restore the file that came with the program")]
    Prior {
        /// Line in the text, from 1.
        line: usize,
        /// What is wrong.
        problem: String,
    },
    /// The numbers ran away.
    #[error(
        "the patches' colours could not be fitted to the card's ({problem}): check that the right card is named and its corners are right"
    )]
    NotFitted {
        /// What failed.
        problem: String,
    },
}

/// Prediction for a patch by a fit that never saw it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// Predicted colour.
    pub lab: Lab,
    /// CIEDE2000 to the reference.
    pub de00: f64,
    /// Scale matrix of the multivariate t stated around the prediction, in (L*, a*, b*): the 90 % region is
    /// dᵀΣ⁻¹d ≤ [`region_radius_squared`](super::region_radius_squared)(0.9, `degrees_of_freedom`).
    pub covariance: Matrix3<f64>,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Whether the stated 90 % region around the prediction contains the reference.
    pub holds: bool,
}

/// How the light changes within the patches, each of which is one colour: the light's slopes as they show without any fit.
/// Along the card's rows and along its columns, per unit of [`Sample::place`]: log of all light, and of red and of blue
/// light over green.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gradients {
    /// The slopes.
    pub slope: [[f64; 3]; 2],
    /// Their standard errors.
    pub error: [[f64; 3]; 2],
}

/// What falls on part of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Cast {
    /// What it is.
    pub kind: CastKind,
    /// Of a shadow, the share of the light that is gone where it is whole; of a reflection, its light at its middle, as a share
    /// of what the lightest patch has.
    pub strength: f64,
    /// Share of it that falls on each patch.
    pub shares: Vec<f64>,
}

/// What may fall on part of the card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CastKind {
    /// A shadow: less light.
    Shadow,
    /// A soft reflection: light from the card's surface, on top of its colour.
    Reflection,
}

/// How the light changes across the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightSlope {
    /// Fall-off between the brightest and the darkest place of the card, in percent of the brightest.
    pub fall_off_percent: f64,
    /// Standard error of that.
    pub fall_off_error_percent: f64,
    /// Change of red over blue light from one side of the card to the other, in its natural log.
    pub colour_change: f64,
    /// Slope of log light per unit of [`Sample::place`], shrunk: what is used beside the card.
    pub beside: [f64; 2],
    /// Covariance of what is not known of that slope, per axis: of all light, and of red and of blue beyond that.
    pub beside_covariance: [Matrix3<f64>; 2],
}

impl Working {
    /// Linear sRGB, adapted from D65 to D50 by Bradford.
    pub fn srgb() -> Self {
        Self { xyz_from_rgb: crate::rgb::xyz_from_linear_srgb_matrix() }
    }
}
