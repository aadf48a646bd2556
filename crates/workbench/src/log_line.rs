//! The log line: a trial typed in one breath, `board 1 chlorine x2 amber dye 4 g/L topcoat`.
//!
//! First where (a board's or part's name), then the steps in order. Products are called by their names, or by the first
//! word of a name where that is enough. A colour typed after `dry`, `wet`, `sealed` or `coated` (`dry 63/6.5/23`) becomes a
//! reading after the step before it.

use colour::Lab;
use piece::{Bleach, Kind, Piece, Product, Step, Surface};

use crate::task::lab_typed;

/// A trial as it was typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Where it was made.
    pub on: Surface,
    /// Colours typed before the first step.
    pub before: Vec<Typed>,
    /// The steps, each with the colours typed after it.
    pub stages: Vec<(Step, Vec<Typed>)>,
}

/// A colour typed in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed {
    /// Its state.
    pub state: TypedState,
    /// The colour.
    pub lab: Lab,
}

/// The states that can be typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TypedState {
    /// Dry: bare before the first colouring step, colour dry after it.
    Dry,
    /// Wetted with spirit.
    Wet,
    /// Sealed.
    Sealed,
    /// Under the clear coats.
    Coated,
}

/// Reads a log line for a piece.
///
/// # Errors
/// One line saying which word is not understood and what could stand there.
pub fn parse(text: &str, piece: &Piece) -> Result<Logged, String> {
    let text = text.to_lowercase().replace(['×', '*'], "x");
    let mut words: Vec<&str> = text.split_whitespace().map(|word| word.trim_matches([',', ';', '·'])).collect();
    words.retain(|word| !word.is_empty() && *word != "then");
    if words.is_empty() {
        return Err(format!("Say where first, then the steps: {}.", example(piece)));
    }
    let (on, mut rest) = place(&words, piece)?;
    let mut logged = Logged { on, before: Vec::new(), stages: Vec::new() };
    while !rest.is_empty() {
        if let Some((typed, used)) = typed(rest)? {
            // A colour under the clear coat says that the clear coat was put on.
            let coated = logged.stages.last().is_some_and(|(step, _)| matches!(step, Step::Topcoat { .. }));
            if typed.state == TypedState::Coated && !coated && !logged.stages.is_empty() {
                logged.stages.push((topcoat(piece, None), Vec::new()));
            }
            match logged.stages.last_mut() {
                Some((_, readings)) => readings.push(typed),
                None => logged.before.push(typed),
            }
            rest = &rest[used..];
        } else {
            let (step, used) = step(rest, piece)?;
            logged.stages.push((step, Vec::new()));
            rest = &rest[used..];
        }
    }
    if logged.stages.is_empty() {
        return Err(format!("No step yet: add what was done, as in {}.", example(piece)));
    }
    Ok(logged)
}

/// A line that would be understood for this piece.
pub fn example(piece: &Piece) -> String {
    let on = piece.boards.first().map(|b| b.name.clone()).or_else(|| piece.parts.first().map(|p| p.name.clone()));
    let dye = piece.products.iter().find(|p| matches!(p.kind, Kind::AlcoholDye | Kind::WaterDye));
    let what = dye.map_or_else(|| "sand 180".to_owned(), |p| format!("{} 4 g/L", p.name));
    format!("{} {what} topcoat", on.unwrap_or_else(|| "board 1".into())).to_lowercase()
}

fn place<'a, 'w>(words: &'a [&'w str], piece: &Piece) -> Result<(Surface, &'a [&'w str]), String> {
    let boards = piece.boards.iter().map(|board| (board.name.to_lowercase(), Surface::Board(board.id)));
    let parts = piece.parts.iter().map(|part| (part.name.to_lowercase(), Surface::Part(part.id)));
    let named = boards.chain(parts).filter_map(|(name, on)| starts_with(words, &name).map(|used| (used, on)));
    if let Some((used, on)) = named.max_by_key(|(used, _)| *used) {
        return Ok((on, &words[used..]));
    }
    // `board 2` is the second board whatever it is called.
    if let (Some(&"board"), Some(Ok(number))) = (words.first(), words.get(1).map(|word| word.parse::<usize>()))
        && let Some(board) = number.checked_sub(1).and_then(|place| piece.boards.get(place))
    {
        return Ok((Surface::Board(board.id), &words[2..]));
    }
    let known: Vec<_> =
        piece.boards.iter().map(|b| b.name.clone()).chain(piece.parts.iter().map(|p| p.name.clone())).collect();
    Err(format!("‘{}’ is no board or part of this piece. Known: {}.", words[0], known.join(", ")))
}

/// How many words `name` takes at the start, if it stands there.
fn starts_with(words: &[&str], name: &str) -> Option<usize> {
    let name: Vec<_> = name.split_whitespace().collect();
    (!name.is_empty() && words.len() >= name.len() && words.iter().zip(&name).all(|(a, b)| a == b))
        .then_some(name.len())
}

fn step(words: &[&str], piece: &Piece) -> Result<(Step, usize), String> {
    if let Some((product, used)) = product(words, piece) {
        return coloured(product, &words[used..]).map(|(step, more)| (step, used + more));
    }
    let after = |n: usize| words.get(n..).unwrap_or_default();
    let bleach = |kind, n: usize| {
        let (times, used) = times(after(n));
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
        "sand" => sand(after(1)).map(|(grit, used)| (Step::Sand { grit }, 1 + used)),
        "topcoat" | "topcoated" => Ok((topcoat(piece, None), 1)),
        _ => named_topcoat(words, piece).ok_or_else(|| unknown(words[0], piece)),
    }
}

fn sand(words: &[&str]) -> Result<(u32, usize), String> {
    let grit = words.first().and_then(|word| word.trim_start_matches(['p', 'g']).parse().ok());
    let grit = grit.ok_or("Sand to which grit? For instance: sand 180.")?;
    Ok((grit, if words.get(1) == Some(&"grit") { 2 } else { 1 }))
}

/// The topcoat the piece gets; or one named here.
fn topcoat(piece: &Piece, named: Option<(&str, &str)>) -> Step {
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

/// A product by its whole name, or by its first word where only one can, or else only one mix, has it.
fn product<'p>(words: &[&str], piece: &'p Piece) -> Option<(&'p Product, usize)> {
    let whole =
        piece.products.iter().filter_map(|p| starts_with(words, &p.name.to_lowercase()).map(|used| (&**p, used)));
    if let Some(found) = whole.max_by_key(|(_, used)| *used) {
        return Some(found);
    }
    // What comes from a can first: a mix begins with the name of one.
    let only = |mixed: bool| {
        let mut by_first = piece.products.iter().filter(|product| {
            product.mix.is_empty() != mixed && product.name.to_lowercase().split_whitespace().next() == Some(words[0])
        });
        by_first.next().filter(|_| by_first.next().is_none())
    };
    only(false).or_else(|| only(true)).map(|product| (&**product, 1))
}

/// The step that a product makes, with the strength that follows its name.
fn coloured(product: &Product, words: &[&str]) -> Result<(Step, usize), String> {
    let id = product.id;
    match product.kind {
        Kind::WaterDye | Kind::AlcoholDye => {
            let (grams_per_litre, used) = grams(words)
                .ok_or_else(|| format!("How strong is {}? For instance: {} 4 g/L.", product.name, product.name))?;
            let (coats, more) = times(&words[used..]);
            Ok((Step::Dye { product: id, grams_per_litre, coats }, used + more))
        }
        Kind::Pigment | Kind::Gel | Kind::DyeAndPigment => {
            let (reducer_parts, used) = reduced(words).unwrap_or((0.0, 0));
            let (coats, more) = times(&words[used..]);
            let (wipe_minutes, last) = wiped(&words[used + more..])?;
            Ok((Step::Stain { product: id, reducer_parts, coats, wipe_minutes }, used + more + last))
        }
        Kind::Toner => {
            let (passes, used) = times(words);
            let more = usize::from(matches!(words.get(used), Some(&"passes" | &"pass")));
            Ok((Step::Toner { product: id, passes }, used + more))
        }
        Kind::Glaze => {
            let (reducer_parts, used) = reduced(words).unwrap_or((0.0, 0));
            Ok((Step::Glaze { product: id, reducer_parts }, used))
        }
        Kind::Filler => Ok((Step::Fill { product: Some(id) }, 0)),
    }
}

/// `x2`, `2x`, `twice`, `once`, or a bare `2`; once where nothing is said.
fn times(words: &[&str]) -> (u32, usize) {
    let Some(word) = words.first() else { return (1, 0) };
    let bare = word.trim_start_matches('x').trim_end_matches('x');
    let number = match *word {
        "once" => Some(1),
        "twice" => Some(2),
        "thrice" => Some(3),
        _ => bare.parse().ok().filter(|n| (1..=9).contains(n)),
    };
    number.map_or((1, 0), |n| (n, 1))
}

/// `wiped off after 5 min`, `wiped 5`, `wipe 5 minutes`: not stated where nothing is said.
fn wiped(words: &[&str]) -> Result<(Option<f64>, usize), String> {
    if !matches!(words.first(), Some(&"wiped" | &"wipe")) {
        return Ok((None, 0));
    }
    let before = 1 + words[1..].iter().take_while(|word| matches!(**word, "off" | "after")).count();
    let said = words.get(before).copied().unwrap_or_default();
    let joined = ["minutes", "min"].into_iter().find_map(|unit| said.strip_suffix(unit));
    let minutes = joined.unwrap_or(said).parse::<f64>().ok().filter(|minutes| *minutes > 0.0 && *minutes <= 1440.0);
    let minutes = minutes.ok_or("Wiped off after how many minutes? For instance: wiped 5 min.")?;
    let unit = joined.is_none() && matches!(words.get(before + 1), Some(&"min" | &"minutes" | &"minute"));
    Ok((Some(minutes), before + 1 + usize::from(unit)))
}

/// `4 g/l`, `4g/l`, or a bare `4`.
fn grams(words: &[&str]) -> Option<(f64, usize)> {
    let first = words.first()?;
    let (digits, joined) = match first.strip_suffix("g/l") {
        Some(digits) => (digits, true),
        None => (*first, false),
    };
    let value: f64 = digits.parse().ok().filter(|v: &f64| v.is_finite() && *v > 0.0 && *v <= 500.0)?;
    let unit = usize::from(!joined && matches!(words.get(1), Some(&"g/l" | &"g")));
    Some((value, 1 + unit))
}

/// `neat`, or stain to reducer: `1:2` and `2:1`.
fn reduced(words: &[&str]) -> Option<(f64, usize)> {
    let word = words.first()?;
    if *word == "neat" {
        return Some((0.0, 1));
    }
    let (stain, reducer) = word.split_once(':')?;
    let (stain, reducer): (f64, f64) = (stain.parse().ok()?, reducer.parse().ok()?);
    (stain > 0.0 && reducer >= 0.0 && reducer / stain <= 100.0).then(|| (reducer / stain, 1))
}

/// `dry 63/6.5/23`: a colour typed in.
fn typed(words: &[&str]) -> Result<Option<(Typed, usize)>, String> {
    let state = match words[0] {
        "dry" => TypedState::Dry,
        "wet" => TypedState::Wet,
        "sealed" => TypedState::Sealed,
        "coated" => TypedState::Coated,
        _ => return Ok(None),
    };
    match words.get(1).and_then(|word| lab_typed(word)) {
        Some(lab) => Ok(Some((Typed { state, lab }, 2))),
        None => Err(format!("After ‘{}’ stands a colour as L*/a*/b*, for instance: {} 57/7.5/27.", words[0], words[0])),
    }
}

fn unknown(word: &str, piece: &Piece) -> String {
    let products: Vec<_> = piece.products.iter().map(|p| p.name.clone()).collect();
    let products = if products.is_empty() { "none yet".into() } else { products.join(", ") };
    format!(
        "‘{word}’ is no step or product. Products: {products}. Steps: chlorine, two-part, oxalic, sand, washcoat, seal, topcoat, … To add a product: new amber dye, alcohol dye"
    )
}
