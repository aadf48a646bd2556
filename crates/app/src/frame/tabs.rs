//! The five areas; the digit is the key.

use egui::{Rect, Ui};
use workbench::{Area, FrameAction};

use super::Places;
use crate::{
    screen::Screen,
    theme,
    widgets::{button, words},
};

/// Draws the tabs.
pub(crate) fn tabs_ui(ui: &mut Ui, places: &Places, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let open = screen.bench.piece().is_some();
    let padding = if places.narrow() { 16.0 } else { 24.0 };
    let mut x = places.tabs.min.x;
    for (number, area) in (1..).zip(Area::ALL) {
        let chosen = open && area == screen.bench.area();
        let (digit, ink) = (format!("{number}"), if open { greys.ink } else { greys.off });
        let ink2 = if open { greys.ink2 } else { greys.off };
        let runs = if chosen {
            [words::bold(&digit, 14.0, ink), words::bold("  ", 18.0, ink), words::bold(area.name(), 18.0, ink)]
        } else {
            [words::plain(&digit, 14.0, ink2), words::plain("  ", 18.0, ink), words::plain(area.name(), 18.0, ink)]
        };
        // The width is that of the chosen face, so that nothing moves on choosing.
        let widest =
            [words::bold(&digit, 14.0, ink), words::bold("  ", 18.0, ink), words::bold(area.name(), 18.0, ink)];
        let width = words::line_width(ui, &widest) + 2.0 * padding;
        let rect =
            Rect::from_min_size(egui::pos2(x, places.tabs.min.y), egui::vec2(width.round(), places.tabs.height()));
        x = rect.max.x;
        let response = button::hit(ui, rect, area.name(), open, Some(chosen));
        if chosen {
            ui.painter().rect_filled(rect, 0, greys.bench);
            ui.painter().rect_filled(Rect::from_min_size(rect.min, egui::vec2(rect.width(), 4.0)), 0, greys.ink);
        } else if response.hovered() && open {
            ui.painter().rect_filled(rect, 0, greys.well);
        }
        words::paint_centred(ui, rect, &runs);
        button::focus_ring(ui, rect.shrink(4.0), &response, 4.0);
        if response.clicked() {
            screen.act(FrameAction::Go(area));
        }
    }
}
