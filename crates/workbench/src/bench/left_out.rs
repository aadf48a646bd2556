//! Places that the user marks to be left out of a region's colour.

use piece::{ReadingId, Region};

use super::{Workbench, regions::RegionFor};
use crate::{action::Tool, status::Status};

/// Shortest side of a place's bounding box, photo pixels: less is a slip of the hand.
const LEAST_PX: f64 = 2.0;

impl Workbench {
    /// Takes up the tool that marks them, in the chosen region.
    pub(super) fn take_up_leaving_out(&mut self) {
        if self.photos.region.is_some_and(|id| self.region_of(id).is_some()) {
            self.photos.tool = Tool::LeaveOut;
            self.status = Status::done("Mark what does not count: a knot, a label.", "click its corners, then Enter");
        } else {
            self.status = Status::failed("Choose a region first: click it, then mark what does not count in it.");
        }
    }

    /// Leaves a place out of a region.
    pub(super) fn leave_out(&mut self, reading: ReadingId, points_px: Vec<[f64; 2]>) {
        self.photos.tool = Tool::Hand;
        let Some((photo, region, made)) = self.region_of(reading) else { return };
        let (place, whole) = (bounds(&points_px), bounds(&region.points_px));
        let meets = (0..2).all(|axis| place[0][axis] < whole[1][axis] && place[1][axis] > whole[0][axis]);
        if !(0..2).all(|axis| place[1][axis] - place[0][axis] >= LEAST_PX) {
            self.status = Status::failed("Too small to leave out: draw round what does not count.");
        } else if !meets {
            self.status = Status::failed("That lies outside the chosen region: mark a place within it.");
        } else {
            let mut left_out_px = region.left_out_px;
            left_out_px.push(points_px);
            let region = Region { left_out_px, ..region };
            self.read_region(photo, region, made.spots_left_out, RegionFor::Again(reading));
        }
    }

    /// Takes the places left out of a region in again.
    pub(super) fn take_in(&mut self, reading: ReadingId) {
        let Some((photo, region, made)) = self.region_of(reading) else { return };
        if !region.left_out_px.is_empty() {
            self.read_region(photo, Region::whole(region.points_px), made.spots_left_out, RegionFor::Again(reading));
        }
    }

    /// How many places are left out of the chosen region by hand.
    pub fn places_left_out(&self) -> usize {
        self.photos.region.and_then(|id| self.region_of(id)).map_or(0, |(_, region, _)| region.left_out_px.len())
    }
}

/// The least and the greatest corner of the box around points.
fn bounds(points: &[[f64; 2]]) -> [[f64; 2]; 2] {
    points.iter().fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |[low, high], point| {
        [[0, 1].map(|axis| low[axis].min(point[axis])), [0, 1].map(|axis| high[axis].max(point[axis]))]
    })
}
