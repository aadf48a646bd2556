//! What is wrong with the piece, looked for anew whenever it changes.

use std::sync::Arc;

use piece::Piece;

use super::Workbench;
use crate::{action::Beside, task};

impl Workbench {
    /// Looks for it where the piece is another than the last time.
    pub(super) fn look_for_problems(&mut self, piece: &Arc<Piece>) {
        if self.problems.as_ref().is_some_and(|(of, _)| Arc::ptr_eq(of, piece)) {
            return;
        }
        let folder = self.open.as_ref().and_then(|open| open.folder.as_ref());
        let found = task::problems(piece, folder);
        // The last one mended closes the list.
        if found.is_empty() && self.beside == Some(Beside::Problems) {
            self.beside = None;
        }
        self.problems = Some((piece.clone(), found));
    }
}
