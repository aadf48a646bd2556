//! How ids, colours and choices stand in the file.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

use crate::{Bar, Bleach, Glue, Grain, Id, Kind, MatchSample, Meeting, Surface};

/// An id as text: `"p3"`.
#[derive(Clone, Copy)]
pub(super) struct IdText<I>(pub(super) I);

impl<I: Id> Serialize for IdText<I> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl<'de, I: Id> Deserialize<'de> for IdText<I> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map(Self).map_err(D::Error::custom)
    }
}

/// A part or board as the text of its id: the letter says which.
#[derive(Clone, Copy)]
pub(super) struct SurfaceText(pub(super) Surface);

impl Serialize for SurfaceText {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Surface::Part(id) => serializer.collect_str(&id),
            Surface::Board(id) => serializer.collect_str(&id),
        }
    }
}

impl<'de> Deserialize<'de> for SurfaceText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let part = text.parse().map(Surface::Part);
        part.or_else(|_| text.parse().map(Surface::Board)).map(Self).map_err(|_: String| {
            D::Error::custom(format!("'{text}' is neither a part nor a board: expected p1, p2, … or b1, b2, …"))
        })
    }
}

/// A match sample as the text of its id, or `"all_alike"`.
#[derive(Clone)]
pub(super) struct MatchText(pub(super) MatchSample);

impl Serialize for MatchText {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.0 {
            MatchSample::AllAlike => serializer.serialize_str("all_alike"),
            MatchSample::Part(id) => serializer.collect_str(id),
            MatchSample::Reading(id) => serializer.collect_str(id),
            MatchSample::Board(id) => serializer.collect_str(id),
            MatchSample::Trial(id) => serializer.collect_str(id),
            MatchSample::Photo(id) => serializer.collect_str(id),
        }
    }
}

impl<'de> Deserialize<'de> for MatchText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        if text == "all_alike" {
            return Ok(Self(MatchSample::AllAlike));
        }
        text.parse()
            .map(MatchSample::Part)
            .or_else(|_| text.parse().map(MatchSample::Reading))
            .or_else(|_| text.parse().map(MatchSample::Board))
            .or_else(|_| text.parse().map(MatchSample::Trial))
            .or_else(|_: String| text.parse().map(MatchSample::Photo))
            .map(Self)
            .map_err(|_: String| {
                D::Error::custom(format!("'{text}' is no match sample: expected all_alike, or the id of a part, reading, board, trial or photo"))
            })
    }
}

/// Three numbers, said so where they are not.
#[derive(Clone, Copy, Serialize)]
pub(super) struct Three(pub(super) [f64; 3]);

impl<'de> Deserialize<'de> for Three {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        numbers(deserializer, "three numbers").map(Self)
    }
}

/// A place in a picture.
#[derive(Clone, Copy, Serialize)]
pub(super) struct Two(pub(super) [f64; 2]);

impl<'de> Deserialize<'de> for Two {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        numbers(deserializer, "two numbers, x and y in pixels").map(Self)
    }
}

/// Three rows of three numbers.
#[derive(Clone, Copy, Serialize)]
pub(super) struct Matrix(pub(super) [[f64; 3]; 3]);

impl<'de> Deserialize<'de> for Matrix {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let rows: Vec<[f64; 3]> = Vec::<Three>::deserialize(deserializer)?.into_iter().map(|row| row.0).collect();
        rows.try_into().map(Self).map_err(|_| D::Error::custom("expected three rows of three numbers"))
    }
}

fn numbers<'de, D: Deserializer<'de>, const N: usize>(deserializer: D, expected: &str) -> Result<[f64; N], D::Error> {
    let wrong = || D::Error::custom(format!("expected {expected}"));
    let numbers = Vec::<f64>::deserialize(deserializer).map_err(|_| wrong())?;
    numbers.try_into().map_err(|_| wrong())
}

/// A choice of the model with the word that stands for it in the file.
macro_rules! words {
    ($record:ident = $model:ident { $($choice:ident),+ }) => {
        #[derive(Clone, Copy, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub(super) enum $record { $($choice),+ }

        impl From<$model> for $record {
            fn from(model: $model) -> Self {
                match model { $($model::$choice => Self::$choice),+ }
            }
        }

        impl From<$record> for $model {
            fn from(record: $record) -> Self {
                match record { $($record::$choice => Self::$choice),+ }
            }
        }
    };
}

words!(GlueWord = Glue { Hide, Modern, Unknown });
words!(BarWord = Bar { Sanding, Water, Bleach });
words!(MeetingWord = Meeting { SamePlane, Fronts, OtherPlanes });
words!(GrainWord = Grain { Along, Across, NotNoted });
words!(BleachWord = Bleach { TwoPart, Oxalic, Chlorine, CausticAlone });
words!(KindWord = Kind { WaterDye, AlcoholDye, Pigment, Gel, DyeAndPigment, Toner, Glaze, Filler });

/// The direction of the grain where the file does not say.
pub(super) fn not_noted() -> GrainWord {
    GrainWord::NotNoted
}
