//! How two regions of one photo differ, as `read --json` tells it.

use serde::Serialize;

use super::ApartRecord;
use crate::task::RegionDifference;

/// Two regions of one photo: what `b` is against `a`, with what they share of its errors cancelled.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DifferenceRecord {
    /// The first region.
    pub a: String,
    /// The second region.
    pub b: String,
    /// How they differ; the tolerance is that of parts touching in one plane.
    #[serde(flatten)]
    pub apart: ApartRecord,
}

impl DifferenceRecord {
    pub(super) fn new(difference: &RegionDifference) -> Self {
        let RegionDifference { a, b, found } = difference;
        Self { a: a.clone(), b: b.clone(), apart: ApartRecord::new(found) }
    }
}
