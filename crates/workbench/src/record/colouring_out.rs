//! `colour-out --json`: which sticks to mix for a spot, in what parts.

use piece::{Piece, ReadingId, Step};
use predict::{Mix, Stick, caution};
use serde::Serialize;

use super::IntervalRecord;
use crate::words;

/// The best mixes for a spot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ColouringOutRecord {
    /// The reading of the spot.
    pub spot: String,
    /// What was read: a part or board.
    pub of: String,
    /// The state it was read in; a mix is matched to the spot as it looks so.
    pub state: String,
    /// Its colour.
    pub lab: [f64; 3],
    /// One mix for each number of sticks, best first.
    pub mixes: Vec<MixRecord>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// A mix of sticks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixRecord {
    /// In words.
    pub words: String,
    /// Stick by name and whole parts of it, the largest part first.
    pub parts: Vec<StickPartsRecord>,
    /// The colour of the mix.
    pub lab: [f64; 3],
    /// ΔE2000 to the spot.
    pub de00: IntervalRecord,
    /// Mean of it over what the spot may be.
    pub expected_de00: f64,
}

/// Whole parts of one stick.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StickPartsRecord {
    /// The stick, by name.
    pub stick: String,
    /// Whole parts of it.
    pub parts: u32,
}

impl ColouringOutRecord {
    /// The record of mixes of these sticks for a spot.
    pub fn new(piece: &Piece, spot: ReadingId, sticks: &[Stick], mixes: &[Mix]) -> Self {
        let parts =
            |(stick, parts): &(usize, u32)| StickPartsRecord { stick: sticks[*stick].name.clone(), parts: *parts };
        let mix = |mix: &Mix| MixRecord {
            words: mix.words.clone(),
            parts: mix.parts.iter().map(parts).collect(),
            lab: super::lab(mix.lab),
            de00: mix.de00.into(),
            expected_de00: mix.expected_de00,
        };
        let reading = piece.reading(spot);
        let cautions = caution::for_steps(&[Step::Fill { product: None }], piece);
        Self {
            spot: spot.to_string(),
            of: reading.map_or_else(String::new, |reading| piece.surface_name(reading.of)),
            state: reading.map_or_else(String::new, |reading| words::state(&reading.state)),
            lab: reading.map_or([0.0; 3], |reading| super::lab(reading.lab)),
            mixes: mixes.iter().map(mix).collect(),
            cautions: cautions.iter().map(|caution| format!("{} {}", caution.lead, caution.text)).collect(),
        }
    }
}
