//! The shop book: what was taken up from earlier pieces, what of it is left aside, and what the book knows.

use std::collections::BTreeSet;

use piece::{PastUse, Piece};
use predict::trade;

use crate::{Workbench, words};

/// What the panel shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BookView {
    /// The book's file.
    pub file: String,
    /// Whether the file is there.
    pub is_there: bool,
    /// What was taken up here, by product: its name, and from where.
    pub taken_up: Vec<(String, String)>,
    /// What was learned with it, or why it is left aside: the step, and the note.
    pub notes: Vec<(String, String)>,
    /// Whether the notes are being worked out.
    pub updating: bool,
    /// What the book knows, by product: its name, and how much.
    pub known: Vec<(String, String)>,
    /// Why this piece's trials cannot be entered.
    pub not_entered: Option<&'static str>,
}

impl Workbench {
    /// What the shop book shows.
    pub fn book_view(&self) -> BookView {
        let Some(piece) = self.piece() else { return BookView::default() };
        let learned = self.book.learned.as_ref();
        let steps = learned.and_then(|tagged| tagged.value.as_ref().ok());
        let notes = steps.iter().flat_map(|learned| learned.iter()).filter_map(|one| {
            let of_book = one.from_book.as_ref()?;
            Some((words::capital(&one.words), format!("{}.", words::capital(of_book))))
        });
        let known = self.book.known.iter().flat_map(|known| &known.products);
        BookView {
            file: self.book_file().display().to_string(),
            is_there: self.book.known.is_some(),
            taken_up: taken_up(piece),
            notes: if piece.past.is_empty() { Vec::new() } else { notes.collect() },
            updating: !piece.past.is_empty() && learned.is_none_or(|tagged| !tagged.is_current(piece)),
            known: known
                .map(|one| {
                    let lots =
                        if one.lots.is_empty() { String::new() } else { format!("; lots {}", one.lots.join(", ")) };
                    let on = if one.woods.is_empty() { String::new() } else { format!(" on {}", one.woods.join(", ")) };
                    (words::capital(&one.name), format!("{}{on}{lots}", uses(one.uses)))
                })
                .collect(),
            not_entered: match piece {
                piece if piece.invented => Some("Its data are invented: they do not belong in a shop book."),
                piece if piece.trials.is_empty() => Some("No trial is logged here yet."),
                _ => None,
            },
        }
    }
}

fn uses(count: usize) -> String {
    if count == 1 { "1 use".into() } else { format!("{count} uses") }
}

/// What a piece has taken up, by product or bleach: how many uses, on which pieces, of which lots.
fn taken_up(piece: &Piece) -> Vec<(String, String)> {
    let mut names: Vec<String> = Vec::new();
    for name in piece.past.iter().map(|past| trade::step_name(piece, &past.step)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let of_name = |name: &String| {
        let of: Vec<&PastUse> = piece.past.iter().filter(|past| trade::step_name(piece, &past.step) == *name).collect();
        let distinct = |text: fn(&PastUse) -> &str| -> Vec<String> {
            let all: BTreeSet<&str> = of.iter().map(|past| text(past)).filter(|text| !text.is_empty()).collect();
            all.into_iter().map(str::to_owned).collect()
        };
        let pieces: Vec<String> = distinct(|past| &past.source.piece).iter().map(|name| format!("‘{name}’")).collect();
        let lots = distinct(|past| &past.lot);
        let lots = if lots.is_empty() { String::new() } else { format!(", lot {}", words::list(&lots)) };
        (words::capital(name), format!("{} on {}{lots}", uses(of.len()), words::list(&pieces)))
    };
    names.iter().map(of_name).collect()
}
