//! The card in the photo: found, or by its corners as given.

use crate::grid::Grid;
use crate::layout::{self, Card};
use crate::locate::{self, Located};
use crate::sample::{self, PatchSample};
use crate::{Error, Photo, Request, Result};

/// A card laid over the photo, with its patches sampled.
pub(super) struct Laid {
    pub(super) card: Card,
    pub(super) grid: Grid,
    pub(super) corners_px: [[f64; 2]; 4],
    pub(super) mirrored: bool,
    pub(super) samples: Vec<PatchSample>,
}

/// Cards to look for.
pub(super) fn cards(request: &Request) -> Result<Vec<Card>> {
    let cards = request.card.clone().map_or_else(layout::known, |card| vec![card]);
    if let Some(edition) = &request.edition {
        let having: Vec<Card> = cards.iter().filter(|card| card.edition(edition).is_some()).cloned().collect();
        if having.is_empty() {
            let known = cards.iter().flat_map(|card| card.editions.iter().map(|edition| edition.id.as_str()));
            return Err(Error::Edition {
                card: cards.iter().map(|card| card.id.as_str()).collect::<Vec<_>>().join(", "),
                edition: edition.clone(),
                known: known.collect::<Vec<_>>().join(", "),
            });
        }
        return Ok(having);
    }
    Ok(cards)
}

/// Cards by the corners given: each card that may be meant.
pub(super) fn by_hand(photo: &Photo, cards: &[Card], corners_px: [[f64; 2]; 4]) -> Result<Vec<Laid>> {
    cards
        .iter()
        .map(|card| {
            let grid = Grid::new(card.rows, card.columns, card.gap_fraction, corners_px)?;
            let mirrored = turns_left(&corners_px);
            let samples = sample::patches(photo, &grid);
            if samples.iter().filter(|sample| sample.seen()).count() * 2 < samples.len() {
                return Err(Error::Corners(format!(
                    "most of the card would lie outside the photo of {} × {} pixels",
                    photo.width_px, photo.height_px
                )));
            }
            Ok(Laid { card: card.clone(), grid, corners_px, mirrored, samples })
        })
        .collect()
}

/// Cards found in the photo, best first.
pub(super) fn found(photo: &Photo, cards: &[Card]) -> Vec<Laid> {
    let laid = |located: Located| {
        let card = cards.get(located.card)?.clone();
        let grid = Grid::new(card.rows, card.columns, located.gap_fraction, located.corners_px).ok()?;
        let samples = sample::patches(photo, &grid);
        Some(Laid { card, grid, corners_px: located.corners_px, mirrored: located.mirrored, samples })
    };
    locate::locate(&photo.preview(), cards).into_iter().filter_map(laid).collect()
}

/// Whether the corners run against the clock, as on a card seen in a mirror.
fn turns_left(corners: &[[f64; 2]; 4]) -> bool {
    let doubled: f64 = (0..4)
        .map(|k| {
            let ([ax, ay], [bx, by]) = (corners[k], corners[(k + 1) % 4]);
            ax * by - bx * ay
        })
        .sum();
    doubled < 0.0
}
