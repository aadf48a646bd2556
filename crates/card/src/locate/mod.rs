//! Finding reference cards in a photo.
//!
//! Start with [`Preview`] and [`locate`]. Any card that is a grid of flat patches can be found; the card's colours
//! decide which way round it lies, and whether it is that card at all.

mod around;
mod cell;
mod colours;
mod evidence;
mod exchange;
mod flat;
mod glare;
mod homography;
mod hues;
mod lattice;
mod links;
mod placement;
mod preview;
mod refine;
mod refusal;
mod spot;
#[cfg(test)]
mod tests;
mod toned;
mod verdict;

pub use homography::Homography;
pub use preview::{LONG_SIDE_PX, Preview};
pub use refusal::Refusal;
pub(crate) use verdict::{OtherColours, other_colours};

use crate::layout::Card;
use cell::Cell;
use colours::Reference;
use evidence::Evidence;
use flat::Blob;
use links::{BLURRED, Looseness, SHARP};
use placement::Placement;
use refine::Grid;
use verdict::Lay;

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
    /// For each patch of the card, whether it is covered or in a reflection and tells nothing of the light.
    pub hidden: Vec<bool>,
    /// How well the colours behave like the card's: share of their variance explained, 0..=1.
    pub score: f64,
}

/// A card laid in the picture, with what speaks for it.
#[derive(Debug, Clone)]
struct Candidate {
    card: usize,
    grid: Grid,
    mirrored: bool,
    evidence: Evidence,
}

/// Share of a card's patches that must be seen as regions.
const LEAST_SEEN: f64 = 0.3;

/// Share of variance, before the edges are measured, from which a candidate is looked at closely.
const WORTH_A_LOOK: f64 = 0.3;

/// What a search for cards came to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Search {
    /// The cards that are sure, best first.
    pub found: Vec<Located>,
    /// What looked like a card and was not taken for one, where none was found.
    pub refusals: Vec<Refusal>,
}

/// Finds the cards in a preview, best first. Empty where no card is sure.
pub fn locate(preview: &Preview, cards: &[Card]) -> Vec<Located> {
    search(preview, cards).found
}

/// Finds the cards in a preview, and says why what looks like one is none.
pub fn search(preview: &Preview, cards: &[Card]) -> Search {
    if preview.width < 16 || preview.height < 16 || preview.rgb.len() != preview.width * preview.height {
        return Search::default();
    }
    let references: Vec<Reference> = cards.iter().map(Reference::of).collect();
    let enlarged = preview.enlarged();
    let picture = enlarged.as_ref().unwrap_or(preview);
    // Sharp patches first; the middles of blurred ones are linked by looser rules, which find more by chance.
    let blobs = flat::blobs(picture);
    let (mut candidates, mut refusals) = candidates(picture, &blobs, SHARP, &references, cards);
    if candidates.is_empty() {
        let (blurred, more) = self::candidates(picture, &blobs, BLURRED, &references, cards);
        candidates = blurred;
        refusals.extend(more);
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
                hidden: candidate.evidence.spared,
                score: candidate.evidence.agreement.whole,
            });
        }
    }
    // a mirror, or a print turned over, is the rarer
    found.sort_by_key(|located| located.mirrored);
    let refusals = if found.is_empty() { refusal::foremost(refusals, cards) } else { Vec::new() };
    Search { found, refusals }
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

/// The cards that hold among all ways to lay one on a lattice of flat regions, and what nearly did.
fn candidates(
    picture: &Preview,
    blobs: &[Blob],
    looseness: Looseness,
    references: &[Reference],
    cards: &[Card],
) -> (Vec<Candidate>, Vec<Refusal>) {
    let blobs = lattice::distinct(blobs.to_vec(), looseness);
    let lattices = lattice::lattices(&blobs, looseness);
    let mut candidates = Vec::new();
    let mut refusals: Vec<Refusal> = lattices.iter().filter_map(refusal::of_lattice).collect();
    for (k, reference) in references.iter().enumerate().filter(|(k, _)| cards[*k].can_be_found()) {
        for lattice in &lattices {
            for placement in placement::placements(picture, lattice, reference, LEAST_SEEN) {
                if placement.agreement.whole < WORTH_A_LOOK {
                    continue;
                }
                let beyond = lattice.cells.len() - placement.seen;
                match refined(picture, &blobs, reference, &cards[k], k, &placement, beyond) {
                    Ok(candidate) => candidates.push(candidate),
                    Err(refusal) => refusals.extend(refusal),
                }
            }
        }
    }
    (candidates, refusals)
}

/// The card laid as well as its edges allow, where its colours then hold.
fn refined(
    picture: &Preview,
    blobs: &[Blob],
    reference: &Reference,
    card: &Card,
    index: usize,
    placement: &Placement,
    beyond: usize,
) -> std::result::Result<Candidate, Option<Refusal>> {
    let half = (1.0 - card.gap_fraction) / 2.0;
    let grid = refine::refine(picture, placement.map, reference.columns, reference.rows, half);
    let cell =
        |k: usize| Cell::of(picture, &grid.map, [(k % reference.columns) as f64, (k / reference.columns) as f64]);
    let measured: Vec<Option<Cell>> = (0..reference.len()).map(cell).collect();
    let lay = Lay {
        patches: reference.len(),
        shortest_line: reference.rows.min(reference.columns),
        coloured: reference.is_coloured(),
        seen: placement.seen,
        beyond,
        moved_along: around::moved_along(blobs, &grid, reference.columns, reference.rows),
    };
    let plain = evidence::plain(reference, &measured, &grid.edged);
    if !placement::in_sight(&measured) {
        return Err(refusal::cut_off(index, &plain));
    }
    if verdict::is_toned(reference, &measured, &plain) {
        return Err(Some(Refusal::NoColour { card: index }));
    }
    let unclear = refusal::unclear(index, &lay, &plain);
    // No shade and nothing that lies on it makes a card of one whose patches stand in another order.
    if plain.exchange.mends {
        return Err(unclear);
    }
    let holds = |evidence: Evidence| verdict::holds(&lay, &evidence).then_some(evidence);
    let evidence = holds(plain)
        .or_else(|| {
            let allowing = holds(evidence::sparing(reference, &measured, &grid.edged))
                .or_else(|| holds(evidence::uncovered(reference, &measured, &grid.edged)?))
                .or_else(|| holds(evidence::shaded(reference, &measured, &grid.edged)))
                .or_else(|| holds(evidence::glared(reference, &measured, &grid.edged)))
                .or_else(|| {
                    holds(evidence::spotted(reference, &measured, &grid.edged, verdict::spared_adds(&lay, 1.0))?)
                })?;
            (!exchange::line_moved_along(reference, &measured)).then_some(allowing)
        })
        .ok_or_else(|| unclear.or_else(|| disturbed(reference, &measured, index, &lay)))?;
    if !evidence.hues_hold {
        return Err(Some(Refusal::OtherHues { card: index }));
    }
    Ok(Candidate { card: index, grid, mirrored: placement.mirrored, evidence })
}

/// What is to be said of a card that may be there, with something on it.
fn disturbed(reference: &Reference, measured: &[Option<Cell>], index: usize, lay: &Lay) -> Option<Refusal> {
    let evidence = evidence::forgiving(reference, measured, verdict::STRICT);
    refusal::disturbed(index, lay, &evidence).filter(|_| !exchange::line_moved_along(reference, measured))
}
