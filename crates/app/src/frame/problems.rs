//! One line above the panel where something is wrong with the piece; it opens the list.

use egui::{Pos2, Rect, Ui};
use workbench::{Beside, FrameAction};

use super::Places;
use crate::{
    screen::Screen,
    theme,
    widgets::{button, caution, words},
};

/// Draws the line, where there is anything to put right.
pub(crate) fn problems_ui(ui: &mut Ui, places: &Places, screen: &mut Screen<'_>) {
    let view = screen.bench.problems_view();
    if view.line.is_empty() {
        return;
    }
    let greys = theme::of(ui);
    let rect = Rect::from_min_max(Pos2::new(places.panel.min.x, places.tabs.min.y), places.tabs.max);
    let open = screen.bench.beside() == Some(Beside::Problems);
    let response = button::hit(ui, rect, &view.line, true, Some(open));
    if open || response.hovered() {
        ui.painter().rect_filled(rect, 0, greys.well);
    }
    let left = rect.left_center() + egui::vec2(16.0, 0.0);
    caution::mark_ui(ui, left - egui::vec2(0.0, 12.0));
    words::paint_left(ui, left + egui::vec2(36.0, 0.0), &[words::bold(&view.line, 16.0, greys.ink)]);
    button::focus_ring(ui, rect.shrink(4.0), &response, 4.0);
    if response.clicked() {
        screen.act(FrameAction::Beside((!open).then_some(Beside::Problems)));
    }
}
