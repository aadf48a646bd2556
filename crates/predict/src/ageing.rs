//! The colour in a year: a note, never a number.
//!
//! The texts travel in `assets/ageing.json`, each with its source or 'common practice, no source'.

use piece::{Part, Step};
use serde::Deserialize;

const FILE: &str = include_str!("../../../assets/ageing.json");

/// What becomes of a colour within about a year of daylight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AgeingNote {
    /// What is expected: 'cherry darkens and reddens'.
    pub text: String,
    /// Where that is known from.
    pub source: String,
}

#[derive(Deserialize)]
struct Wood {
    names: Vec<String>,
    change: String,
    source: String,
}

#[derive(Deserialize)]
struct Colourant {
    on: String,
    change: String,
    source: String,
}

#[derive(Deserialize)]
struct Aged {
    change: String,
    source: String,
}

#[derive(Deserialize)]
struct File {
    woods: Vec<Wood>,
    colourants: Vec<Colourant>,
    aged: Aged,
}

/// Whether the name of its wood, or its note, calls a part aged.
fn is_aged(part: &Part) -> bool {
    let said = format!("{} {}", part.wood, part.note).to_lowercase();
    said.split(|letter: char| !letter.is_alphabetic()).any(|word| word == "aged")
}

/// What to know of the colour in a year, of the wood first, then of what is put on it. None where nothing is known.
pub fn notes(part: &Part, steps: &[Step]) -> Vec<AgeingNote> {
    let Ok(file) = serde_json::from_str::<File>(FILE) else { return Vec::new() };
    let wood = part.wood.to_lowercase();
    let words: Vec<&str> = wood.split(|letter: char| !letter.is_alphabetic()).collect();
    let named = |name: &String| words.contains(&name.as_str());
    let mut notes = Vec::new();
    for found in file.woods.iter().filter(|wood| wood.names.iter().any(named)) {
        let name = found.names.iter().find(|name| named(name)).cloned().unwrap_or_default();
        notes.push(AgeingNote { text: format!("{name} {}", found.change), source: found.source.clone() });
    }
    // What an aged face still does is little beside what new wood does.
    if is_aged(part) && !notes.is_empty() {
        notes = vec![AgeingNote { text: file.aged.change, source: file.aged.source }];
    }
    let on = |name: &str| match name {
        "dye" => steps.iter().any(|step| matches!(step, Step::Dye { .. })),
        "bleach" => steps.iter().any(|step| matches!(step, Step::Bleach { .. })),
        _ => false,
    };
    let colourants = file.colourants.into_iter().filter(|colourant| on(&colourant.on));
    notes.extend(colourants.map(|colourant| AgeingNote { text: colourant.change, source: colourant.source }));
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use piece::{PartId, ProductId};

    fn said(wood: &str, steps: &[Step]) -> Vec<String> {
        let part = Part::new(PartId(1), "door", wood);
        notes(&part, steps).into_iter().map(|note| note.text).collect()
    }

    /// Common practice, no source: cherry darkens, walnut lightens, dyes fade.
    #[test]
    fn woods_are_known_by_whole_words_and_dye_fades() {
        let dye = Step::Dye { product: ProductId(1), grams_per_litre: 8.0, coats: 1 };
        assert!(said("Cherry veneer", &[])[0].starts_with("cherry darkens"));
        assert!(said("black walnut", &[])[0].starts_with("walnut lightens"));
        assert_eq!(said("washed beech", &[]), [] as [String; 0], "'ash' is not in 'washed'");
        assert_eq!(said("beech", &[dye]), ["dye fades in daylight"]);
    }

    /// Common practice, no source: most of the change is in the first months, so an aged face is not left lighter for it. The wood's
    /// name says so, or what is noted of the part.
    #[test]
    fn an_aged_face_is_not_told_to_darken_like_new_wood() {
        let aged = said("cherry, aged", &[]);
        assert!(aged.len() == 1 && aged[0].starts_with("an aged face has done most"), "{aged:?}");
        let part = Part { note: "Aged veneer; leave it".into(), ..Part::new(PartId(1), "fall", "cherry") };
        assert_eq!(notes(&part, &[]).into_iter().map(|note| note.text).collect::<Vec<_>>(), aged);
        assert_eq!(said("beech, aged", &[]), [] as [String; 0]);
    }

    #[test]
    fn every_note_has_its_source() {
        let file: File = serde_json::from_str(FILE).unwrap();
        assert!(file.woods.iter().all(|wood| !wood.source.is_empty() && !wood.change.is_empty()));
        assert!(
            file.colourants.iter().all(|one| ["dye", "bleach"].contains(&one.on.as_str()) && !one.source.is_empty())
        );
    }
}
