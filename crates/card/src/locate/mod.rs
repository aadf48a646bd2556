//! Finding reference cards in a photo.
//!
//! Start with [`Preview`] and [`locate`]. Any card that is a grid of flat patches can be found; the card's colours
//! decide which way round it lies, and whether it is that card at all.

mod colours;
mod flat;
mod homography;
mod lattice;
mod placement;
mod preview;
mod refine;
#[cfg(test)]
mod tests;
mod verdict;

pub use homography::Homography;
pub use preview::{LONG_SIDE_PX, Preview};

use crate::layout::Card;
use colours::Reference;
use flat::Blob;
use lattice::{BLURRED, Looseness, SHARP};
use placement::Placement;
use refine::Grid;
use verdict::Evidence;

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

/// A card laid in the picture, with what speaks for it.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    card: usize,
    grid: Grid,
    mirrored: bool,
    evidence: Evidence,
}

/// Share of a card's patches that must be seen as regions.
const LEAST_SEEN: f64 = 0.3;

/// Share of variance, before the edges are measured, from which a candidate is looked at closely.
const WORTH_A_LOOK: f64 = 0.4;

/// Finds the cards in a preview, best first. Empty where no card is sure.
pub fn locate(preview: &Preview, cards: &[Card]) -> Vec<Located> {
    if preview.width < 16 || preview.height < 16 || preview.rgb.len() != preview.width * preview.height {
        return Vec::new();
    }
    let references: Vec<Reference> = cards.iter().map(Reference::of).collect();
    let enlarged = preview.enlarged();
    let picture = enlarged.as_ref().unwrap_or(preview);
    // Most cards are plain at half the size, which costs a quarter; the full size is for small ones.
    let exposure = flat::exposure(picture);
    let mut blobs = flat::coarse_blobs(picture, exposure);
    let mut candidates = candidates(picture, &blobs, SHARP, &references, cards);
    if candidates.is_empty() {
        blobs.extend(flat::fine_blobs(picture, exposure));
        candidates = self::candidates(picture, &blobs, SHARP, &references, cards);
    }
    if candidates.is_empty() {
        candidates = self::candidates(picture, &blobs, BLURRED, &references, cards);
    }
    candidates.sort_by(|a, b| b.evidence.agreement.whole.total_cmp(&a.evidence.agreement.whole));
    let mut found: Vec<Located> = Vec::new();
    for candidate in candidates {
        let corners_px = candidate.corners(&references[candidate.card]).map(|corner| corner.map(|v| v / picture.scale));
        if found.iter().all(|other| !overlap(&other.corners_px, &corners_px)) {
            found.push(Located {
                card: candidate.card,
                corners_px,
                gap_fraction: 1.0 - 2.0 * candidate.grid.half,
                mirrored: candidate.mirrored,
                score: candidate.evidence.agreement.whole,
            });
        }
    }
    found
}

impl Candidate {
    fn corners(&self, reference: &Reference) -> [[f64; 2]; 4] {
        let (right, bottom) = (reference.columns as f64 - 1.0, reference.rows as f64 - 1.0);
        let half = self.grid.half;
        [[-half, -half], [right + half, -half], [right + half, bottom + half], [-half, bottom + half]]
            .map(|corner| self.grid.map.apply(corner))
    }
}

/// Whether the middle of one quadrilateral lies in the other.
fn overlap(a: &[[f64; 2]; 4], b: &[[f64; 2]; 4]) -> bool {
    let middle = |q: &[[f64; 2]; 4]| [0, 1].map(|k| q.iter().map(|p| p[k]).sum::<f64>() / 4.0);
    let inside = |p: [f64; 2], q: &[[f64; 2]; 4]| {
        let side = |i: usize| {
            let (s, e) = (q[i], q[(i + 1) % 4]);
            (e[0] - s[0]) * (p[1] - s[1]) - (e[1] - s[1]) * (p[0] - s[0])
        };
        (0..4).all(|i| side(i) >= 0.0) || (0..4).all(|i| side(i) <= 0.0)
    };
    inside(middle(a), b) || inside(middle(b), a)
}

/// The cards that hold among all ways to lay one on a lattice of flat regions.
fn candidates(
    picture: &Preview,
    blobs: &[Blob],
    looseness: Looseness,
    references: &[Reference],
    cards: &[Card],
) -> Vec<Candidate> {
    let blobs = lattice::distinct(blobs.to_vec(), looseness);
    let lattices = lattice::lattices(&blobs, looseness);
    let mut candidates = Vec::new();
    for (k, reference) in references.iter().enumerate() {
        for lattice in &lattices {
            for placement in placement::placements(picture, lattice, reference, LEAST_SEEN) {
                if placement.agreement.whole < WORTH_A_LOOK {
                    continue;
                }
                let beyond = lattice.cells.len() - placement.seen;
                candidates.push(refined(picture, reference, &cards[k], k, &placement, beyond));
            }
        }
    }
    candidates.retain(|candidate| verdict::holds(&candidate.evidence));
    candidates
}

fn refined(
    picture: &Preview,
    reference: &Reference,
    card: &Card,
    index: usize,
    placement: &Placement,
    beyond: usize,
) -> Candidate {
    let half = (1.0 - card.gap_fraction) / 2.0;
    let grid = refine::refine(picture, placement.map, reference.columns, reference.rows, half);
    let mut measured = Vec::with_capacity(card.len());
    for row in 0..reference.rows {
        for column in 0..reference.columns {
            measured.extend(placement::cell_colour(picture, &grid.map, [column as f64, row as f64]));
        }
    }
    let agreement = if measured.len() == card.len() { reference.agreement(&measured) } else { placement.agreement };
    let evidence = Evidence {
        agreement,
        runner_up: placement.runner_up,
        patches: card.len(),
        coloured: reference.is_coloured(),
        seen: placement.seen,
        edged: grid.edged,
        beyond,
    };
    Candidate { card: index, grid, mirrored: placement.mirrored, evidence }
}
