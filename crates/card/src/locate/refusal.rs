//! Why what looks like a card was not taken for one.

use super::evidence::Evidence;
use super::lattice::{self, Lattice};
use super::verdict::{self, Lay};
use crate::layout::Card;

/// Something like a card that was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Too few of a card's patches lie in the picture.
    CutOff {
        /// Index into the cards that were looked for.
        card: usize,
        /// Its patches in the picture.
        in_sight: usize,
    },
    /// A card that looks the same, or nearly, the other way round.
    WayUnclear {
        /// Index into the cards that were looked for.
        card: usize,
    },
    /// A card of which some patches are off, as under a reflection or something that lies on it.
    Disturbed {
        /// Index into the cards that were looked for.
        card: usize,
        /// Its patches that agree.
        agreeing: usize,
    },
    /// A card whose colours follow the card's but for their hues, which no camera turns so far.
    OtherHues {
        /// Index into the cards that were looked for.
        card: usize,
    },
    /// A card in a picture without colour, or toned: its patches are as light as they should be, and differ in that alone.
    NoColour {
        /// Index into the cards that were looked for.
        card: usize,
    },
    /// A card of a single row or column, or of so few patches, that it cannot be told from other things.
    SingleRow {
        /// Index into the cards that were looked for.
        card: usize,
    },
    /// A grid of patches whose colours are not those of a card looked for.
    OtherGrid {
        /// Flat patches seen in the grid.
        patches: usize,
    },
}

/// Fewest patches of a grid that is worth a word.
const GRID: usize = 12;

/// Share of a grid's cells in which a patch must be seen.
const FILLED: f64 = 0.7;

/// A grid of patches as cards are: three rows or more, filled.
pub(super) fn of_lattice(lattice: &Lattice) -> Option<Refusal> {
    let (low, high) = lattice::bounds(&lattice.cells)?;
    let (wide, tall) = (high.0 - low.0 + 1, high.1 - low.1 + 1);
    let patches = lattice.cells.len();
    let filled = patches as f64 >= FILLED * f64::from(wide * tall);
    (patches >= GRID && wide.min(tall) >= 3 && filled).then_some(Refusal::OtherGrid { patches })
}

/// A card of which too few patches are in sight, where those agree well.
pub(super) fn cut_off(card: usize, evidence: &Evidence) -> Option<Refusal> {
    let agrees = evidence.agreement.whole >= verdict::STRICT && verdict::alone(evidence);
    agrees.then_some(Refusal::CutOff { card, in_sight: evidence.in_sight })
}

/// A card that agrees well, and as well the other way round.
pub(super) fn unclear(card: usize, lay: &Lay, evidence: &Evidence) -> Option<Refusal> {
    let agrees = evidence.agreement.whole >= verdict::STRICT && lay.beyond == 0;
    (agrees && !verdict::alone(evidence)).then_some(Refusal::WayUnclear { card })
}

/// A card in whole in the picture of which most patches agree well.
pub(super) fn disturbed(card: usize, lay: &Lay, evidence: &Evidence) -> Option<Refusal> {
    let agreeing = evidence.in_sight - evidence.spared.iter().filter(|spared| **spared).count();
    let agrees = evidence.agreement.whole >= verdict::STRICT
        && verdict::alone(evidence)
        && !evidence.exchange.mends
        && evidence.hues_hold;
    let whole =
        evidence.in_sight == lay.patches && lay.beyond <= verdict::MOST_BEYOND && !lay.moved_along && lay.coloured;
    (agrees && whole).then_some(Refusal::Disturbed { card, agreeing })
}

/// The refusals worth telling: each card once, another grid only where no card comes to mind.
pub(super) fn foremost(refusals: Vec<Refusal>, cards: &[Card]) -> Vec<Refusal> {
    let single = |(card, _): (usize, &Card)| Refusal::SingleRow { card };
    let mut told: Vec<Refusal> =
        cards.iter().enumerate().filter(|(_, card)| !card.can_be_found()).map(single).collect();
    for k in 0..cards.len() {
        let of_card = |refusal: &&Refusal| match refusal {
            Refusal::CutOff { card, .. } | Refusal::WayUnclear { card } | Refusal::OtherHues { card } => *card == k,
            _ => false,
        };
        let disturbed = || {
            let agreeing = |refusal: &&Refusal| match refusal {
                Refusal::Disturbed { card, agreeing } if *card == k => Some(*agreeing),
                _ => None,
            };
            refusals.iter().filter(|refusal| agreeing(refusal).is_some()).max_by_key(agreeing)
        };
        // whatever else it may seem then, without colours nothing can be told
        let no_colour = refusals.iter().find(|refusal| **refusal == Refusal::NoColour { card: k });
        told.extend(no_colour.or_else(|| refusals.iter().find(of_card)).or_else(disturbed));
    }
    let grid = |refusal: &Refusal| match refusal {
        Refusal::OtherGrid { patches } => Some(*patches),
        _ => None,
    };
    if told.is_empty() {
        told.extend(refusals.iter().filter_map(grid).max().map(|patches| Refusal::OtherGrid { patches }));
    }
    told
}
