//! What goes into a fit and what comes out.

use nalgebra::Matrix3;

use crate::{Lab, Xyz};

use super::Prior;

/// Name and version of the method, kept with every reading made by it.
pub const METHOD: &str = "map39 1";

/// One patch of the card as the photo recorded it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Median of the patch in the linear working RGB, 0..=1 (slightly outside is allowed).
    pub device: [f64; 3],
    /// Channels that are clipped at the top: the true value is at least the recorded one.
    pub clipped: [bool; 3],
    /// Reference colour of the patch (ignored by [`fit_editions`], which is given its own).
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
    /// Whether the stated 90 % region around the prediction contains the reference.
    pub holds: bool,
}

/// How the light changes across the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightSlope {
    /// Fall-off between the brightest and the darkest place of the card, in percent of the brightest.
    pub fall_off_percent: f64,
    /// Slope of log light per unit of [`Sample::place`], shrunk: what is used beside the card.
    pub beside: [f64; 2],
    /// Standard deviation of that slope, per axis.
    pub beside_sd: [f64; 2],
}

/// A fitted photo.
#[derive(Debug, Clone)]
pub struct Fit {
    /// Predictions for each patch by a fit without it, in the order of the samples; `None` where the sample has no
    /// finite value.
    pub left_out: Vec<Option<LeftOut>>,
    /// Which of the given editions fits best, from 0.
    pub edition: usize,
    /// How the light changes across the card.
    pub light: LightSlope,
}

impl Fit {
    /// Name and version of the method.
    pub fn method(&self) -> &'static str {
        METHOD
    }

    /// Colour of a linear working RGB under the light at the middle of the card.
    pub fn lab(&self, _device: [f64; 3]) -> Lab {
        Lab::new(0.0, 0.0, 0.0)
    }

    /// As [`Fit::lab`], as XYZ.
    pub fn xyz(&self, _device: [f64; 3]) -> Xyz {
        Xyz::new(0.0, 0.0, 0.0)
    }

    /// Colour of something beside the card: the light's shrunk slope is carried on to `place` (in the card's frame,
    /// -1..=1 on the card, further out beside it).
    pub fn lab_beside(&self, device: [f64; 3], _place: [f64; 2]) -> Lab {
        self.lab(device)
    }

    /// As [`Fit::lab_beside`], as XYZ.
    pub fn xyz_beside(&self, device: [f64; 3], _place: [f64; 2]) -> Xyz {
        self.xyz(device)
    }

    /// Colour of a patch of the card, with the light fitted over the card.
    pub fn lab_at(&self, device: [f64; 3], _place: [f64; 2], _pitch_place: [f64; 2]) -> Lab {
        self.lab(device)
    }

    /// As [`Fit::lab_at`], as XYZ.
    pub fn xyz_at(&self, device: [f64; 3], place: [f64; 2], pitch_place: [f64; 2]) -> Xyz {
        crate::xyz_from_lab(self.lab_at(device, place, pitch_place))
    }

    /// Covariance of a colour read with this fit, in Lab, and the degrees of freedom of its multivariate t.
    pub fn covariance(&self, _lab: Lab) -> (Matrix3<f64>, f64) {
        (Matrix3::identity(), 3.0)
    }

    /// Change of Lab by one standard deviation of the light's slope at a place beside the card.
    pub fn light_loading(&self, _device: [f64; 3], _place: [f64; 2]) -> [f64; 3] {
        [0.0; 3]
    }
}

/// Fits a photo's patches to their reference colours.
///
/// # Errors
/// Too few usable patches, or numbers that cannot be fitted.
pub fn fit(samples: &[Sample], working: &Working, prior: &Prior) -> Result<Fit, CalibrationError> {
    let lab: Vec<Lab> = samples.iter().map(|s| s.lab).collect();
    fit_editions(samples, &[lab], working, prior)
}

/// As [`fit`], for a card of which several editions were published: the one that fits best is chosen, anew in each
/// left-out fit.
///
/// # Errors
/// As [`fit`], and an edition that does not list one colour for each patch.
pub fn fit_editions(
    samples: &[Sample],
    editions: &[Vec<Lab>],
    _working: &Working,
    _prior: &Prior,
) -> Result<Fit, CalibrationError> {
    let _ = (samples, editions);
    Err(CalibrationError::NoEdition)
}

impl Working {
    /// Linear sRGB, adapted from D65 to D50.
    pub fn srgb() -> Self {
        Self { xyz_from_rgb: Matrix3::identity() }
    }
}
