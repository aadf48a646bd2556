//! Undo and redo: labelled snapshots of the piece.

use std::{collections::VecDeque, sync::Arc};

use crate::{Edit, Error, Piece, apply};

/// How many steps back are kept. Snapshots share what did not change, so a step costs little more than its change.
const STEPS_KEPT: usize = 200;

/// The piece as it is, as it was, and as it would be again.
#[derive(Clone, Debug)]
pub struct History {
    /// Pieces before the present one, the oldest first, each with the label of the edit that followed it.
    past: VecDeque<(String, Arc<Piece>)>,
    present: Arc<Piece>,
    /// Pieces undone, the nearest last, each with the label of the edit that leads to it.
    future: Vec<(String, Arc<Piece>)>,
    /// The piece as it is on disk; none where it was never saved.
    saved: Option<Arc<Piece>>,
    /// Present and saved differ.
    dirty: bool,
    kept: usize,
}

impl History {
    /// The history of a piece as it stands on disk.
    pub fn opened(piece: Piece) -> Self {
        let present = Arc::new(piece);
        let saved = Some(present.clone());
        Self { past: VecDeque::new(), present, future: Vec::new(), saved, dirty: false, kept: STEPS_KEPT }
    }

    /// The history of a piece that is not on disk as it is here: new, or recovered from an autosave.
    pub fn unsaved(piece: Piece) -> Self {
        Self { saved: None, dirty: true, ..Self::opened(piece) }
    }

    /// The same, keeping this many steps back.
    #[must_use]
    pub fn keeping(self, steps: usize) -> Self {
        Self { kept: steps, ..self }
    }

    /// The piece as it is.
    pub fn piece(&self) -> &Arc<Piece> {
        &self.present
    }

    /// Makes one change, which can then be undone; one that changes nothing leaves no step behind.
    ///
    /// # Errors
    /// As [`apply`]; nothing has changed then.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), Error> {
        let base = self.numbered();
        let changed = apply(&base, edit)?;
        if changed == base {
            return Ok(());
        }
        self.past.push_back((edit.label().into(), self.present.clone()));
        if self.past.len() > self.kept {
            self.past.pop_front();
        }
        self.arrive(Arc::new(changed));
        self.future.clear();
        Ok(())
    }

    /// Makes one more change that belongs to the gesture of the last one, such as the next letter typed into a note:
    /// both are undone in one step. Where the last edit has another label, was saved or undone, it is a step of its own.
    ///
    /// # Errors
    /// As [`apply`]; nothing has changed then.
    pub fn amend(&mut self, edit: &Edit) -> Result<(), Error> {
        let continues = self.future.is_empty() && self.dirty && self.undo_label() == Some(edit.label());
        if !continues {
            return self.apply(edit);
        }
        let changed = apply(&self.present, edit)?;
        self.arrive(Arc::new(changed));
        Ok(())
    }

    /// Takes back the last edit and says which; none if there is none.
    pub fn undo(&mut self) -> Option<String> {
        let (label, before) = self.past.pop_back()?;
        self.future.push((label.clone(), self.present.clone()));
        self.arrive(before);
        Some(label)
    }

    /// Makes the edit last undone again and says which; none if there is none.
    pub fn redo(&mut self) -> Option<String> {
        let (label, after) = self.future.pop()?;
        self.past.push_back((label.clone(), self.present.clone()));
        self.arrive(after);
        Some(label)
    }

    /// The label of the edit that would be undone.
    pub fn undo_label(&self) -> Option<&str> {
        self.past.back().map(|(label, _)| label.as_str())
    }

    /// The label of the edit that would be redone.
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|(label, _)| label.as_str())
    }

    /// Whether the piece differs from what is on disk.
    pub fn is_dirty(&self) -> bool {
        self.dirty
    }

    /// Says that this piece has been saved: the one given to the store, which may by now be in the past.
    pub fn mark_saved(&mut self, piece: &Arc<Piece>) {
        self.saved = Some(piece.clone());
        self.arrive(self.present.clone());
    }

    fn arrive(&mut self, piece: Arc<Piece>) {
        self.dirty = self.saved.as_ref().is_none_or(|saved| !Arc::ptr_eq(saved, &piece) && **saved != *piece);
        self.present = piece;
    }

    /// The present piece, its numbers counted on from every piece that was undone or saved: an id that has once stood
    /// for something is not given to something else because that was undone.
    fn numbered(&self) -> Piece {
        let others = self.future.iter().map(|(_, piece)| piece).chain(&self.saved);
        let ids = others.fold(self.present.ids, |ids, piece| ids.max(piece.ids));
        Piece { ids, ..(*self.present).clone() }
    }
}
