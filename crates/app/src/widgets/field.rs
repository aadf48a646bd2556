//! A text field in the well, with the accessible name it is found by.

use crate::theme;
use egui::{FontId, Frame, Margin, Rect, Response, Stroke, StrokeKind, TextEdit, Ui};

/// A single-line field filling `rect`.
pub(crate) fn field_ui(ui: &mut Ui, rect: Rect, name: &str, hint: &str, font: FontId, text: &mut String) -> Response {
    let greys = theme::of(ui);
    ui.painter().rect_filled(rect, 0, greys.well);
    let edit = TextEdit::singleline(text)
        .id(egui::Id::unique(name))
        .hint_text(egui::RichText::new(hint).color(greys.ink2))
        .font(font)
        .frame(Frame::NONE)
        .margin(Margin::same(0))
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(rect.width() - 32.0);
    let response = ui.put(rect.shrink2(egui::vec2(16.0, 4.0)), edit);
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, 0, Stroke::new(2.0, greys.ink), StrokeKind::Inside);
    }
    response
}
