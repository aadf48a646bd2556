//! What is wrong with a piece: what edits would refuse, in a file written by other hands, and what they allow but
//! cannot be right.

mod states;
mod trials;

use std::{collections::BTreeSet, fmt};

use crate::{Error, Kind, MatchSample, PhotoId, Piece, Reading, Step, Surface, Trial, valid};

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

/// Why a trial cannot be as it is written down, so that nothing can be learned from it: a number of a step or reading that cannot
/// be, or a step with a product that is not for such a step. None where it can.
pub fn cannot_be(piece: &Piece, trial: &Trial) -> Option<String> {
    let number = |step: &Step| valid::numbers("", step).err().map(|error| said("", &error).1);
    let reading = |id| {
        let reading = piece.reading(id)?;
        let error = valid::reading_numbers("", reading).err()?;
        Some(format!("reading {id}: {}", said("", &error).1))
    };
    let numbers = trial.steps().find_map(number);
    numbers
        .or_else(|| trial.steps().find_map(|step| misused(piece, step)))
        .or_else(|| trial.readings().find_map(reading))
}

/// Whether the colour of a reading and its errors are such as can be.
pub fn can_be_read(reading: &Reading) -> bool {
    valid::reading_numbers("", reading).is_ok()
}

/// What is wrong with one trial.
pub fn of_trial(piece: &Piece, trial: &Trial) -> Vec<Problem> {
    let mut found = Found(Vec::new());
    let at = format!("trial {}", trial.id);
    found.note(at.as_str(), valid::trial(piece, trial));
    trial.steps().filter_map(|step| misused(piece, step)).for_each(|text| found.add(at.as_str(), text));
    let texts = states::impossible(piece, trial).into_iter().chain(trials::gels_in_spirit(piece, trial));
    let texts = texts.chain(states::coated_before(piece, trial));
    let texts = texts.chain(trials::used_again(piece, trial)).chain(trials::natural_and_not(trial));
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
            let (at, text) = said(&at.into(), &error);
            self.add(at, text);
        }
    }
}

/// Where and what is wrong, so that where is not said twice: the place that is named here, or a more exact one of the error's.
fn said(at: &str, error: &Error) -> (String, String) {
    let Error::Invalid { at: own, problem } = error else { return (at.to_owned(), error.to_string()) };
    let kind = |at: &str| at.split(' ').next().unwrap_or_default().to_owned();
    if own.starts_with(&format!("{at} ")) {
        (own.clone(), problem.clone())
    } else if kind(own) == kind(at) {
        (at.to_owned(), problem.clone())
    } else {
        (at.to_owned(), error.to_string())
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
        found.note("past use", valid::past_use(piece, past));
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

/// What is wrong with a step whose product is not for such a step: a gel has no grams to the litre.
fn misused(piece: &Piece, step: &Step) -> Option<String> {
    let product = valid::product_of(step).and_then(|id| piece.product(id))?;
    let (used_as, fits) = match step {
        Step::Dye { .. } => {
            ("a dye, in g/L,", matches!(product.kind, Kind::WaterDye | Kind::AlcoholDye | Kind::DyeAndPigment))
        }
        Step::Stain { .. } => ("a stain", matches!(product.kind, Kind::Pigment | Kind::Gel | Kind::DyeAndPigment)),
        Step::Glaze { .. } => ("a glaze", product.kind == Kind::Glaze),
        Step::Toner { .. } => ("a toner", product.kind == Kind::Toner),
        Step::Fill { .. } => ("a filler", product.kind == Kind::Filler),
        _ => return None,
    };
    (!fits).then(|| {
        format!("'{}' is used as {used_as} but is of another kind: correct the step or the product", product.name)
    })
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
        for (part, steps) in &plan.schedules {
            let at = format!("plan for {}", piece.surface_name(Surface::Part(*part)));
            steps.iter().filter_map(|step| misused(piece, step)).for_each(|text| found.add(at.as_str(), text));
        }
    }
}

#[cfg(test)]
mod tests;
