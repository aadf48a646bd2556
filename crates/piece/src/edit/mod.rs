//! Edits: the only way to change a piece.
//!
//! [`apply`] gives a new piece or says why not; the old one is untouched and shares what did not change, so that
//! [`History`](crate::History) can keep both. An id inside an element to be added is disregarded: the piece gives the
//! next one, which can be known beforehand from [`Piece::ids`](crate::Piece::ids).

mod board;
mod part;
mod photo;
mod product;
mod reading;
mod target;
mod trial;

use std::sync::Arc;

pub use board::BoardEdit;
pub use part::{JointEdit, PartEdit};
pub use photo::PhotoEdit;
pub use product::ProductEdit;
pub use reading::ReadingEdit;
pub use target::{PieceEdit, TargetEdit};
pub use trial::TrialEdit;

use crate::{Error, Id, Piece};

/// One change to a piece, by the area it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// The piece as a whole.
    Piece(PieceEdit),
    /// Its parts.
    Part(PartEdit),
    /// Which parts meet.
    Joint(JointEdit),
    /// Sample boards.
    Board(BoardEdit),
    /// Products.
    Product(ProductEdit),
    /// Photos.
    Photo(PhotoEdit),
    /// Readings.
    Reading(ReadingEdit),
    /// Trials.
    Trial(TrialEdit),
    /// What is to be reached.
    Target(TargetEdit),
    /// Several changes that are one gesture: all of them or none.
    Together {
        /// What the gesture is called: 'log trial'.
        label: String,
        /// The changes, in order.
        edits: Vec<Edit>,
    },
}

impl Edit {
    /// What the edit is called where it can be undone: 'draw region', 'log trial'.
    pub fn label(&self) -> &str {
        match self {
            Self::Piece(edit) => edit.label(),
            Self::Part(edit) => edit.label(),
            Self::Joint(edit) => edit.label(),
            Self::Board(edit) => edit.label(),
            Self::Product(edit) => edit.label(),
            Self::Photo(edit) => edit.label(),
            Self::Reading(edit) => edit.label(),
            Self::Trial(edit) => edit.label(),
            Self::Target(edit) => edit.label(),
            Self::Together { label, .. } => label,
        }
    }

    fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Piece(edit) => edit.change(piece),
            Self::Part(edit) => edit.change(piece),
            Self::Joint(edit) => edit.change(piece),
            Self::Board(edit) => edit.change(piece),
            Self::Product(edit) => edit.change(piece),
            Self::Photo(edit) => edit.change(piece),
            Self::Reading(edit) => edit.change(piece),
            Self::Trial(edit) => edit.change(piece),
            Self::Target(edit) => edit.change(piece),
            Self::Together { edits, .. } => edits.iter().try_for_each(|edit| edit.change(piece)),
        }
    }
}

/// The piece with one change made.
///
/// # Errors
/// Where the change names something that is not there, takes a name that is taken, holds a number out of range, or
/// removes something in use.
pub fn apply(piece: &Piece, edit: &Edit) -> Result<Piece, Error> {
    let mut changed = piece.clone();
    edit.change(&mut changed)?;
    Ok(changed)
}

/// The next id of this kind, given for good.
fn give<I: Id>(piece: &mut Piece) -> Result<I, Error> {
    piece.ids.give().ok_or(Error::IdsUsedUp { kind: I::KIND })
}

/// Where the element with this id stands in its list.
fn place<T, I: Id>(list: &[Arc<T>], id_of: impl Fn(&T) -> I, id: I) -> Result<usize, Error> {
    list.iter()
        .position(|element| id_of(element) == id)
        .ok_or_else(|| Error::NoSuch { kind: I::KIND, id: id.to_string() })
}

/// That no other element has this name, case and surrounding blanks aside.
fn name_free<'a>(kind: &'static str, name: &str, mut others: impl Iterator<Item = &'a str>) -> Result<(), Error> {
    let plain = |name: &str| name.trim().to_lowercase();
    let wanted = plain(name);
    if others.any(|other| plain(other) == wanted) {
        return Err(Error::NameTaken { kind, name: name.trim().into() });
    }
    Ok(())
}

/// That nothing uses what is to be removed.
fn unused(what: impl FnOnce() -> String, users: &[String]) -> Result<(), Error> {
    match crate::uses::in_words(users) {
        None => Ok(()),
        Some(users) => Err(Error::InUse { what: what(), users }),
    }
}

#[cfg(test)]
mod tests;
