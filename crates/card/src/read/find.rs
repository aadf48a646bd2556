//! The card in the photo: found, or by its corners as given.

use crate::grid::Grid;
use crate::layout::{self, Card};
use crate::locate::{self, Located, Refusal};
use crate::sample::{self, PatchSample};
use crate::{Error, Photo, Request, Result, Warning, warning};

/// A card laid over the photo, with its patches sampled.
pub(super) struct Laid {
    pub(super) card: Card,
    pub(super) grid: Grid,
    pub(super) corners_px: [[f64; 2]; 4],
    pub(super) mirrored: bool,
    pub(super) samples: Vec<PatchSample>,
    /// Whether a board's photo has evened the light on the samples.
    pub(super) light_evened: bool,
}

/// Cards to look for: the one named, else those known that can be found.
pub(super) fn cards(request: &Request) -> Result<Vec<Card>> {
    let known = || layout::known().into_iter().filter(Card::can_be_found).collect();
    let cards = request.card.clone().map_or_else(known, |card| vec![card]);
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
                return Err(Error::Corners(unseen(photo, &samples)));
            }
            Ok(Laid { card: card.clone(), grid, corners_px, mirrored, samples, light_evened: false })
        })
        .collect()
}

/// Why most of the card is not seen where its corners were given.
fn unseen(photo: &Photo, samples: &[PatchSample]) -> String {
    let size = [photo.width_px, photo.height_px].map(f64::from);
    let is_inside = |at: [f64; 2]| (0..2).all(|axis| (0.0..size[axis]).contains(&at[axis]));
    let inside = samples.iter().filter(|sample| is_inside(sample.centre_px)).count();
    if inside * 2 >= samples.len() {
        return "the photo is transparent where most of the card would lie: use the file as the camera saved it"
            .to_owned();
    }
    format!("most of the card would lie outside the photo of {} × {} pixels", photo.width_px, photo.height_px)
}

/// The other orders in which four corners can be given: from another one on, and the other way round.
pub(super) fn orders([a, b, c, d]: [[f64; 2]; 4]) -> [[[f64; 2]; 4]; 7] {
    let other_way = [b, a, d, c];
    let turned = |corners: [[f64; 2]; 4], by: usize| [0, 1, 2, 3].map(|k| corners[(k + by) % 4]);
    let given = [a, b, c, d];
    [
        turned(given, 2),
        other_way,
        turned(other_way, 2),
        turned(given, 1),
        turned(given, 3),
        turned(other_way, 1),
        turned(other_way, 3),
    ]
}

/// Cards found in the photo, best first, and what the user should know of the search.
pub(super) fn found(photo: &Photo, cards: &[Card]) -> (Vec<Laid>, Vec<Warning>) {
    let search = locate::search(&photo.preview(), cards);
    let told = search.refusals.iter().filter_map(|refusal| refused(*refusal, cards)).collect();
    let laid = |located: Located| {
        let card = cards.get(located.card)?.clone();
        let grid = Grid::new(card.rows, card.columns, located.gap_fraction, located.corners_px).ok()?;
        let mut samples = sample::patches(photo, &grid);
        // what lies on them is no paint: they are left out of the fit as those in a reflection are
        samples.iter_mut().zip(&located.hidden).filter(|(_, hidden)| **hidden).for_each(|(s, _)| s.covered = true);
        Some(Laid {
            card,
            grid,
            corners_px: located.corners_px,
            mirrored: located.mirrored,
            samples,
            light_evened: false,
        })
    };
    (search.found.into_iter().filter_map(laid).collect(), told)
}

/// Why what looks like a card is not used, with the way out.
fn refused(refusal: Refusal, cards: &[Card]) -> Option<Warning> {
    let name = |card: usize| cards.get(card).map(|card| card.name.as_str());
    Some(match refusal {
        Refusal::CutOff { card, in_sight } => Warning::new(
            "card-cut-off",
            format!(
                "The card '{}' is cut off by the edge of the photo: only {in_sight} of its {} patches are in sight, too few to be sure of it; photograph the whole card.",
                name(card)?,
                cards.get(card)?.len()
            ),
        ),
        Refusal::WayUnclear { card } => Warning::new(
            "card-way-unclear",
            format!(
                "The card '{}' looks the same the other way round: give its four corners by hand, from its first patch on.",
                name(card)?
            ),
        ),
        Refusal::OtherHues { card } => warning::other_hues(name(card)?),
        Refusal::NoColour { card } => warning::no_colour(name(card)?),
        Refusal::Disturbed { card, agreeing } => {
            let patches = cards.get(card)?.len();
            Warning::new(
                "card-disturbed",
                format!(
                    "The card '{}' may be in the photo: {agreeing} of {patches} patches agree, {} not. Where a reflection, a shadow or a thing lies on {}, clear that, or give the card's four corners by hand; where nothing does, it is another card: name that.",
                    name(card)?,
                    match patches - agreeing {
                        1 => "1 does".to_owned(),
                        others => format!("{others} do"),
                    },
                    if patches - agreeing == 1 { "it" } else { "those" }
                ),
            )
        }
        Refusal::SingleRow { card } => {
            let Card { rows, columns, .. } = cards.get(card)?;
            let (code, what) = match (rows * columns, rows.min(columns)) {
                (1, _) => ("card-few-patches", "is a single patch, which".to_owned()),
                (_, 1) => ("card-single-row", "is a single row of patches, which".to_owned()),
                (patches, _) => ("card-few-patches", format!("has only {patches} patches, so few that they")),
            };
            Warning::new(
                code,
                format!(
                    "The card '{}' {what} cannot be told from other things: give its four corners by hand.",
                    name(card)?
                ),
            )
        }
        Refusal::OtherGrid { patches } => Warning::new(
            "other-grid",
            format!(
                "A grid of patches is in the photo ({patches} of them are seen), but its colours are not those of {}. Where it is another card, name that; where something lies on it, or it is seen badly, clear it, or give its four corners by hand.",
                match cards {
                    [card] => format!("the card '{}'", card.name),
                    _ => "a card known here".into(),
                }
            ),
        ),
    })
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
