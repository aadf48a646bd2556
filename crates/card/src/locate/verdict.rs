//! Whether a candidate is the card: its colours must behave, and no other way to lay it may come near.

use super::cell::Cell;
use super::colours::{Agreement, Reference};
use super::evidence::Evidence;
use super::toned;
use crate::layout::Card;

/// What is known of where a card was laid, beside its colours.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lay {
    /// Patches of the card.
    pub patches: usize,
    /// Patches of its rows or of its columns, whichever are fewer.
    pub shortest_line: usize,
    /// Whether the card has colours.
    pub coloured: bool,
    /// Patches in whose cell a flat region was seen.
    pub seen: usize,
    /// Flat regions on the same lattice that are not the card's.
    pub beyond: usize,
    /// Whether patches lie beyond one side of it, and none along the other.
    pub moved_along: bool,
}

/// Share of variance that must be explained. Of 45 photos of a 24-patch chart 44 reach 0.86, the other (white and
/// greys burnt out) 0.66; of 19 photos without it the best way to lay it anywhere reaches 0.48.
const WHOLE: f64 = 0.80;

/// Share of what lightness leaves that colour must explain.
const CHROMA: f64 = 0.50;

/// The same for a badly exposed picture in which the whole grid is plain to see.
const WHOLE_OF_PLAIN_GRID: f64 = 0.60;
const CHROMA_OF_PLAIN_GRID: f64 = 0.42;

/// What part of the card in shade adds to the shares demanded, and every tenth of its patches spared.
const SHADE_ADDS: f64 = 0.05;
const SPARED_ADD: f64 = 0.03;

/// Share that must be explained of a card of few patches, or of greys alone.
pub(crate) const STRICT: f64 = 0.97;

/// What two patches may not gain by changing places: so much of the variance, and of what is left unexplained.
const EXCHANGE: f64 = 0.012;
const EXCHANGE_OF_LEFT: f64 = 0.15;

/// Most flat regions beyond a card that is cut, in part covered, in part in shade, or of which as many patches as make a
/// row were not seen as regions: a row of them beside the cells that are missing would be the missing row, in the wrong
/// place.
pub(crate) const MOST_BEYOND: usize = 2;

/// Share of the patches left in that must show their edges before part of a card is taken to be in shade, or patches
/// to be covered; and what must be explained of a card with patches covered where they do not.
const EDGED: f64 = 0.4;
const SPARED_WITHOUT_EDGES: f64 = 0.95;

/// Whether this is the card.
pub(crate) fn holds(lay: &Lay, evidence: &Evidence) -> bool {
    let n = lay.patches as f64;
    let Agreement { whole, chroma } = evidence.agreement;
    let spared = evidence.spared.iter().filter(|spared| **spared).count() as f64;
    let used = evidence.in_sight as f64 - spared;
    if lay.moved_along {
        return false;
    }
    // part of a larger grid: another card, or no card at all
    if lay.beyond as f64 > 0.5 * n {
        return false;
    }
    let row_missing = lay.patches - lay.seen >= lay.shortest_line;
    let whole_card = evidence.in_sight == lay.patches && spared == 0.0 && evidence.shade.is_none() && !row_missing;
    if !whole_card && lay.beyond > MOST_BEYOND {
        return false;
    }
    // the card's patches in another order
    if evidence.exchange.gain > EXCHANGE.max(EXCHANGE_OF_LEFT * (1.0 - whole)) {
        return false;
    }
    let added = if evidence.shade.is_some() { SHADE_ADDS } else { 0.0 } + spared_adds(lay, spared);
    // fewer patches agree by chance more easily
    let few = ((18.0 - used - 0.5 * spared) / 12.0).clamp(0.0, 1.0);
    let edged = evidence.edged as f64 >= EDGED * used;
    if evidence.shade.is_some() && !edged {
        return false;
    }
    let least = if spared > 0.0 && !edged { SPARED_WITHOUT_EDGES } else { 0.0 };
    let strict = |bound: f64| (bound + (STRICT - bound) * few + added).min(STRICT).max(least);
    let alone = alone(evidence);
    if !lay.coloured {
        // greys in order are common (a staircase, a blind): nothing is allowed for, and nothing may lie beyond
        return alone && whole >= STRICT && added == 0.0 && edged && lay.beyond == 0;
    }
    let coloured = |bound: f64| chroma >= strict(bound);
    let plain = lay.seen as f64 >= 0.85 * n && evidence.edged as f64 >= 0.6 * n && n >= 18.0 && added == 0.0;
    alone
        && ((whole >= strict(WHOLE) && coloured(CHROMA))
            || (plain && whole >= WHOLE_OF_PLAIN_GRID && coloured(CHROMA_OF_PLAIN_GRID)))
}

/// What patches spared add to the shares demanded.
pub(crate) fn spared_adds(lay: &Lay, spared: f64) -> f64 {
    SPARED_ADD * 10.0 * spared / lay.patches as f64
}

/// Whether no other way round in the same cells comes near.
pub(crate) fn alone(evidence: &Evidence) -> bool {
    1.0 - evidence.agreement.whole < 0.6 * (1.0 - evidence.runner_up)
}

/// Variance of the patches, encoded, below which they are all about alike, and nothing follows from how they differ.
const LEAST_VARIANCE: f64 = 0.005;

/// What speaks against a laid card whose patches are as light as they should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OtherColours {
    /// Its hues are turned, or mirrored.
    Hues,
    /// It has none: the picture is grey, or was toned.
    None,
}

/// Whether the patches of a laid card, encoded, follow its colours but for their hues. None stands for a patch that tells nothing.
pub(crate) fn other_colours(card: &Card, encoded: &[Option<[f64; 3]>]) -> Option<OtherColours> {
    let cells: Vec<Option<Cell>> =
        encoded.iter().map(|rgb| rgb.map(|rgb| Cell { rgb, raw: rgb, even: true })).collect();
    let reference = Reference::of(card);
    let fit = reference.fit(&cells);
    let differ = fit.total > LEAST_VARIANCE * cells.iter().flatten().count() as f64;
    let agrees = differ && fit.agreement.whole >= WHOLE_OF_PLAIN_GRID;
    match agrees {
        true if reference.has_many_hues() && toned::differ_in_lightness_alone(cells.iter().flatten()) => {
            Some(OtherColours::None)
        }
        true if !fit.hues_hold => Some(OtherColours::Hues),
        _ => None,
    }
}

/// Whether this is a card with colours in a picture without.
pub(crate) fn is_toned(reference: &Reference, measured: &[Option<Cell>], plain: &Evidence) -> bool {
    let agrees = plain.agreement.whole >= WHOLE && alone(plain);
    agrees && reference.has_many_hues() && toned::differ_in_lightness_alone(measured.iter().flatten())
}
