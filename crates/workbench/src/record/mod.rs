//! The records of all `--json` output: what each key means is said here and in `assets/schema/`.
//!
//! Keys carry their units. A key is never renamed or dropped; new ones may come.

mod book;
mod cards;
mod check;
mod colouring_out;
mod compare;
mod differ;
mod differences;
mod evenness;
mod mixing;
mod next;
mod offered_mix;
mod rank;
mod read;
mod routes;
mod set_aside;

pub use book::{BookProductRecord, BookRecord, MergedRecord};
pub use cards::{CardRecord, CardsRecord, EditionRecord};
pub use check::{CheckRecord, ProblemRecord};
pub use colouring_out::{ColouringOutRecord, MixRecord, StickPartsRecord};
pub use compare::{ApartRecord, CompareRecord, ComparedRecord, MatchRecord, NotComparedRecord, PairRecord};
pub use differ::DifferRecord;
pub use differences::DifferenceRecord;
pub use evenness::{EvennessRecord, SpotRecord};
pub use mixing::{IngredientRecord, MixedForRecord, MixingRecord};
pub use next::{NextRecord, NextRowRecord};
pub use offered_mix::{OfferedMixRecord, OfferedShareRecord};
pub use rank::{AgeingRecord, BarredRecord, EvidenceRecord, PatchinessRecord, RankRecord, RankRowRecord};
pub use read::{
    CardInPhotoRecord, CheckTileRecord, FitRecord, LeftOutRecord, PatchRecord, ReadRecord, RegionRecord, SecondsRecord,
    SharedRecord, WarningRecord,
};
pub use routes::{RouteRecord, RouteScheduleRecord, RoutesRecord, WorstPairRecord};
pub use set_aside::SetAsideRecord;

use serde::Serialize;

/// A number with its 90 % interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct IntervalRecord {
    /// Best single value.
    pub mean: f64,
    /// Lower end of the 90 % interval.
    pub low: f64,
    /// Upper end of the 90 % interval.
    pub high: f64,
}

impl IntervalRecord {
    /// A size with its interval in words: `1.0 (0–1.9)`.
    pub fn words(self) -> String {
        predict::Interval { mean: self.mean, low: self.low, high: self.high }.words()
    }
}

impl From<predict::Interval> for IntervalRecord {
    fn from(interval: predict::Interval) -> Self {
        Self { mean: interval.mean, low: interval.low, high: interval.high }
    }
}

/// L*, a*, b* as an array.
fn lab(lab: colour::Lab) -> [f64; 3] {
    [lab.l, lab.a, lab.b]
}

/// The name of a part, or its id where it has gone.
fn part_name(piece: &piece::Piece, id: piece::PartId) -> String {
    piece.part(id).map_or_else(|| id.to_string(), |part| part.name.clone())
}
