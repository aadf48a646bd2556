//! Mixes of two to four products that were each tried: looked for like any other step, and offered where they come nearer
//! to the colour to reach than what comes from one can.
//!
//! A mix that is found is not in the piece. It travels with what names it, as a product with an id that is free; what it
//! gives is predicted from its parts ([`crate::evidence`]), as for a mix that was entered by hand.

mod proportions;
mod search;

use std::{borrow::Cow, collections::BTreeMap, sync::Arc};

use colour::{Lab, de2000};
use piece::{Id, Part, Piece, Product, ProductId, Share, Step, Surface};
use rayon::prelude::*;

use crate::{
    EvidenceKind,
    draws::geometric_median,
    evidence::Effect,
    grouping::groups,
    lessons::{Key, Lessons, untouched},
    look::Look,
    target::{as_seen, judged_look, match_target},
    trade::{Carrier, carrier},
};
use proportions::Recipe;
use search::{FINE, Found, Pot, Spot, best};

/// Most mixes from one pot that are offered for the whole piece: a bench has room for a few.
const MOST_OF_A_POT: usize = 4;

/// The piece with these mixes among its products; itself where there is none.
pub fn with_mixes<'a>(piece: &'a Piece, mixes: &[Product]) -> Cow<'a, Piece> {
    if mixes.is_empty() {
        return Cow::Borrowed(piece);
    }
    let mut piece = piece.clone();
    // An id may have been given to another product since the mix was found.
    piece.products.retain(|product| mixes.iter().all(|mix| mix.id != product.id));
    piece.products.extend(mixes.iter().cloned().map(Arc::new));
    Cow::Owned(piece)
}

/// Those of the mixes that steps name.
pub(crate) fn named<'s>(mixes: &[Product], steps: impl IntoIterator<Item = &'s Step>) -> Vec<Product> {
    let named: Vec<ProductId> = steps.into_iter().filter_map(|step| Key::of(step)?.0.product()).collect();
    mixes.iter().filter(|mix| named.contains(&mix.id)).cloned().collect()
}

/// Finds mixes that come nearer to the colour to reach on some part than any step from one can, and adds to what was
/// learned what their parts say of them.
pub(crate) fn find(piece: &Piece, lessons: &mut Lessons) -> Vec<Product> {
    let pots = pots(piece, lessons);
    if pots.is_empty() {
        return Vec::new();
    }
    let look = judged_look(piece);
    let spots = spots(piece, lessons, look);
    let mut found: Vec<(Product, Vec<Step>)> = Vec::new();
    for pot in &pots {
        let of_spots: Vec<Vec<Found>> = spots.par_iter().map(|spot| best(piece, lessons, look, spot, pot)).collect();
        for (recipe, steps) in most_wanted(of_spots) {
            let id = free_id(piece, found.len());
            let product = made(piece, pot, &recipe, id);
            let steps = steps.iter().map(|step| search::with_product(step, id)).collect();
            found.push((product, steps));
        }
    }
    let mixes: Vec<Product> = found.iter().map(|(mix, _)| mix.clone()).collect();
    lessons.add_found(&with_mixes(piece, &mixes), &found);
    mixes
}

/// Products of one use and one carrier that were tried on this piece, where there are two or more.
fn pots<'l>(piece: &'l Piece, lessons: &'l Lessons) -> Vec<Pot<'l>> {
    let mut pots: BTreeMap<Carrier, Vec<(&Product, Key, &Effect)>> = BTreeMap::new();
    for product in piece.products.iter().filter(|product| product.mix.is_empty()) {
        let Some((carrier, key)) = carrier(product).zip(Key::of_product(product)) else { continue };
        let lesson = lessons.effects.get(&key).filter(|lesson| lesson.kind == EvidenceKind::Tested);
        if let Some(lesson) = lesson {
            pots.entry(carrier).or_default().push((product, key, &lesson.effect));
        }
    }
    pots.into_values().filter(|cans| cans.len() > 1).map(|cans| Pot { cans }).collect()
}

/// One part of each group of alike parts, with the colour it is to reach; without the match sample.
fn spots<'p>(piece: &'p Piece, lessons: &Lessons, look: Look) -> Vec<Spot<'p>> {
    let Ok(target) = match_target(piece, lessons, look) else { return Vec::new() };
    let seen: Vec<(&Part, Vec<Lab>, Lab)> = piece
        .parts
        .iter()
        .filter_map(|part| {
            let moment = untouched(piece, Surface::Part(part.id));
            let name = part.id.to_string();
            let on = (name.as_str(), part.wood.as_str());
            let (mut dry, _) = as_seen(piece, lessons, &moment, Look::Dry, on)?;
            let (natural, _) = as_seen(piece, lessons, &moment, look, on)?;
            dry.truncate(FINE);
            Some((part.as_ref(), dry, geometric_median(&natural)))
        })
        .collect();
    let target_middle = target.as_ref().map(|target| geometric_median(&target.draws));
    let aim = |part: &Part| match &target {
        Some(target) => target_middle.filter(|_| target.part != Some(part.id)),
        None => middle_of_the_others(piece, part, &seen),
    };
    let natural: Vec<(&Part, Lab)> = seen.iter().map(|(part, _, natural)| (*part, *natural)).collect();
    groups(&natural, target.as_ref().and_then(|target| target.part))
        .iter()
        .filter_map(|group| {
            let (part, dry, natural) = &seen[group[0]];
            let aim = aim(part)?;
            Some(Spot { part, dry: dry.clone(), aim, natural_off: de2000(*natural, aim) })
        })
        .collect()
}

/// For 'all alike': the middle of the parts that a part meets, or else of all others, left natural.
fn middle_of_the_others(piece: &Piece, part: &Part, seen: &[(&Part, Vec<Lab>, Lab)]) -> Option<Lab> {
    let meets = |other: &Part| piece.meeting(part.id, other.id).is_some();
    let others = |wanted: &dyn Fn(&Part) -> bool| -> Vec<Lab> {
        let others = seen.iter().filter(|(other, ..)| other.id != part.id && wanted(other));
        others.map(|(.., natural)| *natural).collect()
    };
    let met = others(&meets);
    let all = if met.is_empty() { others(&|_| true) } else { met };
    (!all.is_empty()).then(|| geometric_median(&all))
}

/// The mixes that bring most, over all parts, each with the steps in which it was found.
fn most_wanted(of_spots: Vec<Vec<Found>>) -> Vec<(Recipe, Vec<Step>)> {
    let mut wanted: Vec<(Recipe, Vec<Step>, f64)> = Vec::new();
    for Found { recipe, step, gain } in of_spots.into_iter().flatten() {
        match wanted.iter_mut().find(|(known, ..)| *known == recipe) {
            Some((_, steps, sum)) => {
                *sum += gain;
                if !steps.contains(&step) {
                    steps.push(step);
                }
            }
            None => wanted.push((recipe, vec![step], gain)),
        }
    }
    wanted.sort_by(|a, b| b.2.total_cmp(&a.2).then_with(|| a.0.cmp(&b.0)));
    wanted.truncate(MOST_OF_A_POT);
    wanted.into_iter().map(|(recipe, steps, _)| (recipe, steps)).collect()
}

/// The id that so many products more would leave for the next.
fn free_id(piece: &Piece, more: usize) -> ProductId {
    let given = piece.products.iter().map(|product| product.id.number()).fold(piece.ids.products, u32::max);
    ProductId(given.saturating_add(1).saturating_add(more as u32))
}

/// A mix as a product: 'walnut stain 3 parts + red 1 part'.
fn made(piece: &Piece, pot: &Pot<'_>, recipe: &Recipe, id: ProductId) -> Product {
    let mut most_first = recipe.clone();
    most_first.sort_by_key(|(place, parts)| (std::cmp::Reverse(*parts), *place));
    let cans: Vec<(&Product, u32)> = most_first.iter().map(|(place, parts)| (pot.cans[*place].0, *parts)).collect();
    let of =
        |(can, parts): &(&Product, u32)| format!("{} {parts} {}", can.name, if *parts == 1 { "part" } else { "parts" });
    let plain = cans.iter().map(of).collect::<Vec<_>>().join(" + ");
    let taken = |name: &str| piece.products.iter().any(|other| other.name.to_lowercase() == name.to_lowercase());
    let numbered = (2..).map(|number| format!("{plain} (mix {number})"));
    let name = std::iter::once(plain.clone()).chain(numbered).find(|name| !taken(name)).unwrap_or_default();
    let mut cautions: Vec<String> = Vec::new();
    for caution in cans.iter().flat_map(|(can, _)| &can.cautions) {
        if !cautions.contains(caution) {
            cautions.push(caution.clone());
        }
    }
    let first = cans[0].0;
    let same_coverage = cans.iter().all(|(can, _)| can.coverage_m2_per_l == first.coverage_m2_per_l);
    // Of one carrier only wiping stains are of two kinds.
    let kinds_differ = cans.iter().any(|(can, _)| can.kind != first.kind);
    let kind = if kinds_differ { piece::Kind::DyeAndPigment } else { first.kind };
    Product {
        reducer: first.reducer.clone(),
        coverage_m2_per_l: first.coverage_m2_per_l.filter(|_| same_coverage),
        drying_hours: cans.iter().filter_map(|(can, _)| can.drying_hours).reduce(f64::max),
        mix: cans.iter().map(|(can, parts)| Share { product: can.id, parts: f64::from(*parts) }).collect(),
        cautions,
        ..Product::new(id, name, kind)
    }
}
