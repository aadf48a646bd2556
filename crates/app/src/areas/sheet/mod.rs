//! Sheet: the page at reading size, as it will print.

mod page;
mod panel;

pub(crate) use panel::panel_ui;

use egui::{Pos2, Rect, ScrollArea, Ui};

use crate::{screen::Screen, theme, widgets::words};

/// Width of the page, points.
const PAGE: f32 = 640.0;

/// Draws the area.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let page = screen.bench.page();
    if page.blocks.is_empty() {
        let text = if page.updating { "Writing the sheet …".into() } else { page.empty.clone().unwrap_or_default() };
        words::block(
            ui,
            rect.min + egui::vec2(16.0, 24.0),
            rect.width() - 32.0,
            34.0,
            &[words::bold(&text, 26.0, greys.ink)],
        );
        return;
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let origin = ui.cursor().min;
        let width = PAGE.min(rect.width() - 32.0);
        let left = origin.x + (rect.width() - width) / 2.0;
        let paper = ui.painter().add(egui::Shape::Noop);
        let inner = Pos2::new(left + 32.0, origin.y + 40.0);
        let end = page::page_ui(ui, inner, width - 64.0, &page);
        let sheet = Rect::from_min_max(Pos2::new(left, origin.y + 16.0), Pos2::new(left + width, end + 40.0));
        ui.painter().set(paper, egui::epaint::RectShape::filled(sheet, 0, theme::PAPER));
        ui.expand_to_include_y(sheet.max.y + 24.0);
    });
}
