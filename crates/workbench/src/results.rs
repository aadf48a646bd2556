//! What has been computed, each tagged with the piece it was computed for.

use std::{collections::BTreeMap, sync::Arc};

use piece::{PartId, Piece, TrialId};
use predict::{Comparison, Curve, Next, Ranking, Routes};
use sheet::Document;

/// A result and the piece it holds for.
#[derive(Clone, Debug)]
pub struct Tagged<T> {
    /// The piece it was computed for.
    pub of: Arc<Piece>,
    /// The result, or one line saying why there is none.
    pub value: Result<Arc<T>, String>,
}

impl<T> Tagged<T> {
    /// Whether it holds for this piece.
    pub fn is_current(&self, piece: &Arc<Piece>) -> bool {
        Arc::ptr_eq(&self.of, piece)
    }
}

/// All results.
#[derive(Clone, Debug, Default)]
pub struct Results {
    /// Parts against each other.
    pub comparison: Option<Tagged<Comparison>>,
    /// Schedules by part.
    pub rankings: BTreeMap<PartId, Tagged<Ranking>>,
    /// What a trial's last colour step does at each strength.
    pub curve: Option<(TrialId, Tagged<Curve>)>,
    /// Joint plans.
    pub routes: Option<Tagged<Routes>>,
    /// What to try next.
    pub next: Option<Tagged<Next>>,
    /// The work sheet.
    pub sheet: Option<Tagged<Document>>,
}
