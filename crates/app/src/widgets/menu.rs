//! A word with a drawn triangle that opens a short list.

use crate::theme;
use egui::{Align2, Color32, Frame, Margin, Popup, PopupCloseBehavior, Pos2, Rect, Response, ScrollArea, Shape, Ui};

use super::{button, words, words::Run};

/// Width of an open list, points; longer rows widen it.
const WIDTH: f32 = 240.0;
/// Most of the window's height that a list takes; longer ones scroll.
const MOST: f32 = 0.8;

/// Draws the words and the triangle at the left of `at`; `list` fills the list when it is open.
pub(crate) fn menu_ui(
    ui: &mut Ui,
    at: Pos2,
    anchor: Align2,
    name: &str,
    runs: &[Run<'_>],
    list: impl FnOnce(&mut Ui),
) -> Response {
    let greys = theme::of(ui);
    let width = words::line_width(ui, runs);
    let rect = anchor.anchor_size(at, egui::vec2(width + 20.0, 40.0));
    let response = button::hit(ui, rect, name, true, None);
    let left = Rect::from_min_size(rect.min, egui::vec2(width, rect.height()));
    words::paint_centred(ui, left, runs);
    triangle(ui, Pos2::new(rect.max.x - 5.0, rect.center().y), greys.ink);
    button::focus_ring(ui, rect.expand2(egui::vec2(4.0, 0.0)), &response, 4.0);
    let frame = Frame::new().fill(greys.well).inner_margin(Margin::same(8)).corner_radius(4);
    Popup::menu(&response)
        .frame(frame)
        .gap(2.0)
        .close_behavior(PopupCloseBehavior::CloseOnClick)
        .accessible_name(name)
        .show(|ui| {
            ui.set_max_width(WIDTH);
            ui.set_min_width(WIDTH);
            let most = ui.ctx().content_rect().height() * MOST;
            // A new popup is given 400 points of height unless it asks for more.
            ui.set_max_height(most);
            ScrollArea::vertical().max_height(most).show(ui, list);
        });
    response
}

/// One row of an open list.
pub(crate) fn row_ui(ui: &mut Ui, label: &str, note: &str, chosen: bool) -> bool {
    let greys = theme::of(ui);
    let runs_ink = if chosen { greys.on_ink } else { greys.ink };
    let gap = if note.is_empty() { "" } else { "   " };
    let runs = [
        if chosen { words::bold(label, 16.0, runs_ink) } else { words::plain(label, 16.0, runs_ink) },
        words::plain(gap, 16.0, runs_ink),
        words::plain(note, 14.0, runs_ink),
    ];
    let width = (words::line_width(ui, &runs) + 16.0).max(ui.available_width());
    let (id, rect) = ui.allocate_space(egui::vec2(width, 40.0));
    let response = ui.interact(rect, id, egui::Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, chosen, label));
    if chosen || response.hovered() {
        ui.painter().rect_filled(rect, 0, if chosen { greys.on } else { greys.hover() });
    }
    let left = rect.left_center() + egui::vec2(8.0, 0.0);
    words::paint_left(ui, left, &runs);
    button::focus_ring(ui, rect, &response, 0.0);
    response.clicked()
}

fn triangle(ui: &Ui, centre: Pos2, ink: Color32) {
    let points = vec![centre + egui::vec2(-5.0, -3.0), centre + egui::vec2(5.0, -3.0), centre + egui::vec2(0.0, 3.0)];
    ui.painter().add(Shape::convex_polygon(points, ink, egui::Stroke::NONE));
}
