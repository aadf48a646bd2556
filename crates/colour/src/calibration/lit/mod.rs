//! What lights the card: what may be about a photo before it is seen.

mod cast;
mod search;
mod told;

pub(super) use cast::{Shadow, Veil};
pub(super) use search::most_promising;

use super::light::{self, LIGHT_COLOURS};
use super::model::Local;
use super::prior::Prior;

/// Share of photos in which two lamps of different colour light the card. Own judgement, no source.
const TWO_LAMPS: f64 = 0.05;
/// Share in which a shadow lies on part of it, and in which a soft reflection does. Own judgement, no source.
const SHADOW_SHARE: f64 = 0.05;
const VEIL_SHARE: f64 = 0.05;
/// Share of those reflections that are small and round. Own judgement.
const ROUND: f64 = 0.5;
/// Share of those shadows, and of reflections with straight edges, that end on the card again. Own judgement.
const ENDING: f64 = 0.2;
/// How many shadows, and how many reflections, differ enough on a card to be told apart: one is as likely as the other.
const PLACES: f64 = 20.0;
/// Standard deviations of a shadow's log of light: of all, and of red and of blue beyond that. A shadow on a bench has half of
/// the light or less, and skylight or a lamp is its own colour. Own judgement.
const SHADOW_SD: [f64; 3] = [0.6, 0.1, 0.1];
/// The same of a reflection, in the file's linear light, white being about 1. Own judgement.
const VEIL_SD: [f64; 3] = [0.1, 0.02, 0.02];
/// Variance of a parameter that has no part in a hypothesis: none to speak of.
const IDLE_VARIANCE: f64 = 1e-6;

/// What lights the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lit {
    /// One lamp, or several alike.
    OneLamp,
    /// Two lamps whose colours differ, so that the light's colour changes over the card.
    TwoLamps,
    /// One lamp, and a shadow on part of the card.
    Shadow(Shadow),
    /// One lamp, and something small and soft that mirrors in the card.
    Veil(Veil),
    /// One lamp, and something with straight edges that mirrors in it, shaped as a shadow is.
    Sheen(Shadow),
}

impl Lit {
    /// Share of photos that are lit so.
    pub(super) fn share(self) -> f64 {
        match self {
            Self::OneLamp => 1.0 - TWO_LAMPS - SHADOW_SHARE - VEIL_SHARE,
            Self::TwoLamps => TWO_LAMPS,
            Self::Shadow(shadow) if shadow.ends() => SHADOW_SHARE * ENDING / PLACES,
            Self::Shadow(_) => SHADOW_SHARE * (1.0 - ENDING) / PLACES,
            Self::Veil(_) => VEIL_SHARE * ROUND / PLACES,
            Self::Sheen(shape) if shape.ends() => VEIL_SHARE * (1.0 - ROUND) * ENDING / PLACES,
            Self::Sheen(_) => VEIL_SHARE * (1.0 - ROUND) * (1.0 - ENDING) / PLACES,
        }
    }

    /// What it does at a place in pitches from the card's middle.
    pub(super) fn local(self, place: [f64; 2]) -> Local {
        match self {
            Self::OneLamp | Self::TwoLamps => Local::Slope,
            Self::Shadow(shadow) => Local::Shadow(shadow.share(place)),
            Self::Veil(veil) => Local::Veil(veil.share(place)),
            Self::Sheen(shape) => Local::Veil(shape.share(place)),
        }
    }

    /// Standard deviations of what it does, where it falls on part of the card.
    pub(super) fn cast_sd(self) -> Option<[f64; 3]> {
        match self {
            Self::OneLamp | Self::TwoLamps => None,
            Self::Shadow(_) => Some(SHADOW_SD),
            Self::Veil(_) | Self::Sheen(_) => Some(VEIL_SD),
        }
    }

    /// What is to be expected of a photo lit so, by what is of one lit by one lamp.
    pub(super) fn prior(self, one_lamp: &Prior) -> Option<Prior> {
        match self {
            Self::OneLamp => Some(one_lamp.clone()),
            Self::TwoLamps => one_lamp.with_alone(LIGHT_COLOURS.map(|k| (k, light::TWO_LAMPS_SD.powi(2)))),
            Self::Shadow(_) | Self::Veil(_) | Self::Sheen(_) => {
                let [all, red, blue] = self.cast_sd()?.map(|sd| sd * sd);
                let variances = [all, red, blue, IDLE_VARIANCE];
                one_lamp.with_alone([0, 1, 2, 3].map(|k| (LIGHT_COLOURS[k], variances[k])))
            }
        }
    }
}
