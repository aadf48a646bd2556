//! The steps of a line: what was done, with which product.

use piece::{Bleach, Kind, Piece, Product, Step};

use crate::words::either;

use super::{
    amount::{BLEACHINGS, COATS, PASSES, grams, grit, reduced, times, wiped},
    place::starts_with,
};

/// The step at the start of some words, and how many of them it takes.
pub(super) fn step(words: &[&str], piece: &Piece) -> Result<(Step, usize), String> {
    if let Some((product, used)) = product(words, piece)? {
        return coloured(product, &words[used..]).map(|(step, more)| (step, used + more));
    }
    let after = |n: usize| words.get(n..).unwrap_or_default();
    let bleach = |kind, n: usize| {
        let (times, used) = times(after(n), words[0], BLEACHINGS)?;
        Ok((Step::Bleach { kind, times }, n + used))
    };
    // `two-part bleach` and `two-part` are the same; so are the others with their common second word.
    let with = |more: &[&str]| if words.get(1).is_some_and(|word| more.contains(word)) { 2 } else { 1 };
    match words[0] {
        "chlorine" => bleach(Bleach::Chlorine, with(&["bleach"])),
        "two-part" | "twopart" | "peroxide" => bleach(Bleach::TwoPart, with(&["bleach"])),
        "oxalic" => bleach(Bleach::Oxalic, with(&["acid", "bleach"])),
        "caustic" => bleach(Bleach::CausticAlone, with(&["soda"])),
        "natural" => Ok((Step::LeaveNatural, 1)),
        "leave" => Ok((Step::LeaveNatural, with(&["natural"]))),
        "pre-wet" | "prewet" => Ok((Step::PreWet, 1)),
        "damp" => Ok((Step::DampDown, with(&["down"]))),
        "washcoat" => Ok((Step::Washcoat, 1)),
        "fill" | "filler" => Ok((Step::Fill { product: None }, 1)),
        "seal" | "sealer" => Ok((Step::Seal, 1)),
        "sand" => grit(after(1)).map(|(grit, used)| (Step::Sand { grit }, 1 + used)),
        "topcoat" | "topcoated" => Ok((topcoat(piece, None), 1)),
        _ => named_topcoat(words, piece).ok_or_else(|| unknown(words[0], piece)),
    }
}

/// The topcoat the piece gets; or one named here.
pub(super) fn topcoat(piece: &Piece, named: Option<(&str, &str)>) -> Step {
    let own = piece.topcoat.clone().unwrap_or_else(|| ("oil".into(), "satin".into()));
    let (topcoat, sheen) = named.map_or(own, |(topcoat, sheen)| (topcoat.into(), sheen.into()));
    Step::Topcoat { topcoat, sheen }
}

/// `oil satin`, `lacquer matt topcoat`: a topcoat by its name and sheen.
fn named_topcoat(words: &[&str], piece: &Piece) -> Option<(Step, usize)> {
    const SHEENS: [&str; 5] = ["matt", "satin", "semi-gloss", "gloss", "eggshell"];
    let tail = |n: usize| n + usize::from(words.get(n) == Some(&"topcoat"));
    let sheen = words.get(1).filter(|word| SHEENS.contains(word));
    if let Some(sheen) = sheen {
        return Some((topcoat(piece, Some((words[0], sheen))), tail(2)));
    }
    (words.get(1) == Some(&"topcoat")).then(|| (topcoat(piece, Some((words[0], ""))), 2))
}

/// A product by its whole name, or by its first word where only one can, or else only one mix, has it; a line where
/// several have it.
fn product<'p>(words: &[&str], piece: &'p Piece) -> Result<Option<(&'p Product, usize)>, String> {
    let whole =
        piece.products.iter().filter_map(|p| starts_with(words, &p.name.to_lowercase()).map(|used| (&**p, used)));
    if let Some(found) = whole.max_by_key(|(_, used)| *used) {
        return Ok(Some(found));
    }
    let is_first = |product: &Product| product.name.to_lowercase().split_whitespace().next() == Some(words[0]);
    let all: Vec<&Product> = piece.products.iter().map(|product| &**product).filter(|one| is_first(one)).collect();
    // What comes from a can first: a mix begins with the name of one.
    let (cans, mixes): (Vec<&Product>, Vec<&Product>) = all.iter().partition(|product| product.mix.is_empty());
    match (&cans[..], &mixes[..]) {
        ([], []) => Ok(None),
        ([only], _) | ([], [only]) => Ok(Some((only, 1))),
        _ => {
            let names: Vec<String> = all.iter().map(|product| product.name.clone()).collect();
            Err(format!("‘{}’ may be {}: write the whole name.", words[0], either(&names)))
        }
    }
}

/// The step that a product makes, with the strength that follows its name.
fn coloured(product: &Product, words: &[&str]) -> Result<(Step, usize), String> {
    let (id, name) = (product.id, product.name.as_str());
    match product.kind {
        Kind::WaterDye | Kind::AlcoholDye => {
            let (grams_per_litre, used) = grams(words, name)?;
            let (coats, more) = times(&words[used..], name, COATS)?;
            Ok((Step::Dye { product: id, grams_per_litre, coats }, used + more))
        }
        Kind::Pigment | Kind::Gel | Kind::DyeAndPigment => {
            let (reducer_parts, used) = reduced(words, name)?;
            let (coats, more) = times(&words[used..], name, COATS)?;
            let (wipe_minutes, last) = wiped(&words[used + more..])?;
            Ok((Step::Stain { product: id, reducer_parts, coats, wipe_minutes }, used + more + last))
        }
        Kind::Toner => {
            let (passes, used) = times(words, name, PASSES)?;
            let more = usize::from(matches!(words.get(used), Some(&"passes" | &"pass")));
            Ok((Step::Toner { product: id, passes }, used + more))
        }
        Kind::Glaze => {
            let (reducer_parts, used) = reduced(words, name)?;
            Ok((Step::Glaze { product: id, reducer_parts }, used))
        }
        Kind::Filler => Ok((Step::Fill { product: Some(id) }, 0)),
    }
}

/// Every step that is no product, as it may be typed.
pub(super) const STEPS: [&str; 12] = [
    "sand 180",
    "pre-wet",
    "damp down",
    "chlorine",
    "two-part",
    "oxalic",
    "caustic",
    "washcoat",
    "fill",
    "seal",
    "natural",
    "topcoat",
];

fn unknown(word: &str, piece: &Piece) -> String {
    let names: Vec<&str> = piece.products.iter().map(|product| product.name.as_str()).collect();
    let products = if names.is_empty() { "none yet".into() } else { names.join(", ") };
    format!(
        "‘{word}’ is no step and no product of this piece. Steps: {}. Products: {products}. What is missing is added first, as in: new amber dye, alcohol dye.",
        STEPS.join(", ")
    )
}
