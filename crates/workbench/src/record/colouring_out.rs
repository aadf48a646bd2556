//! Colouring out as a record: which sticks to mix, in what parts.

use predict::Mix;
use serde::Serialize;

use super::IntervalRecord;

/// The best mixes for a spot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ColouringOutRecord {
    /// The reading of the spot.
    pub spot: String,
    /// One mix for each number of sticks, best first.
    pub mixes: Vec<MixRecord>,
}

/// A mix of sticks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixRecord {
    /// In words.
    pub words: String,
    /// Stick by name and whole parts of it, the largest part first.
    pub parts: Vec<(String, u32)>,
    /// The colour of the mix.
    pub lab: [f64; 3],
    /// ΔE2000 to the spot.
    pub de00: IntervalRecord,
    /// Mean of it over what the spot may be.
    pub expected_de00: f64,
}

impl ColouringOutRecord {
    /// The record of mixes of these sticks for a spot.
    pub fn new(spot: piece::ReadingId, sticks: &[predict::Stick], mixes: &[Mix]) -> Self {
        let mix = |mix: &Mix| MixRecord {
            words: mix.words.clone(),
            parts: mix.parts.iter().map(|(stick, parts)| (sticks[*stick].name.clone(), *parts)).collect(),
            lab: super::lab(mix.lab),
            de00: mix.de00.into(),
            expected_de00: mix.expected_de00,
        };
        Self { spot: spot.to_string(), mixes: mixes.iter().map(mix).collect() }
    }
}
