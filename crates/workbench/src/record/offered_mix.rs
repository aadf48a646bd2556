//! Mixes that were looked for, in `rank`, `routes` and `next --json`.

use piece::{Piece, Product};
use serde::Serialize;

/// A mix that steps name and that is not in the piece yet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OfferedMixRecord {
    /// What the steps call it.
    pub name: String,
    /// What thins it.
    pub reducer: String,
    /// What is poured together, most first.
    pub of: Vec<OfferedShareRecord>,
}

/// One product of a mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OfferedShareRecord {
    /// Its name.
    pub product: String,
    /// Parts by volume; of powders, by weight.
    pub parts: f64,
}

impl OfferedMixRecord {
    /// The records of mixes for this piece.
    pub(super) fn all(piece: &Piece, mixes: &[Product]) -> Vec<Self> {
        let name = |id| piece.product(id).map_or_else(|| id.to_string(), |product| product.name.clone());
        let of = |mix: &Product| {
            mix.mix
                .iter()
                .map(|share| OfferedShareRecord { product: name(share.product), parts: share.parts })
                .collect()
        };
        mixes.iter().map(|mix| Self { name: mix.name.clone(), reducer: mix.reducer.clone(), of: of(mix) }).collect()
    }
}
