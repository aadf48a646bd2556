//! The fitted photo: what it says about a recorded colour.

use std::time::Instant;

use nalgebra::Matrix3;

use super::card::{Reference, lab, vector};
use super::hypotheses::{Photo, Seen, Weighed};
use super::light::{light_slope, light_unknown};
use super::model::Model;
use super::spoilt::{Open, Sound};
use super::uncertainty::Spread;
use super::white::{self, White};
use super::{CalibrationError, Cast, Gradients, LeftOut, LightSlope, METHOD, METHOD_WHITE, Prior, Sample, Working};
use crate::{Lab, Xyz, xyz_from_lab};

/// Fewest usable patches.
const FEWEST_PATCHES: usize = 1;

/// A fitted photo.
#[derive(Debug, Clone)]
pub struct Fit {
    /// Predictions for each patch by a fit without it, in the order of the samples; `None` where the sample is not a
    /// number, or nothing is left to fit without it.
    pub left_out: Vec<Option<LeftOut>>,
    /// Wall seconds that fitting without each patch took.
    pub left_out_seconds: f64,
    /// Which of the given editions is likeliest, from 0.
    pub edition: usize,
    /// How the light changes across the card.
    pub light: LightSlope,
    /// What falls on part of the card, where that is likelier than that nothing does.
    pub cast: Option<Cast>,
    /// Whether each patch took part.
    used: Vec<bool>,
    by: By,
}

/// What the patches allowed.
#[derive(Debug, Clone)]
enum By {
    Colours(Box<Colours>),
    White(White),
}

/// The whole fit.
#[derive(Debug, Clone)]
struct Colours {
    photo: Photo,
    /// The fits for the patches themselves.
    on_card: Weighed,
    /// The fits for everything else, their light a shrunk slope.
    beside: Weighed,
    spread: Spread,
}

/// Fits a photo's patches to their reference colours.
///
/// # Errors
/// Too few usable patches, or numbers that cannot be fitted.
pub fn fit(samples: &[Sample], working: &Working, prior: &Prior) -> Result<Fit, CalibrationError> {
    let lab: Vec<Lab> = samples.iter().map(|s| s.lab).collect();
    fit_editions(samples, &[lab], working, prior)
}

/// As [`fit`], for a card of which several editions were published: they are weighed by how well they fit, anew in each
/// left-out fit.
///
/// # Errors
/// As [`fit`], and an edition that does not list one colour for each patch.
pub fn fit_editions(
    samples: &[Sample],
    editions: &[Vec<Lab>],
    working: &Working,
    prior: &Prior,
) -> Result<Fit, CalibrationError> {
    fit_with_gradients(samples, editions, None, working, prior)
}

/// As [`fit_editions`], where it is known as well how the light changes within the patches.
///
/// # Errors
/// As [`fit_editions`].
pub fn fit_with_gradients(
    samples: &[Sample],
    editions: &[Vec<Lab>],
    gradients: Option<&Gradients>,
    working: &Working,
    prior: &Prior,
) -> Result<Fit, CalibrationError> {
    let given = samples.len();
    if editions.is_empty() {
        return Err(CalibrationError::NoEdition);
    }
    if let Some((edition, listed)) = editions.iter().map(Vec::len).enumerate().find(|(_, n)| *n != given) {
        return Err(CalibrationError::EditionLength { edition, listed, given });
    }
    let seen: Vec<Seen> =
        samples.iter().map(|s| Seen { device: s.device, clipped: s.clipped, place: s.place }).collect();
    let references: Vec<Reference> = editions.iter().map(|e| Reference::new(e)).collect();
    let known = |p: usize| editions.iter().all(|e| vector(e[p]).iter().all(|v| v.is_finite()));
    let finite = |p: usize| {
        let Sample { device, place, pitch_place, .. } = &samples[p];
        device.iter().chain(place).chain(pitch_place).all(|v| v.is_finite())
    };
    let readable: Vec<usize> = (0..given).filter(|&p| finite(p) && known(p)).collect();
    let usable: Vec<usize> = readable.iter().copied().filter(|&p| !samples[p].glared).collect();
    if usable.len() < FEWEST_PATCHES {
        return Err(CalibrationError::TooFewPatches { given, usable: usable.len(), needed: FEWEST_PATCHES });
    }
    if white::is_all(&usable, &references[0]) {
        return by_white(&seen, (&readable, &usable), &references[0], working, prior);
    }
    let photo = Photo::new(
        Model::new(working.xyz_from_rgb),
        prior,
        seen,
        samples.iter().map(|s| s.pitch_place).collect(),
        references,
    )?
    .with(gradients.copied());
    let all = photo.weigh_sound(&usable, &Open::ALL)?;
    let beside = photo.beside(&all.fits)?;
    let start = Instant::now();
    let folds = photo.leave_out(&readable, &usable, &all)?;
    let left_out_seconds = start.elapsed().as_secs_f64();
    let Sound { fits: on_card, spoilt } = all;
    let sound: Vec<usize> = usable.into_iter().filter(|p| !spoilt.contains(p)).collect();
    let spread = Spread::new(&photo, &sound, &on_card, &folds);
    let left_out =
        (0..given).map(|p| folds[p].as_ref().map(|fold| spread.left_out(&photo, on_card.best.edition, p, fold)));
    Ok(Fit {
        left_out: left_out.collect(),
        left_out_seconds,
        edition: on_card.best.edition,
        light: light_slope(&on_card.best, &beside.best),
        cast: photo.cast(&on_card),
        used: (0..given).map(|p| sound.contains(&p)).collect(),
        by: By::Colours(Box::new(Colours { photo, on_card, beside, spread })),
    })
}

/// Exposure and white alone; greys hardly tell editions apart, so the first one it is.
fn by_white(
    seen: &[Seen],
    (readable, usable): (&[usize], &[usize]),
    reference: &Reference,
    working: &Working,
    prior: &Prior,
) -> Result<Fit, CalibrationError> {
    let white = White::fit(seen, usable, reference, working)?;
    let start = Instant::now();
    let left_out = White::leave_out(seen, readable, usable, reference, working);
    let left_out_seconds = start.elapsed().as_secs_f64();
    Ok(Fit {
        left_out,
        left_out_seconds,
        edition: 0,
        light: light_unknown(prior)?,
        cast: None,
        used: (0..seen.len()).map(|p| usable.contains(&p)).collect(),
        by: By::White(white),
    })
}

impl Fit {
    /// Name and version of the method.
    pub fn method(&self) -> &'static str {
        if self.knows_colours() { METHOD } else { METHOD_WHITE }
    }

    /// Whether a patch took part in the fit: it has a colour, no glare, and is not so far off what the others say that something
    /// must lie on it.
    pub fn used(&self, patch: usize) -> bool {
        self.used.get(patch).copied().unwrap_or(false)
    }

    /// Whether the patches could tell how the camera sees colours; else only exposure and white are set by them, and errors
    /// of left-out greys say nothing of colours.
    pub fn knows_colours(&self) -> bool {
        matches!(self.by, By::Colours(_))
    }

    /// Colour of a linear working RGB under the light at the middle of the card.
    pub fn lab(&self, device: [f64; 3]) -> Lab {
        self.lab_beside(device, [0.0, 0.0])
    }

    /// As [`Fit::lab`], as XYZ.
    pub fn xyz(&self, device: [f64; 3]) -> Xyz {
        xyz_from_lab(self.lab(device))
    }

    /// Colour of something beside the card: the light's shrunk slope is carried on to `place` (in the card's frame,
    /// -1..=1 on the card, further out beside it).
    pub fn lab_beside(&self, device: [f64; 3], place: [f64; 2]) -> Lab {
        match &self.by {
            By::White(white) => white.lab(device),
            By::Colours(fit) => {
                lab(&fit.photo.predict_lab(&fit.beside, &Seen { device, clipped: [false; 3], place }, None))
            }
        }
    }

    /// By how much such a colour changes per log of the light on it, in (L*, a*, b*): columns for all light, and for red and
    /// for blue alone.
    pub fn by_light(&self, device: [f64; 3], place: [f64; 2]) -> Matrix3<f64> {
        match &self.by {
            By::White(white) => white.by_light(device),
            By::Colours(fit) => fit.photo.by_light(&fit.beside, &Seen { device, clipped: [false; 3], place }),
        }
    }

    /// Of a shadow or reflection on part of the card: what is not known of it beside the card, in (L*, a*, b*), a standard
    /// deviation in each column, with a sign that colours on one side of its edge have in common. Nothing where nothing falls on
    /// the card.
    pub fn unknown_of_cast(&self, device: [f64; 3], place: [f64; 2]) -> Matrix3<f64> {
        match &self.by {
            By::White(_) => Matrix3::zeros(),
            By::Colours(fit) => fit.photo.unknown_of_cast(&fit.beside, &Seen { device, clipped: [false; 3], place }),
        }
    }

    /// As [`Fit::lab_beside`], as XYZ.
    pub fn xyz_beside(&self, device: [f64; 3], place: [f64; 2]) -> Xyz {
        xyz_from_lab(self.lab_beside(device, place))
    }

    /// Colour of a patch of the card, with the light as fitted over the card.
    pub fn lab_at(&self, device: [f64; 3], place: [f64; 2], pitch_place: [f64; 2]) -> Lab {
        match &self.by {
            By::White(white) => white.lab(device),
            By::Colours(fit) => {
                let seen = Seen { device, clipped: [false; 3], place };
                lab(&fit.photo.predict_lab(&fit.on_card, &seen, Some(pitch_place)))
            }
        }
    }

    /// As [`Fit::lab_at`], as XYZ.
    pub fn xyz_at(&self, device: [f64; 3], place: [f64; 2], pitch_place: [f64; 2]) -> Xyz {
        xyz_from_lab(self.lab_at(device, place, pitch_place))
    }

    /// Covariance of a colour read with this fit, in (L*, a*, b*), and the degrees of freedom of its multivariate t.
    /// It is the t's scale matrix: the 90 % region is dᵀΣ⁻¹d ≤ [`region_radius_squared`](super::region_radius_squared).
    pub fn covariance(&self, lab: Lab) -> (Matrix3<f64>, f64) {
        match &self.by {
            By::White(white) => white.covariance(lab),
            By::Colours(fit) => fit.spread.in_lab(&vector(lab)),
        }
    }
}
