//! What is to be reached: the match sample, the tolerances, and the plan the user settled on.

use crate::{BoardId, Meeting, PartId, PhotoId, ReadingId, Step, TrialId};

/// The colour to reach.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum MatchSample {
    /// All alike, wherever they meet.
    #[default]
    AllAlike,
    /// As a part looks, under the clear coats.
    Part(PartId),
    /// A reading.
    Reading(ReadingId),
    /// A signed-off panel.
    Board(BoardId),
    /// What a trial gave.
    Trial(TrialId),
    /// An earlier photo.
    Photo(PhotoId),
}

/// What ΔE2000 counts as a match, by how parts meet. Editable, with the reason beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// Touching in one plane.
    pub same_plane_de00: f64,
    /// Doors and fronts.
    pub fronts_de00: f64,
    /// Other planes.
    pub other_planes_de00: f64,
    /// Against the match sample.
    pub match_sample_de00: f64,
    /// Pairs that the user has set by hand.
    pub pairs: Vec<PairTolerance>,
    /// Why these: free text.
    pub reason: String,
}

/// A tolerance for one pair of parts.
#[derive(Clone, Debug, PartialEq)]
pub struct PairTolerance {
    /// One part.
    pub a: PartId,
    /// The other.
    pub b: PartId,
    /// ΔE2000 that counts as a match.
    pub de00: f64,
    /// Why.
    pub reason: String,
}

impl PairTolerance {
    /// Whether it is for these two parts, either way round.
    pub fn of(&self, a: PartId, b: PartId) -> bool {
        (self.a, self.b) == (a, b) || (self.a, self.b) == (b, a)
    }
}

impl Default for Tolerances {
    /// Finishers live with 1–2 for touching in one plane, 2–3 for doors and fronts, 3–5 for other planes, coated
    /// (common practice, no source): the middle of each.
    fn default() -> Self {
        Self {
            same_plane_de00: 1.5,
            fronts_de00: 2.5,
            other_planes_de00: 4.0,
            match_sample_de00: 2.5,
            pairs: Vec::new(),
            reason: String::new(),
        }
    }
}

impl Tolerances {
    /// The tolerance of two parts that meet in this way.
    pub fn of(&self, a: PartId, b: PartId, meeting: Meeting) -> f64 {
        let by_hand = self.pairs.iter().find(|pair| pair.of(a, b));
        by_hand.map_or_else(|| self.by_meeting(meeting), |pair| pair.de00)
    }

    /// These, with the usual one in place of each that cannot be a tolerance (zero or less, or no number), and without such pairs.
    pub fn usable(&self) -> Self {
        let can_be = |de00: f64| de00.is_finite() && de00 > 0.0;
        let or = |de00: f64, usual: f64| if can_be(de00) { de00 } else { usual };
        let usual = Self::default();
        Self {
            same_plane_de00: or(self.same_plane_de00, usual.same_plane_de00),
            fronts_de00: or(self.fronts_de00, usual.fronts_de00),
            other_planes_de00: or(self.other_planes_de00, usual.other_planes_de00),
            match_sample_de00: or(self.match_sample_de00, usual.match_sample_de00),
            pairs: self.pairs.iter().filter(|pair| can_be(pair.de00)).cloned().collect(),
            reason: self.reason.clone(),
        }
    }

    fn by_meeting(&self, meeting: Meeting) -> f64 {
        match meeting {
            Meeting::SamePlane => self.same_plane_de00,
            Meeting::Fronts => self.fronts_de00,
            Meeting::OtherPlanes => self.other_planes_de00,
        }
    }
}

/// The route the user settled on.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Its name as it was shown.
    pub name: String,
    /// The schedule of each part it changes.
    pub schedules: Vec<(PartId, Vec<Step>)>,
}
