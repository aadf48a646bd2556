//! Where a trial was made, at the start of its line.

use piece::{Piece, Surface};

use crate::words::either;

/// The place, and the words behind it.
pub(super) fn place<'a, 'w>(words: &'a [&'w str], piece: &Piece) -> Result<(Surface, &'a [&'w str]), String> {
    let boards = piece.boards.iter().map(|board| (board.name.to_lowercase(), Surface::Board(board.id)));
    let parts = piece.parts.iter().map(|part| (part.name.to_lowercase(), Surface::Part(part.id)));
    let named = boards.chain(parts).filter_map(|(name, on)| starts_with(words, &name).map(|used| (used, on)));
    if let Some((used, on)) = named.max_by_key(|(used, _)| *used) {
        return Ok((on, &words[used..]));
    }
    // `board 2` is the second board whatever it is called.
    if let (Some(&"board"), Some(Ok(number))) = (words.first(), words.get(1).map(|word| word.parse::<usize>())) {
        let board = number.checked_sub(1).and_then(|place| piece.boards.get(place));
        return board.map(|board| (Surface::Board(board.id), &words[2..])).ok_or_else(|| no_board(number, piece));
    }
    Err(no_place(words[0], piece))
}

/// What to say where there are not so many boards.
fn no_board(number: usize, piece: &Piece) -> String {
    let boards: Vec<String> = piece.boards.iter().map(|board| board.name.clone()).collect();
    match boards.len() {
        0 => format!("There is no board {number}: this piece has no board yet. Add one, or begin with a part."),
        1 => format!("There is no board {number}: the only one is {}. Begin with it, or add a board.", boards[0]),
        n => format!("There is no board {number}: there are {n}. Begin with {}, or add a board.", either(&boards)),
    }
}

/// What to say where a line begins with no place.
fn no_place(word: &str, piece: &Piece) -> String {
    let boards = piece.boards.iter().map(|board| board.name.clone());
    let known: Vec<String> = boards.chain(piece.parts.iter().map(|part| part.name.clone())).collect();
    if known.is_empty() {
        return "This piece has no board and no part yet: name a part and add a board, then log what you did.".into();
    }
    format!("‘{word}’ is no board or part. Begin with where it was done: {}.", either(&known))
}

/// How many words `name` takes at the start, if it stands there.
pub(super) fn starts_with(words: &[&str], name: &str) -> Option<usize> {
    let name: Vec<_> = name.split_whitespace().collect();
    (!name.is_empty() && words.len() >= name.len() && words.iter().zip(&name).all(|(a, b)| a == b))
        .then_some(name.len())
}
