//! How two regions of one photo differ, as `read --json` tells it.

use serde::Serialize;

use super::IntervalRecord;
use crate::task::RegionDifference;

/// Two regions of one photo: what `b` is against `a`, with what they share of its errors cancelled.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DifferenceRecord {
    /// The first region.
    pub a: String,
    /// The second region.
    pub b: String,
    /// ΔE2000.
    pub de00: IntervalRecord,
    /// ΔL′.
    pub dl: IntervalRecord,
    /// ΔC′.
    pub dc: IntervalRecord,
    /// ΔH′.
    pub dh: IntervalRecord,
    /// The verdict and the direction, in words.
    pub words: String,
    /// ΔE2000 that counts as a match: that of parts touching in one plane.
    pub tolerance_de00: f64,
    /// Chance of being within it.
    pub chance_within: f64,
}

impl DifferenceRecord {
    pub(super) fn new(difference: &RegionDifference) -> Self {
        let found = &difference.found;
        Self {
            a: difference.a.clone(),
            b: difference.b.clone(),
            de00: found.de00.into(),
            dl: found.dl.into(),
            dc: found.dc.into(),
            dh: found.dh.into(),
            words: found.words.clone(),
            tolerance_de00: found.tolerance_de00,
            chance_within: found.chance_within,
        }
    }
}
