//! The mixes from one pot that come nearest to a colour on one part: pairs first, then those with one product more, then
//! what stands beside the best; on a few joint draws first and on more at last.

use std::collections::BTreeSet;

use colour::{Lab, de2000};
use nalgebra::Vector3;
use piece::{Part, Piece, Product, ProductId, Step};

use super::proportions::{Recipe, beside, pairs, with_one_more};
use crate::{
    conditions::{conditions, has_conditions},
    draws::{geometric_median, moved, vector},
    evidence::{Effect, glimpse},
    lessons::{Key, Lessons},
    look::Look,
    schedule::{Reach, colour_grid, is_near_range, preparations, strengths},
    trade,
};

/// Joint draws with which all mixes are looked at.
const COARSE: usize = 8;
/// Joint draws with which the best are.
pub(super) const FINE: usize = 64;
/// Mixes of one number of products that are gone on from.
const BEAM: usize = 8;
/// Times that what stands beside the best is looked at.
const ROUNDS: usize = 2;
/// Most products in a mix.
const MOST_CANS: usize = 4;
/// ΔE2000 by which a mix must be nearer than what comes from one can, and by which each can more must pay: about what the
/// eye sees of two panels side by side (common practice, no source).
const WORTH_A_CAN: f64 = 0.5;
/// Most mixes for one part.
const MOST: usize = 2;

/// Products that can be poured together, with what was learned of each.
pub(super) struct Pot<'l> {
    pub(super) cans: Vec<(&'l Product, Key, &'l Effect)>,
}

/// A part and the colour it is to reach.
pub(super) struct Spot<'p> {
    pub(super) part: &'p Part,
    /// The first joint draws of its colour, dry.
    pub(super) dry: Vec<Lab>,
    /// In the look that is judged.
    pub(super) aim: Lab,
    /// ΔE2000 to it where the part is left natural.
    pub(super) natural_off: f64,
}

/// A mix for a part.
pub(super) struct Found {
    pub(super) recipe: Recipe,
    /// The step, with the first can in the place of the mix.
    pub(super) step: Step,
    /// ΔE2000 by which it is nearer than what comes from one can.
    pub(super) gain: f64,
}

/// A mix with the step that comes nearest.
#[derive(Clone)]
struct Tried {
    recipe: Recipe,
    step: Step,
    off: f64,
}

impl Tried {
    /// ΔE2000 to the colour to reach, and what its cans must pay beyond the second.
    fn counts(&self) -> f64 {
        self.off + WORTH_A_CAN * self.recipe.len().saturating_sub(2) as f64
    }
}

/// The best mixes for a part, best first; none where no mix comes nearer than what comes from one can.
pub(super) fn best(piece: &Piece, lessons: &Lessons, look: Look, spot: &Spot<'_>, pot: &Pot<'_>) -> Vec<Found> {
    let bench = Bench { piece, lessons, look, spot, pot };
    let to_beat = bench.at_hand_off().min(spot.natural_off) - WORTH_A_CAN;
    if to_beat <= 0.0 {
        return Vec::new();
    }
    let mut tried: Vec<Tried> = bench.tried(&pairs(pot.cans.len()), COARSE);
    let mut beam: Vec<Recipe> = tried.iter().take(BEAM).map(|one| one.recipe.clone()).collect();
    for _ in 2..MOST_CANS.min(pot.cans.len()) {
        let longer: Vec<Recipe> = beam.iter().flat_map(|recipe| with_one_more(recipe, pot.cans.len())).collect();
        let longer = bench.tried(&longer, COARSE);
        beam = longer.iter().take(BEAM).map(|one| one.recipe.clone()).collect();
        tried.extend(longer);
    }
    let mut known: BTreeSet<Recipe> = tried.iter().map(|one| one.recipe.clone()).collect();
    for _ in 0..ROUNDS {
        tried.sort_by(order);
        let near: BTreeSet<Recipe> = tried.iter().take(BEAM).flat_map(|one| beside(&one.recipe)).collect();
        let new: Vec<Recipe> = near.into_iter().filter(|recipe| known.insert(recipe.clone())).collect();
        if new.is_empty() {
            break;
        }
        tried.extend(bench.tried(&new, COARSE));
    }
    tried.sort_by(order);
    let fine: Vec<Recipe> = tried.into_iter().take(2 * BEAM).map(|one| one.recipe).collect();
    let mut chosen: Vec<Tried> = Vec::new();
    for one in bench.tried(&fine, FINE) {
        // Another mix of the same cans would be no other choice.
        let cans = |one: &Tried| one.recipe.iter().map(|(place, _)| *place).collect::<Vec<_>>();
        if chosen.len() < MOST && one.counts() < to_beat && chosen.iter().all(|other| cans(other) != cans(&one)) {
            chosen.push(one);
        }
    }
    let gain = |one: &Tried| to_beat + WORTH_A_CAN - one.off;
    chosen.into_iter().map(|one| Found { gain: gain(&one), recipe: one.recipe, step: one.step }).collect()
}

/// What counts for least first; a total order.
fn order(a: &Tried, b: &Tried) -> std::cmp::Ordering {
    a.counts()
        .total_cmp(&b.counts())
        .then_with(|| a.recipe.len().cmp(&b.recipe.len()))
        .then_with(|| a.recipe.cmp(&b.recipe))
}

/// The middle of a few draws, for all mixes; of more, as it will be said of the prediction.
fn middle(colours: &[Lab]) -> Lab {
    if colours.len() > COARSE {
        return geometric_median(colours);
    }
    let sum: Vector3<f64> = colours.iter().map(|lab| vector(*lab)).sum();
    moved(Lab::new(0.0, 0.0, 0.0), sum / colours.len().max(1) as f64)
}

/// The same step with another product.
pub(super) fn with_product(step: &Step, id: ProductId) -> Step {
    let mut step = step.clone();
    match &mut step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => *product = id,
        _ => {}
    }
    step
}

fn wipe_minutes(step: &Step) -> Option<f64> {
    match step {
        Step::Stain { wipe_minutes, .. } => *wipe_minutes,
        _ => None,
    }
}

struct Bench<'b> {
    piece: &'b Piece,
    lessons: &'b Lessons,
    look: Look,
    spot: &'b Spot<'b>,
    pot: &'b Pot<'b>,
}

impl Bench<'_> {
    /// The mixes with the step of each that comes nearest, best first; without those that are in the piece already.
    fn tried(&self, recipes: &[Recipe], draws: usize) -> Vec<Tried> {
        let grid = colour_grid(self.pot.cans[0].1);
        let mut tried: Vec<Tried> = recipes
            .iter()
            .filter(|recipe| !self.is_at_hand(recipe))
            .filter_map(|recipe| {
                let sum: u32 = recipe.iter().map(|(_, parts)| parts).sum();
                let effects: Vec<(&Effect, f64)> = recipe
                    .iter()
                    .map(|(place, parts)| (self.pot.cans[*place].2, f64::from(*parts) / f64::from(sum)))
                    .collect();
                let end = |of: fn((f64, f64)) -> f64| effects.iter().map(|(one, share)| share * of(one.range())).sum();
                let range: (f64, f64) = (end(|range| range.0), end(|range| range.1));
                let is_near = |step: &&Step| Key::of(step).is_some_and(|(_, strength)| is_near_range(range, strength));
                let steps: Vec<Step> = grid.iter().filter(is_near).cloned().collect();
                let (step, off) = self.nearest(&effects, steps, draws)?;
                Some(Tried { recipe: recipe.clone(), step, off })
            })
            .collect();
        tried.sort_by(order);
        tried
    }

    /// ΔE2000 of the nearest step of the same use that is at hand, unmixed or mixed.
    fn at_hand_off(&self) -> f64 {
        let of_use = |key: Key| key.with_product(ProductId(0));
        let same = of_use(self.pot.cans[0].1);
        let at_hand = self.lessons.effects.iter().filter(|(key, _)| of_use(**key) == same);
        at_hand
            .filter_map(|(key, lesson)| {
                self.nearest(&[(&lesson.effect, 1.0)], strengths(*key, lesson, Reach::NearTried), FINE)
            })
            .map(|(_, off)| off)
            .fold(f64::INFINITY, f64::min)
    }

    /// The nearest of these steps that may be done to the part.
    fn nearest(&self, effects: &[(&Effect, f64)], steps: Vec<Step>, draws: usize) -> Option<(Step, f64)> {
        let (piece, part) = (self.piece, self.spot.part);
        let prepared = |step: &Step| -> Option<Vec<Step>> {
            let mut steps = preparations(part, step, &[]).swap_remove(0);
            if matches!(step, Step::Glaze { .. } | Step::Toner { .. }) {
                steps.insert(0, Step::Seal);
            }
            trade::objection(piece, part, &steps).is_none().then_some(steps)
        };
        let (key, _) = Key::of(steps.first()?)?;
        prepared(steps.first()?)?;
        let conditions = |step: &Step| {
            if has_conditions(key) { conditions(Some(part), &prepared(step).unwrap_or_default()) } else { Vec::new() }
        };
        let name = part.id.to_string();
        let on = (name.as_str(), part.wood.as_str());
        let mut before = self.spot.dry[..draws.min(self.spot.dry.len())].to_vec();
        if key.look() == Look::Sealed {
            (before, _) = self.lessons.coats.carry(&before, Look::Dry, Look::Sealed, on);
        }
        // Steps are alike but for their strength, and seldom for when they are wiped off.
        let mut given: Vec<Vec<Lab>> = Vec::with_capacity(steps.len());
        for alike in steps.chunk_by(|a, b| wipe_minutes(a) == wipe_minutes(b)) {
            let strengths: Vec<f64> = alike.iter().filter_map(|step| Some(Key::of(step)?.1)).collect();
            given.extend(glimpse(effects, &before, &strengths, &conditions(&alike[0]))?);
        }
        let off = |(step, colours): (Step, Vec<Lab>)| {
            let (seen, _) = self.lessons.coats.carry(&colours, key.look(), self.look, on);
            (step, de2000(middle(&seen), self.spot.aim))
        };
        steps.into_iter().zip(given).map(off).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Whether a mix in these proportions is a product of the piece.
    fn is_at_hand(&self, recipe: &Recipe) -> bool {
        let sum: u32 = recipe.iter().map(|(_, parts)| parts).sum();
        let share = |id: ProductId| {
            let of = |(place, _): &&(usize, u32)| self.pot.cans[*place].0.id == id;
            recipe.iter().find(of).map_or(0.0, |(_, parts)| f64::from(*parts) / f64::from(sum))
        };
        let same = |product: &Product| {
            let all: f64 = product.mix.iter().map(|one| one.parts).sum();
            product.mix.len() == recipe.len()
                && product.mix.iter().all(|one| (one.parts / all - share(one.product)).abs() < 1e-6)
        };
        self.piece.products.iter().any(|product| same(product))
    }
}
