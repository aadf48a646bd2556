//! Names beside the points of the plot: none on a point or on another name, and off the lines where there is room.

use egui::{Align2, Pos2, Rect, Ui, Vec2};

use crate::{
    theme,
    widgets::words::{self, Run},
};

/// Height of a name, and its distance from the edge of its point, points.
const HIGH: f32 = 18.0;
const OFF: f32 = 5.0;
/// How far names keep off lines and off other points and names, and how much further off its own point one may stand, points.
const GAP: f32 = 4.0;
const FURTHER: f32 = 14.0;

/// What names keep clear of.
pub(super) struct Names {
    /// Where they may stand.
    within: Rect,
    /// Points, and names that stand already.
    taken: Vec<Rect>,
    /// Arrows and the edge of the tolerance.
    lines: Vec<[Pos2; 2]>,
}

impl Names {
    /// No name yet, within a plot.
    pub(super) fn new(within: Rect) -> Self {
        Self { within, taken: Vec::new(), lines: Vec::new() }
    }

    /// A point: names keep off it.
    pub(super) fn point(&mut self, at: Pos2, radius: Vec2) {
        self.taken.push(Rect::from_center_size(at, 2.0 * radius));
    }

    /// A line: names keep off it where they can.
    pub(super) fn line(&mut self, from: Pos2, to: Pos2) {
        self.lines.push([from, to]);
    }

    /// Draws a name beside its point where there is room for it; a line that it must lie on is blotted out below it.
    pub(super) fn name_ui(&mut self, ui: &mut Ui, at: Pos2, radius: Vec2, run: Run<'_>) {
        let runs = [run];
        let size = egui::vec2(words::line_width(ui, &runs), HIGH);
        let Some((place, clear)) = self.place(at, radius, size) else { return };
        if !clear {
            ui.painter().rect_filled(place, 0, theme::of(ui).bench);
        }
        words::line(ui, place.left_center(), Align2::LEFT_CENTER, &runs);
        self.taken.push(place);
    }

    /// Where a name of this size stands, and whether it is clear of all lines.
    fn place(&self, at: Pos2, radius: Vec2, size: Vec2) -> Option<(Rect, bool)> {
        let rects: Vec<Rect> = [0.0, FURTHER]
            .into_iter()
            .flat_map(|further| {
                let (x, y) = (radius.x + OFF + further, radius.y + 2.0 + further);
                [
                    (x, 0.0, Align2::LEFT_CENTER),
                    (-x, 0.0, Align2::RIGHT_CENTER),
                    (0.0, -y, Align2::CENTER_BOTTOM),
                    (0.0, y, Align2::CENTER_TOP),
                    (x * 0.8, y * 0.8, Align2::LEFT_TOP),
                    (x * 0.8, -y * 0.8, Align2::LEFT_BOTTOM),
                    (-x * 0.8, y * 0.8, Align2::RIGHT_TOP),
                    (-x * 0.8, -y * 0.8, Align2::RIGHT_BOTTOM),
                ]
            })
            .map(|(x, y, anchor)| anchor.anchor_size(at + egui::vec2(x, y), size))
            .collect();
        // Its own point it may come near.
        let kept_off = |other: &Rect| if other.center().distance(at) < 0.5 { *other } else { other.expand(GAP) };
        let free = |rect: &Rect| {
            self.within.contains_rect(*rect) && !self.taken.iter().any(|other| kept_off(other).intersects(*rect))
        };
        let clear = |rect: &Rect| !self.lines.iter().any(|line| crosses(*line, rect.expand(GAP)));
        let of = |clear_too: bool| rects.iter().find(|rect| free(rect) && (!clear_too || clear(rect)));
        of(true).map(|rect| (*rect, true)).or_else(|| of(false).map(|rect| (*rect, false)))
    }
}

/// Whether a line goes through a rectangle.
///
/// # Source
/// Liang and Barsky, A new concept and method for line clipping, ACM Transactions on Graphics 3 (1984).
fn crosses([from, to]: [Pos2; 2], rect: Rect) -> bool {
    let along = to - from;
    let (mut first, mut last) = (0.0f32, 1.0f32);
    let sides = [
        (-along.x, from.x - rect.min.x),
        (along.x, rect.max.x - from.x),
        (-along.y, from.y - rect.min.y),
        (along.y, rect.max.y - from.y),
    ];
    for (towards, room) in sides {
        if towards == 0.0 {
            if room < 0.0 {
                return false;
            }
        } else if towards < 0.0 {
            first = first.max(room / towards);
        } else {
            last = last.min(room / towards);
        }
    }
    first <= last
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x: f32, y: f32, width: f32, height: f32) -> Rect {
        Rect::from_min_size(Pos2::new(x, y), egui::vec2(width, height))
    }

    #[test]
    fn a_line_crosses_what_it_goes_through_and_nothing_beside_it() {
        let line = [Pos2::new(0.0, 0.0), Pos2::new(100.0, 100.0)];
        assert!(crosses(line, rect(40.0, 40.0, 10.0, 10.0)));
        assert!(!crosses(line, rect(40.0, 0.0, 10.0, 10.0)));
        assert!(!crosses(line, rect(101.0, 101.0, 10.0, 10.0)), "it ends before");
        assert!(crosses([Pos2::new(0.0, 5.0), Pos2::new(100.0, 5.0)], rect(40.0, 0.0, 10.0, 10.0)));
    }

    /// Right of the point lies a line, left of it another point: the name goes above; and stays within the plot.
    #[test]
    fn a_name_keeps_off_points_lines_and_the_edge() {
        let (at, radius) = (Pos2::new(100.0, 100.0), Vec2::splat(9.0));
        let mut names = Names::new(rect(0.0, 0.0, 200.0, 200.0));
        names.point(at, radius);
        names.point(Pos2::new(55.0, 100.0), radius);
        names.line(at, Pos2::new(190.0, 100.0));
        let (place, clear) = names.place(at, radius, egui::vec2(60.0, HIGH)).unwrap();
        assert!(clear && place.max.y < 100.0, "{place:?}");
        // A line that it would all but touch puts it further off.
        names.line(place.left_top() - Vec2::splat(3.0), place.right_top() - Vec2::splat(3.0));
        let (further, clear) = names.place(at, radius, egui::vec2(60.0, HIGH)).unwrap();
        assert!(
            clear && (further.min.y - (place.min.y - 3.0)).abs() > 3.0 && further != place,
            "{further:?} {place:?}"
        );
        // Where lines lie all round, it stands on one and says so.
        for turn in 0..16u8 {
            let angle = f32::from(turn) * std::f32::consts::TAU / 16.0;
            names.line(at, at + 95.0 * Vec2::angled(angle));
        }
        assert!(names.place(at, radius, egui::vec2(60.0, HIGH)).is_some_and(|(_, clear)| !clear));
        assert_eq!(names.place(at, radius, egui::vec2(250.0, HIGH)), None);
    }
}
