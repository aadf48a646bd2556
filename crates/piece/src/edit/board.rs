//! Edits of sample boards.

use std::sync::Arc;

use super::{give, name_free, place, unused};
use crate::{Board, BoardId, Error, Piece, Surface, uses, valid};

/// A change to the boards.
#[derive(Clone, Debug, PartialEq)]
pub enum BoardEdit {
    /// Adds a board; its id is given by the piece.
    Add(Board),
    /// Puts this in the place of the board with the same id.
    Change(Board),
    /// Removes a board without readings or trials.
    Remove(BoardId),
}

impl BoardEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Add(_) => "add board",
            Self::Change(_) => "change board",
            Self::Remove(_) => "remove board",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Add(board) => {
                fits(piece, board, None)?;
                let id = give(piece)?;
                piece.boards.push(Arc::new(Board { id, name: board.name.trim().into(), ..board.clone() }));
                Ok(())
            }
            Self::Change(board) => {
                let at = place(&piece.boards, |board| board.id, board.id)?;
                fits(piece, board, Some(board.id))?;
                piece.boards[at] = Arc::new(Board { name: board.name.trim().into(), ..board.clone() });
                Ok(())
            }
            Self::Remove(id) => {
                let at = place(&piece.boards, |board| board.id, *id)?;
                unused(|| format!("board '{}'", piece.boards[at].name), &uses::of_board(piece, *id))?;
                piece.boards.remove(at);
                Ok(())
            }
        }
    }
}

fn fits(piece: &Piece, board: &Board, own: Option<BoardId>) -> Result<(), Error> {
    valid::name("board", &board.name)?;
    valid::surface(piece, Surface::Part(board.stands_for))?;
    let others = piece.boards.iter().filter(|other| Some(other.id) != own);
    name_free("board", &board.name, others.map(|other| other.name.as_str()))
}
