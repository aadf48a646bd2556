//! Whether a candidate is the card: its colours must behave, and no other way to lay it may come near.

use super::colours::Agreement;

/// What is known of a card laid on a lattice, after its edges were measured.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Evidence {
    pub agreement: Agreement,
    /// Share of variance explained by the best other way to lay the card in the same place.
    pub runner_up: f64,
    /// Patches of the card.
    pub patches: usize,
    /// Whether the card has colours.
    pub coloured: bool,
    /// Patches in whose cell a flat region was seen.
    pub seen: usize,
    /// Patches whose four edges were seen.
    pub edged: usize,
    /// Flat regions on the same lattice that are not the card's.
    pub beyond: usize,
}

/// Share of variance that must be explained. Of 45 photos of a 24-patch chart 44 reach 0.86, the other (white and
/// greys burnt out) 0.66; of 19 photos without it the best way to lay it anywhere reaches 0.48.
const WHOLE: f64 = 0.80;

/// Share of what lightness leaves that colour must explain.
const CHROMA: f64 = 0.50;

/// The same for a badly exposed picture in which the whole grid is plain to see.
const WHOLE_OF_PLAIN_GRID: f64 = 0.60;
const CHROMA_OF_PLAIN_GRID: f64 = 0.42;

/// Whether this is the card.
pub(crate) fn holds(evidence: &Evidence) -> bool {
    let n = evidence.patches as f64;
    let Agreement { whole, chroma } = evidence.agreement;
    // fewer patches agree by chance more easily
    let few = ((18.0 - n) / 12.0).clamp(0.0, 1.0);
    let strict = |bound: f64| bound + (0.97 - bound) * few;
    // part of a larger grid: another card, or no card at all
    if evidence.beyond as f64 > 0.5 * n {
        return false;
    }
    let alone = 1.0 - whole < 0.6 * (1.0 - evidence.runner_up);
    let coloured = |bound: f64| !evidence.coloured || chroma >= strict(bound);
    let plain = evidence.seen as f64 >= 0.85 * n && evidence.edged as f64 >= 0.6 * n && n >= 18.0;
    alone
        && ((whole >= strict(WHOLE) && coloured(CHROMA))
            || (plain && whole >= WHOLE_OF_PLAIN_GRID && evidence.coloured && coloured(CHROMA_OF_PLAIN_GRID)))
}
