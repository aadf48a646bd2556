//! Where a trial was made, at the start of its line.

use piece::{Piece, Surface};

pub(super) fn place<'a, 'w>(words: &'a [&'w str], piece: &Piece) -> Result<(Surface, &'a [&'w str]), String> {
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
pub(super) fn starts_with(words: &[&str], name: &str) -> Option<usize> {
    let name: Vec<_> = name.split_whitespace().collect();
    (!name.is_empty() && words.len() >= name.len() && words.iter().zip(&name).all(|(a, b)| a == b))
        .then_some(name.len())
}
