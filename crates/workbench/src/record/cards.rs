//! `cards --json`.

use serde::Serialize;

/// The cards known, or the card of a file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardsRecord {
    /// The cards.
    pub cards: Vec<CardRecord>,
}

/// One card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardRecord {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Rows of patches.
    pub rows: usize,
    /// Columns of patches.
    pub columns: usize,
    /// Distance between patch centres; null where the user must name it.
    pub pitch_mm: Option<f64>,
    /// Its editions.
    pub editions: Vec<EditionRecord>,
}

/// One edition of a card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EditionRecord {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Where its colours come from.
    pub source: String,
}

impl From<&card::Card> for CardRecord {
    fn from(card: &card::Card) -> Self {
        let editions = card.editions.iter().map(|edition| EditionRecord {
            id: edition.id.clone(),
            name: edition.name.clone(),
            source: edition.source.clone(),
        });
        Self {
            id: card.id.clone(),
            name: card.name.clone(),
            rows: card.rows,
            columns: card.columns,
            pitch_mm: card.pitch_mm,
            editions: editions.collect(),
        }
    }
}
