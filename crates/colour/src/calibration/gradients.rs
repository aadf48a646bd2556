//! The light's slopes as they show within the patches. Paint is even: what changes within a patch is the light or the camera.

use super::light::LIGHT_COLOURS;
use super::lit::Lit;
use super::model::LIGHT;
use super::prior::Prior;
use super::{CastKind, Gradients};

/// What a slope within the patches may be off beyond its own error, per unit of place: of all light, and of its colour. Light
/// that does not change evenly, sheen, and lenses that darken corners do that. Own judgement: of all light, so much that readings of
/// one bench still repeat (`measure-repeatability 30001 1`; with 0.05 wood beside the card in rendered photos is a little nearer); of
/// its colour, twice what 45 photos of charts show.
const BEYOND_ERROR: [f64; 3] = [0.07, 0.01, 0.01];
/// Share by which a camera's tone curve may make more or less of it. Own judgement.
const TONE: f64 = 0.2;

/// What is to be expected of a photo lit so, once that is known, where that was to be expected before. Under one lamp the light has
/// one colour. A reflection changes within patches by itself, the more the darker they are: there it tells nothing of the light's
/// slopes.
pub(super) fn told(gradients: &Gradients, lit: Lit, before: Prior, one_lamp: &Prior) -> Option<Prior> {
    let slopes_known = match lit {
        Lit::TwoLamps => 3,
        Lit::OneLamp | Lit::Cast(CastKind::Shadow, _) => 1,
        Lit::Cast(CastKind::Reflection, _) => 0,
    };
    let (mut told, mut log_seen) = (before, 0.0);
    for along in 0..2 {
        for of in 0..slopes_known {
            let k = [LIGHT, LIGHT_COLOURS[0], LIGHT_COLOURS[2]][of] + along;
            let (slope, error) = (gradients.slope[along][of], gradients.error[along][of]);
            let variance = error * error + BEYOND_ERROR[of].powi(2) + (TONE * slope).powi(2);
            log_seen += told.log_likelihood(k, slope, variance) - one_lamp.log_likelihood(k, slope, variance);
            told = told.told(k, slope, variance)?;
        }
    }
    Some(Prior { log_seen, ..told })
}
