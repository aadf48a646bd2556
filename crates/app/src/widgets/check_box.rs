//! A box to tick, with its words behind it.

use egui::{Align2, CursorIcon, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

use super::{button, words};
use crate::theme;

/// Side of the box, points.
const BOX: f32 = 20.0;

/// Draws it at the left of `row`.
pub(crate) fn check_box(ui: &mut Ui, row: Rect, label: &str, ticked: bool) -> Response {
    let greys = theme::of(ui);
    let runs = [words::plain(label, 16.0, greys.ink)];
    let width = BOX + 12.0 + words::line_width(ui, &runs);
    let place = Align2::LEFT_CENTER.anchor_size(row.left_center(), egui::vec2(width, row.height()));
    let response = ui.allocate_rect(place, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, label));
    let square = Align2::LEFT_CENTER.anchor_size(place.left_center(), egui::vec2(BOX, BOX));
    ui.painter().rect_filled(square, 0, if response.hovered() { greys.hover() } else { greys.well });
    ui.painter().rect_stroke(square, 0, Stroke::new(2.0, greys.ink), StrokeKind::Inside);
    if ticked {
        words::paint_centred(ui, square, &[words::bold("✓", 16.0, greys.ink)]);
    }
    words::paint_left(ui, square.right_center() + egui::vec2(12.0, 0.0), &runs);
    button::focus_ring(ui, place.expand2(egui::vec2(4.0, 0.0)), &response, 4.0);
    response
}
