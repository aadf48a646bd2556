//! The log line: a trial typed in one breath, `board 1 chlorine x2 amber dye 4 g/L topcoat`.
//!
//! First where (a board's or part's name), then the steps in order. Products are called by their names, or by the first
//! word of a name where that is enough. A colour typed after `dry`, `wet`, `sealed` or `coated` (`dry 63/6.5/23`) becomes a
//! reading after the step before it.

mod amount;
mod place;
mod step;
#[cfg(test)]
mod tests;

use colour::Lab;
use piece::{Kind, Piece, Step, Surface};

use crate::task::lab_typed;
pub(crate) use amount::{GRITS, grit};
use place::place;
use step::{step, topcoat};

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
    let text = as_typed(text);
    let words = words_of(&text);
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

/// The steps of a line that is still typed, as far as they are understood; what is not is passed over.
pub fn so_far(text: &str, piece: &Piece) -> Vec<Step> {
    let text = as_typed(text);
    let words = words_of(&text);
    let place = words.first().and_then(|_| place(&words, piece).ok());
    let mut rest: &[&str] = place.map_or(&[], |(_, rest)| rest);
    let mut steps = Vec::new();
    while !rest.is_empty() {
        // What is half typed behind a step is no reason to pass over the step.
        let found = (1..=rest.len()).rev().find_map(|count| step(&rest[..count], piece).ok());
        let used = found.map_or(1, |(step, used)| {
            steps.push(step);
            used
        });
        rest = &rest[used..];
    }
    steps
}

fn as_typed(text: &str) -> String {
    text.to_lowercase().replace(['×', '*'], "x")
}

fn words_of(text: &str) -> Vec<&str> {
    let words = text.split_whitespace().map(|word| word.trim_matches([',', ';', '·']));
    words.filter(|word| !word.is_empty() && *word != "then").collect()
}

/// What stands in the empty line: an example; where there is no board yet, that one comes first.
pub fn hint(piece: &Piece) -> String {
    let example = example(piece);
    if piece.boards.is_empty() { format!("add a board first; then as in {example}") } else { example }
}

/// A line that would be understood for this piece, once it has a board: what is tried is tried on one, not on the piece.
pub fn example(piece: &Piece) -> String {
    let on = piece.boards.first().map_or("board 1", |board| board.name.as_str());
    let dye = piece.products.iter().find(|p| matches!(p.kind, Kind::AlcoholDye | Kind::WaterDye));
    let what = dye.map_or_else(|| "sand 180".to_owned(), |p| format!("{} 4 g/L", p.name));
    format!("{on} {what} topcoat").to_lowercase()
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
        None => Err(format!(
            "After ‘{state}’ stands a colour as L*/a*/b*, L* from 0 to 100, a* and b* between −130 and 130, as in {state} 57/7.5/27.",
            state = words[0]
        )),
    }
}
