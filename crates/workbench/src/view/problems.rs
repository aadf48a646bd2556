//! What is wrong with the piece, in the names that the window uses.

use piece::{BoardId, Id, PartId, PhotoId, Piece, ProductId, ReadingId};

use crate::{Workbench, words};

/// What the list and the line that opens it show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems {
    /// How many there are, in words; empty where nothing is wrong.
    pub line: String,
    /// Each: where, and what is wrong and what to do.
    pub rows: Vec<(String, String)>,
}

impl Workbench {
    /// What is wrong with the open piece.
    pub fn problems_view(&self) -> Problems {
        let (Some(piece), Some((_, found))) = (self.piece(), &self.problems) else { return Problems::default() };
        let row = |problem: &piece::Problem| {
            let text = named(piece, &problem.text);
            // A file is called as it is.
            let is_file = text.split(' ').next().is_some_and(|word| word.contains(['/', '.']));
            let text = if is_file { text } else { words::capital(&text) };
            (words::capital(&named(piece, &problem.at)), format!("{}.", text.trim_end_matches('.')))
        };
        let line = match found.len() {
            0 => String::new(),
            1 => "1 thing to put right".to_owned(),
            n => format!("{n} things to put right"),
        };
        Problems { line, rows: found.iter().map(row).collect() }
    }
}

/// A text with the names and numbers of the window in place of ids: `front four` for `part p4`.
fn named(piece: &Piece, text: &str) -> String {
    let mut said: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let id = word.trim_end_matches([',', '.', ':', ';']);
        let Some(name) = name_of(piece, id) else {
            said.push(word.to_owned());
            continue;
        };
        // The kind stood before the id, or the name says it: `part p4`, `trial t3`.
        let kind = ["part", "board", "product", "photo", "reading", "trial"];
        if said.last().is_some_and(|last| kind.contains(&last.as_str())) {
            said.pop();
        }
        said.push(format!("{name}{}", &word[id.len()..]));
    }
    said.join(" ")
}

/// What an id stands for, where it is in the piece.
fn name_of(piece: &Piece, id: &str) -> Option<String> {
    let number = |id: u32| id.to_string();
    match id.chars().next()? {
        PartId::LETTER => piece.part(id.parse().ok()?).map(|part| part.name.clone()),
        BoardId::LETTER => piece.board(id.parse().ok()?).map(|board| board.name.clone()),
        ProductId::LETTER => piece.product(id.parse().ok()?).map(|product| product.name.clone()),
        PhotoId::LETTER => {
            let id: PhotoId = id.parse().ok()?;
            let place = piece.photos.iter().position(|photo| photo.id == id)?;
            Some(format!("photo {}", place + 1))
        }
        ReadingId::LETTER => {
            let id: ReadingId = id.parse().ok()?;
            let of = piece.reading(id)?.of;
            Some(format!("reading {} of {}", number(id.number()), words::surface(piece, of)))
        }
        piece::TrialId::LETTER => {
            let id: piece::TrialId = id.parse().ok()?;
            piece.trial(id).map(|_| format!("trial {}", number(id.number())))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::oak_chest;

    #[test]
    fn ids_are_told_by_the_names_of_the_window() {
        let piece = oak_chest();
        for (text, said) in [
            ("part p5", "front four"),
            ("joint of p1 and p2", "joint of carcass and front one"),
            ("trial t1", "trial 1"),
            ("product c1", "amber dye"),
            (
                "step 1, reading r1 is said to be bare dry: correct it",
                "step 1, reading 1 of carcass is said to be bare dry: correct it",
            ),
            ("names part p99, which is not there", "names part p99, which is not there"),
        ] {
            assert_eq!(named(&piece, text), said);
        }
    }
}
