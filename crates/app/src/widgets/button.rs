//! Buttons: one main button in ink, the others in the well.

use crate::theme;
use egui::{Align2, Color32, CursorIcon, Key, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

use super::words::{self, Run};

/// How a button looks.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    /// The one thing to do next.
    Main,
    /// Anything else.
    Well,
}

/// A button with its words centred, and the key that does the same set behind them.
pub(crate) fn button(ui: &mut Ui, rect: Rect, look: Look, label: &str, key: Option<&str>) -> Response {
    button_if(ui, rect, look, label, key, true)
}

/// A button that can be off.
pub(crate) fn button_if(
    ui: &mut Ui,
    rect: Rect,
    look: Look,
    label: &str,
    key: Option<&str>,
    enabled: bool,
) -> Response {
    let greys = theme::of(ui);
    let response = hit(ui, rect, label, enabled, None);
    let hovered = enabled && response.hovered();
    let (fill, ink) = match look {
        Look::Main if enabled => (greys.on, greys.on_ink),
        _ if hovered => (greys.hover(), greys.ink),
        _ => (greys.well, if enabled { greys.ink } else { greys.off }),
    };
    ui.painter().rect_filled(rect, 4, fill);
    let key_text = key.map(|key| format!("  {key}")).unwrap_or_default();
    let runs = [words::bold(label, 16.0, ink), words::plain(&key_text, 16.0, ink)];
    paint_centred(ui, rect, &runs);
    focus_ring(ui, rect, &response, 4.0);
    response
}

/// Words without a ground that can be clicked: undo, redo, cancel.
pub(crate) fn link(
    ui: &mut Ui,
    at: egui::Pos2,
    anchor: Align2,
    name: &str,
    runs: &[Run<'_>],
    enabled: bool,
) -> Response {
    let width = words::line_width(ui, runs);
    let rect = anchor.anchor_size(at, egui::vec2(width, 40.0));
    let response = hit(ui, rect, name, enabled, None);
    paint_centred(ui, rect, runs);
    if enabled && response.hovered() {
        let y = rect.center().y + 11.0;
        ui.painter().hline(rect.x_range(), y, Stroke::new(1.0, theme::of(ui).ink));
    }
    focus_ring(ui, rect.expand2(egui::vec2(4.0, 0.0)), &response, 4.0);
    response
}

/// A card of two lines: a name and what it is.
pub(crate) fn card(ui: &mut Ui, rect: Rect, name: &str, what: &str, chosen: bool) -> Response {
    let greys = theme::of(ui);
    let response = hit(ui, rect, name, true, Some(chosen));
    let (fill, ink) = if chosen {
        (greys.on, greys.on_ink)
    } else if response.hovered() {
        (greys.hover(), greys.ink)
    } else {
        (greys.well, greys.ink)
    };
    ui.painter().rect_filled(rect, 4, fill);
    let left = rect.left_center() + egui::vec2(16.0, 0.0);
    let width = rect.width() - 32.0;
    let up = egui::vec2(0.0, 12.0);
    words::short(ui, left - up, Align2::LEFT_CENTER, width, &[words::bold(name, 16.0, ink)]);
    words::short(ui, left + up, Align2::LEFT_CENTER, width, &[words::plain(what, 14.0, ink)]);
    focus_ring(ui, rect, &response, 4.0);
    response
}

/// A bare place that can be clicked, with an accessible name.
pub(crate) fn hit(ui: &mut Ui, rect: Rect, name: &str, enabled: bool, chosen: Option<bool>) -> Response {
    let sense = if enabled { Sense::click() } else { Sense::hover() };
    let response = ui.allocate_rect(rect, sense);
    response.widget_info(|| match chosen {
        Some(chosen) => WidgetInfo::selected(Role::Button, enabled, chosen, name),
        None => WidgetInfo::labeled(Role::Button, enabled, name),
    });
    if enabled { response.on_hover_cursor(CursorIcon::PointingHand) } else { response }
}

/// The ring round what the keyboard is on.
pub(crate) fn focus_ring(ui: &Ui, rect: Rect, response: &Response, radius: f32) {
    if response.gained_focus() {
        // What the keyboard comes to is brought into sight.
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        let greys = theme::of(ui);
        ui.painter().rect_stroke(rect, radius, Stroke::new(2.0, greys.ink), StrokeKind::Outside);
        ui.painter().rect_stroke(rect.shrink(2.0), radius, Stroke::new(2.0, ring_inside(greys)), StrokeKind::Inside);
    }
}

fn ring_inside(greys: theme::Greys) -> Color32 {
    greys.on_ink
}

/// Whether this key was pressed alone, with no text field holding the keyboard.
pub(crate) fn pressed(ui: &Ui, key: Key) -> bool {
    !ui.ctx().text_edit_focused() && ui.input(|input| input.modifiers.is_none() && input.key_pressed(key))
}

fn paint_centred(ui: &Ui, rect: Rect, runs: &[Run<'_>]) {
    words::paint_centred(ui, rect, runs);
}
