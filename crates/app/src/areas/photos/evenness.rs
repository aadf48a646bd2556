//! Evenness over the photo: lines of equal difference, whole round light spots and dashed round dark ones, each numbered.

use egui::{Align2, Color32, Pos2, Shape, Stroke, Ui};

use super::{canvas::Frame, overlay};
use crate::{screen::Screen, widgets::words};

/// Dash and gap of the lines round dark spots, points.
const DASH: f32 = 7.0;
const GAP: f32 = 5.0;

/// Draws the lines and the numbers of the spots.
pub(super) fn evenness_ui(ui: &mut Ui, frame: &Frame, screen: &Screen<'_>) {
    if !screen.bench.photos().evenness_shown {
        return;
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
    let Some(told) = screen.bench.evenness_told() else { return };
    for spot in &told.spots {
        let kind = if spot.lighter { "lighter" } else { "darker" };
        let beside = frame.at(spot.corner_px) + egui::vec2(6.0, 0.0);
        words::tag(ui, beside, Align2::LEFT_CENTER, &format!("{} {kind}", spot.number));
    }
}

/// A white dashed line over a wider black one with the same dashes.
fn dashed(ui: &Ui, points: &[Pos2], width: f32) {
    for (extra, colour) in [(2.0, Color32::BLACK), (0.0, Color32::WHITE)] {
        ui.painter().extend(Shape::dashed_line(points, Stroke::new(width + extra, colour), DASH, GAP));
    }
}
