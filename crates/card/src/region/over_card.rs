//! What of a region lies over the card itself: there it reads the card and no wood.

use crate::Photo;
use crate::grid::Grid;

use super::Polygon;

/// Places of a region looked at along each side of its bounding box.
const PLACES: u32 = 64;
/// Share of a region over the card that is worth a word: own judgement. Corners found by the edge of the card are off by less.
const LEAST: f64 = 0.02;

/// A region that lies over the card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OverCard {
    /// Share of the region, 0..=1.
    pub(crate) share: f64,
    /// The patches under it, counted row by row; none where it lies between them.
    pub(crate) patches: Vec<usize>,
}

/// Whether a region lies over the card, by more than a touch.
pub(crate) fn over_card(photo: &Photo, polygon: &Polygon, grid: &Grid) -> Option<OverCard> {
    let area = polygon.area_in(photo.width_px, photo.height_px)?;
    let places = polygon.places(&area, PLACES);
    let size = [grid.columns, grid.rows].map(|count| count as f64 - grid.gap_fraction);
    let on_card: Vec<[f64; 2]> = places
        .iter()
        .map(|place| grid.card_from_photo(*place))
        .filter(|place| [0, 1].iter().all(|&axis| (0.0..=size[axis]).contains(&place[axis])))
        .collect();
    let share = on_card.len() as f64 / places.len().max(1) as f64;
    let on_patch = |place: &[f64; 2]| place.iter().all(|along| along.fract() <= 1.0 - grid.gap_fraction);
    let mut patches: Vec<usize> =
        on_card.iter().filter(|place| on_patch(place)).map(|[x, y]| *y as usize * grid.columns + *x as usize).collect();
    patches.sort_unstable();
    patches.dedup();
    (share >= LEAST).then_some(OverCard { share, patches })
}
