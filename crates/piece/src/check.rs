//! What is wrong with a piece: what edits would refuse, in a file written by other hands, and what they allow but
//! cannot be right.

mod states;
mod trials;

use std::{collections::BTreeSet, fmt};

use crate::{Error, Kind, MatchSample, PhotoId, Piece, Step, Surface, Trial, valid};

/// One thing that is wrong: where, what, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where: 'reading r3'.
    pub at: String,
    /// What is wrong, and what to do about it.
    pub text: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.at, self.text)
    }
}

/// What is wrong with a piece, as far as can be seen without its folder.
pub fn check(piece: &Piece) -> Vec<Problem> {
    check_with_missing(piece, &[])
}

/// The same, where the files of these photos are not in the folder.
pub fn check_with_missing(piece: &Piece, missing: &[PhotoId]) -> Vec<Problem> {
    let mut found = Found(Vec::new());
    found.note("piece", valid::name("piece", &piece.name));
    parts_and_boards(piece, &mut found);
    products_and_photos(piece, missing, &mut found);
    for reading in &piece.readings {
        found.note(format!("reading {}", reading.id), valid::reading(piece, reading));
    }
    for trial in &piece.trials {
        found.0.extend(of_trial(piece, trial));
    }
    target(piece, &mut found);
    found.0
}

/// Whether the numbers of a trial's steps are such as can be: none below nothing or beyond all measure.
pub fn can_be(trial: &Trial) -> bool {
    trial.steps().all(|step| valid::numbers("", step).is_ok())
}

/// What is wrong with one trial.
pub fn of_trial(piece: &Piece, trial: &Trial) -> Vec<Problem> {
    let mut found = Found(Vec::new());
    let at = format!("trial {}", trial.id);
    found.note(at.as_str(), valid::trial(piece, trial));
    kinds(piece, &at, trial, &mut found);
    let texts = states::impossible(piece, trial).into_iter().chain(trials::gels_in_spirit(piece, trial));
    let texts = texts.chain(states::coated_before(piece, trial));
    for text in texts.chain(trials::nothing_before(piece, trial)) {
        found.add(at.as_str(), text);
    }
    found.0
}

struct Found(Vec<Problem>);

impl Found {
    fn add(&mut self, at: impl Into<String>, text: impl Into<String>) {
        self.0.push(Problem { at: at.into(), text: text.into() });
    }

    fn note(&mut self, at: impl Into<String>, checked: Result<(), Error>) {
        if let Err(error) = checked {
            let (at, text) = (at.into(), error.to_string());
            // Where is not said twice.
            let text = text.strip_prefix(&format!("{at}: ")).unwrap_or(&text).to_owned();
            self.add(at, text);
        }
    }
}

fn parts_and_boards(piece: &Piece, found: &mut Found) {
    let mut names = BTreeSet::new();
    for part in &piece.parts {
        let at = format!("part {}", part.id);
        found.note(at.as_str(), valid::part(part));
        if !names.insert(part.name.trim().to_lowercase()) {
            found.add(at, format!("another part is called '{}' too: rename one of them", part.name));
        }
    }
    for (index, joint) in piece.joints.iter().enumerate() {
        let at = format!("joint of {} and {}", joint.a, joint.b);
        for part in [joint.a, joint.b] {
            found.note(at.as_str(), valid::surface(piece, Surface::Part(part)));
        }
        if joint.a == joint.b {
            found.add(at, "a part does not meet itself: remove the joint");
        } else if piece.joints[..index].iter().any(|other| other.joins(joint.a, joint.b)) {
            found.add(at, "these parts are joined twice: keep one of the joints");
        }
    }
    let mut names = BTreeSet::new();
    for board in &piece.boards {
        let at = format!("board {}", board.id);
        found.note(at.as_str(), valid::name("board", &board.name));
        if piece.part(board.stands_for).is_none() {
            let text = format!(
                "'{}' stands for part {}, which is not there: say whose wood it is",
                board.name, board.stands_for
            );
            found.add(at.as_str(), text);
        }
        if !names.insert(board.name.trim().to_lowercase()) {
            found.add(at, format!("another board is called '{}' too: rename one of them", board.name));
        }
    }
}

fn products_and_photos(piece: &Piece, missing: &[PhotoId], found: &mut Found) {
    let mut names = BTreeSet::new();
    for past in &piece.past {
        found.note("past uses", valid::past_use(piece, past));
    }
    for product in &piece.products {
        let at = format!("product {}", product.id);
        found.note(at.as_str(), valid::product(piece, product, Some(product.id)));
        if !names.insert(product.name.trim().to_lowercase()) {
            found.add(at, format!("another product is called '{}' too: rename one of them", product.name));
        }
    }
    let mut files = BTreeSet::new();
    for photo in &piece.photos {
        let at = format!("photo {}", photo.id);
        found.note(at.as_str(), valid::photo(photo));
        if missing.contains(&photo.id) {
            let text =
                format!("{} is not in the folder: put the file back, or remove the photo and its readings", photo.file);
            found.add(at.as_str(), text);
        }
        if !files.insert(photo.file.to_lowercase()) {
            found.add(at, format!("another photo is {} too: keep one of them", photo.file));
        }
    }
}

/// Steps with a product that is not for such a step.
fn kinds(piece: &Piece, at: &str, trial: &Trial, found: &mut Found) {
    for step in trial.steps() {
        let Some(product) = valid::product_of(step).and_then(|id| piece.product(id)) else { continue };
        let (used_as, fits) = match step {
            Step::Dye { .. } => {
                ("a dye", matches!(product.kind, Kind::WaterDye | Kind::AlcoholDye | Kind::DyeAndPigment))
            }
            Step::Stain { .. } => ("a stain", matches!(product.kind, Kind::Pigment | Kind::Gel | Kind::DyeAndPigment)),
            Step::Glaze { .. } => ("a glaze", product.kind == Kind::Glaze),
            Step::Toner { .. } => ("a toner", product.kind == Kind::Toner),
            Step::Fill { .. } => ("a filler", product.kind == Kind::Filler),
            _ => continue,
        };
        if !fits {
            let text = format!(
                "'{}' is used as {used_as} but is of another kind: correct the step or the product",
                product.name
            );
            found.add(at, text);
        }
    }
}

fn target(piece: &Piece, found: &mut Found) {
    let dangling = match &piece.match_sample {
        MatchSample::AllAlike => None,
        MatchSample::Part(id) => piece.part(*id).is_none().then(|| id.to_string()),
        MatchSample::Reading(id) => piece.reading(*id).is_none().then(|| id.to_string()),
        MatchSample::Board(id) => piece.board(*id).is_none().then(|| id.to_string()),
        MatchSample::Trial(id) => piece.trial(*id).is_none().then(|| id.to_string()),
        MatchSample::Photo(id) => piece.photo(*id).is_none().then(|| id.to_string()),
    };
    if let Some(id) = dangling {
        found.add("match sample", format!("{id} is not there: choose another"));
    }
    if let Some((name, _)) = &piece.topcoat {
        found.note("topcoat", valid::name("topcoat", name));
    }
    found.note("tolerances", valid::tolerances(piece, &piece.tolerances));
    if let Some(plan) = &piece.plan {
        found.note("plan", valid::plan(piece, plan));
    }
}

#[cfg(test)]
mod tests;
