//! What lights the card: what may be about a photo before it is seen.

mod search;
mod shape;
mod told;

pub(super) use search::most_promising;
pub(super) use shape::{Round, Shape, Straight};

use super::CastKind;
use super::light::{self, LIGHT_COLOURS};
use super::model::Local;
use super::prior::Prior;

/// Share of photos in which two lamps of different colour light the card. Own judgement, no source.
const TWO_LAMPS: f64 = 0.05;
/// Share in which a shadow lies on part of it, and in which a soft reflection does. Own judgement, no source.
const SHADOW_SHARE: f64 = 0.05;
const REFLECTION_SHARE: f64 = 0.05;
/// Share of those shadows that are round, as of a hand, and that have two straight edges on the card, as of an arm; the others have one.
/// Own judgement.
const ROUND_OF_SHADOWS: f64 = 0.2;
const ENDING_OF_SHADOWS: f64 = 0.2;
/// The same of reflections. Own judgement.
const ROUND_OF_REFLECTIONS: f64 = 0.5;
const ENDING_OF_REFLECTIONS: f64 = 0.1;
/// How many places on a card of a shadow, or of a reflection, of one kind differ enough to be told apart, its softness and size among
/// them: one is as likely as the other. With 20, 5 of 45 real photos of charts were said to have a shadow that nobody sees on them, with
/// this one has; drawn ones are told alike.
const PLACES: f64 = 60.0;
/// Standard deviations of a shadow's log of light: of all, and of red and of blue beyond that. A shadow on a bench has half of
/// the light or less, and skylight or a lamp is its own colour. Own judgement.
const SHADOW_SD: [f64; 3] = [0.6, 0.1, 0.1];
/// The same of a reflection, in the file's linear light, white being about 1. Own judgement.
const REFLECTION_SD: [f64; 3] = [0.1, 0.02, 0.02];
/// Variance of a parameter that has no part in a hypothesis: none to speak of.
const IDLE_VARIANCE: f64 = 1e-6;

/// What lights the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lit {
    /// One lamp, or several alike.
    OneLamp,
    /// Two lamps whose colours differ, so that the light's colour changes over the card.
    TwoLamps,
    /// One lamp, and a shadow or a reflection of that shape on part of the card.
    Cast(CastKind, Shape),
}

impl Lit {
    /// Share of photos that are lit so.
    pub(super) fn share(self) -> f64 {
        let (of_kind, round, ending) = match self {
            Self::OneLamp => return 1.0 - TWO_LAMPS - SHADOW_SHARE - REFLECTION_SHARE,
            Self::TwoLamps => return TWO_LAMPS,
            Self::Cast(CastKind::Shadow, _) => (SHADOW_SHARE, ROUND_OF_SHADOWS, ENDING_OF_SHADOWS),
            Self::Cast(CastKind::Reflection, _) => (REFLECTION_SHARE, ROUND_OF_REFLECTIONS, ENDING_OF_REFLECTIONS),
        };
        let of_shape = match self {
            Self::Cast(_, Shape::Round(_)) => round,
            Self::Cast(_, Shape::Straight(straight)) if straight.ends() => ending,
            _ => 1.0 - round - ending,
        };
        of_kind * of_shape / PLACES
    }

    /// What it does at a place in pitches from the card's middle.
    pub(super) fn local(self, place: [f64; 2]) -> Local {
        match self {
            Self::OneLamp | Self::TwoLamps => Local::Slope,
            Self::Cast(CastKind::Shadow, shape) => Local::Shadow(shape.share(place)),
            Self::Cast(CastKind::Reflection, shape) => Local::Veil(shape.share(place)),
        }
    }

    /// The same with what falls on the card moved by up to `step` pitches, or that share larger or smaller.
    pub(super) fn nearby(self, step: f64) -> Vec<Self> {
        match self {
            Self::OneLamp | Self::TwoLamps => Vec::new(),
            Self::Cast(kind, shape) => shape.nearby(step).into_iter().map(|shape| Self::Cast(kind, shape)).collect(),
        }
    }

    /// Standard deviations of what it does, where it falls on part of the card.
    pub(super) fn cast_sd(self) -> Option<[f64; 3]> {
        match self {
            Self::OneLamp | Self::TwoLamps => None,
            Self::Cast(CastKind::Shadow, _) => Some(SHADOW_SD),
            Self::Cast(CastKind::Reflection, _) => Some(REFLECTION_SD),
        }
    }

    /// What is to be expected of a photo lit so, by what is of one lit by one lamp.
    pub(super) fn prior(self, one_lamp: &Prior) -> Option<Prior> {
        match self {
            Self::OneLamp => Some(one_lamp.clone()),
            Self::TwoLamps => one_lamp.with_alone(LIGHT_COLOURS.map(|k| (k, light::TWO_LAMPS_SD.powi(2)))),
            Self::Cast(..) => {
                let [all, red, blue] = self.cast_sd()?.map(|sd| sd * sd);
                let variances = [all, red, blue, IDLE_VARIANCE];
                one_lamp.with_alone([0, 1, 2, 3].map(|k| (LIGHT_COLOURS[k], variances[k])))
            }
        }
    }
}
