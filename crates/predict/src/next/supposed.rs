//! What is supposed of products that nobody tried, so that the worth of a first trial can be reckoned. It never predicts
//! anything for the user.

use piece::{Piece, Product, Step};

use crate::{
    EvidenceKind,
    evidence::{Belief, Effect},
    laws::Law,
    lessons::{Key, Lesson, Lessons},
    schedule::colour_grid,
};

/// What a colouring product takes from the three channels, red to blue, neat or at its strongest on the grid, as an effect
/// of the clear film: browns, from hardly visible to dark (common practice, no source).
const FULL: [f64; 3] = [0.35, 0.45, 0.6];
/// How much that differs from product to product (common practice, no source).
const FULL_SD: [f64; 3] = [0.25, 0.3, 0.4];
/// Passes of toner that make as much as a stain put on neat (common practice, no source).
const FULL_PASSES: f64 = 4.0;

/// Adds to what was learned a vague effect for each product that taught nothing yet.
pub(super) fn suppose(piece: &Piece, lessons: &mut Lessons) {
    for product in &piece.products {
        let Some((key, tried, full)) = uses(product) else { continue };
        lessons.effects.entry(key).or_insert_with(|| {
            let of = |channels: [f64; 3]| channels.map(|channel| channel / full);
            let name = format!("untried {}", product.id);
            let effect = Effect::published(&name, Law::Log, of(FULL), of(FULL_SD), Belief::of_a_step());
            Lesson::untried(effect, EvidenceKind::PublishedOnly, tried)
        });
    }
}

/// Under what a product is learned, the steps it is offered in, and the strength that counts as full.
fn uses(product: &Product) -> Option<(Key, Vec<Step>, f64)> {
    let key = Key::of_product(product)?;
    let steps = colour_grid(key);
    let strongest = steps.iter().filter_map(Key::of).map(|(_, strength)| strength).fold(0.0, f64::max);
    let full = if matches!(key, Key::Toner(_)) { FULL_PASSES } else { strongest };
    Some((key, steps, full))
}
