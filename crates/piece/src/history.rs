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

    /// The present piece, its numbers counted on from every piece that was undone: an id that has once stood for something
    /// is not given to something else because that was undone. What was let go before counted on in its turn, so the
    /// present and the undone know of every number that was ever given.
    fn numbered(&self) -> Piece {
        let undone = self.future.iter().map(|(_, piece)| piece);
        let ids = undone.fold(self.present.ids, |ids, piece| ids.max(piece.ids));
        Piece { ids, ..(*self.present).clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PartEdit, PartId, PieceEdit, sample};

    fn note(text: &str) -> Edit {
        Edit::Piece(PieceEdit::Note(text.into()))
    }

    fn add(name: &str) -> Edit {
        Edit::Part(PartEdit::Add(sample::part(name)))
    }

    #[test]
    fn labels_say_what_would_be_undone_and_redone() {
        let mut history = History::opened(Piece::default());
        assert_eq!((history.undo_label(), history.redo_label()), (None, None));
        history.apply(&add("top")).unwrap();
        history.apply(&note("one")).unwrap();
        assert_eq!((history.undo_label(), history.redo_label()), (Some("write note"), None));
        history.undo();
        assert_eq!((history.undo_label(), history.redo_label()), (Some("add part"), Some("write note")));
        history.apply(&add("door")).unwrap();
        assert_eq!(history.redo_label(), None);
    }

    #[test]
    fn a_refused_edit_and_one_that_changes_nothing_leave_no_step() {
        let mut history = History::opened(Piece::default());
        assert!(history.apply(&Edit::Part(PartEdit::Remove(PartId(1)))).is_err());
        history.apply(&note("")).unwrap();
        assert_eq!(history.undo_label(), None);
        assert!(!history.is_dirty());
    }

    #[test]
    fn a_gesture_is_one_step() {
        let mut history = History::opened(Piece::default());
        for text in ["o", "on", "one"] {
            history.amend(&note(text)).unwrap();
        }
        assert_eq!(history.piece().note, "one");
        history.mark_saved(&history.piece().clone());
        history.amend(&note("ones")).unwrap();
        history.undo();
        assert_eq!((history.piece().note.as_str(), history.is_dirty()), ("one", false));
        history.undo();
        assert_eq!((history.piece().note.as_str(), history.undo_label()), ("", None));
    }

    #[test]
    fn the_oldest_steps_are_let_go() {
        let mut history = History::opened(Piece::default()).keeping(3);
        for name in ["a", "b", "c", "d", "e"] {
            history.apply(&add(name)).unwrap();
        }
        assert_eq!(std::iter::from_fn(|| history.undo()).count(), 3);
        assert_eq!(history.piece().parts.len(), 2);
    }

    #[test]
    fn saved_or_not_follows_undo() {
        let mut history = History::unsaved(Piece::default());
        assert!(history.is_dirty());
        history.apply(&add("top")).unwrap();
        let given_to_the_store = history.piece().clone();
        history.apply(&add("door")).unwrap();
        history.mark_saved(&given_to_the_store);
        assert!(history.is_dirty());
        history.undo();
        assert!(!history.is_dirty());
        history.undo();
        assert!(history.is_dirty());
    }

    #[test]
    fn an_id_that_was_undone_is_not_given_to_something_else() {
        let mut history = History::opened(Piece::default());
        history.apply(&add("top")).unwrap();
        history.mark_saved(&history.piece().clone());
        history.undo();
        history.apply(&add("door")).unwrap();
        assert_eq!(history.piece().parts[0].id, PartId(2));
    }

    #[test]
    fn of_two_that_were_undone_neither_id_is_given_again() {
        let mut history = History::opened(Piece::default());
        history.apply(&add("top")).unwrap();
        history.apply(&add("door")).unwrap();
        history.undo();
        history.undo();
        history.apply(&add("rail")).unwrap();
        assert_eq!(history.piece().parts.iter().map(|part| part.id).collect::<Vec<_>>(), [PartId(3)]);
    }

    proptest::proptest! {
        /// However adding, undoing, redoing and saving follow one another: no id is ever given twice.
        #[test]
        fn no_id_is_ever_given_twice(steps in proptest::collection::vec(0..6u8, 1..60)) {
            let mut history = History::opened(Piece::default()).keeping(4);
            let mut given = Vec::new();
            for step in steps {
                match step {
                    0 | 1 => {
                        history.apply(&add(&format!("part {}", given.len()))).unwrap();
                        let id = history.piece().parts.last().unwrap().id;
                        proptest::prop_assert!(!given.contains(&id), "{:?} again after {:?}", id, given);
                        given.push(id);
                    }
                    2 | 3 => drop(history.undo()),
                    4 => drop(history.redo()),
                    _ => history.mark_saved(&history.piece().clone()),
                }
            }
        }
    }
}
