//! Evenness over the photo: lines of equal difference, whole round light spots and dashed round dark ones, each numbered.

use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, Ui};

use super::{canvas::Frame, overlay};
use crate::{screen::Screen, widgets::words};

/// Dash and gap of the lines round dark spots, points.
const DASH: f32 = 7.0;
const GAP: f32 = 5.0;

/// How far apart the numbers of spots stand at least, points.
const APART: f32 = 3.0;

/// Draws the lines and the numbers of the spots; says where the numbers stand, for other words to keep off.
pub(super) fn evenness_ui(ui: &mut Ui, frame: &Frame, screen: &Screen<'_>) -> Vec<Rect> {
    let mut taken: Vec<Rect> = Vec::new();
    if !screen.bench.photos().evenness_shown {
        return taken;
    }
    for contour in screen.bench.contours() {
        let points: Vec<Pos2> = contour.points_px.iter().map(|px| frame.at(*px)).collect();
        let width = if contour.outer { 2.0 } else { 1.0 };
        if contour.lighter {
            overlay::double_line(ui, points, width);
        } else {
            dashed(ui, &points, width);
        }
    }
    for spot in screen.bench.evenness_told().iter().flat_map(|told| &told.spots) {
        let kind = if spot.lighter { "lighter" } else { "darker" };
        let named = format!("{} {kind}", spot.number);
        // What it is where there is room; its number alone where there is less: the panel says the rest.
        let corner = frame.at(spot.corner_px);
        if !tag_ui(ui, corner, &named, &mut taken) {
            tag_ui(ui, corner, &spot.number, &mut taken);
        }
    }
    taken
}

/// Draws a tag beside a corner, right, left, above or below it, where it lies on no other; false where there is no such place.
fn tag_ui(ui: &mut Ui, corner: Pos2, text: &str, taken: &mut Vec<Rect>) -> bool {
    let size = egui::vec2(words::line_width(ui, &[words::plain(text, 14.0, Color32::WHITE)]) + 16.0, 24.0);
    let places = [
        (egui::vec2(6.0, 0.0), Align2::LEFT_CENTER),
        (egui::vec2(-6.0, 0.0), Align2::RIGHT_CENTER),
        (egui::vec2(0.0, -6.0), Align2::CENTER_BOTTOM),
        (egui::vec2(0.0, 6.0), Align2::CENTER_TOP),
    ];
    let free = places.into_iter().find(|(off, anchor)| {
        let place = anchor.anchor_size(corner + *off, size);
        !taken.iter().any(|other| other.expand(APART).intersects(place))
    });
    let Some((off, anchor)) = free else { return false };
    taken.push(words::tag(ui, corner + off, anchor, text));
    true
}

/// A white dashed line over a wider black one with the same dashes.
fn dashed(ui: &Ui, points: &[Pos2], width: f32) {
    for (extra, colour) in [(2.0, Color32::BLACK), (0.0, Color32::WHITE)] {
        ui.painter().extend(Shape::dashed_line(points, Stroke::new(width + extra, colour), DASH, GAP));
    }
}
