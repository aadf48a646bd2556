//! Routes: which strip has no odd part? Below, the ranking for one part.

mod heads;
mod mixing;
mod panel;
mod ranking;
mod strips;

pub(crate) use panel::panel_ui;

use egui::{Align2, Pos2, Rect, ScrollArea, Ui};

use crate::{screen::Screen, theme, widgets::words};

/// Draws the area.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.routes_view();
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let origin = ui.cursor().min;
        let width = rect.width();
        let mut y = origin.y;
        if view.routes.is_empty() {
            let text =
                if view.updating { "Looking for routes …".into() } else { view.empty.clone().unwrap_or_default() };
            let at = Pos2::new(origin.x + 16.0, y + 24.0);
            y = words::block(ui, at, width - 32.0, 34.0, &[words::bold(&text, 26.0, greys.ink)]).max.y + 24.0;
        } else {
            y = strips::strips_ui(ui, Pos2::new(origin.x, y), width, &view, screen);
            if view.updating {
                words::tag(ui, Pos2::new(origin.x + width - 16.0, origin.y + 4.0), Align2::RIGHT_TOP, "updating");
            }
        }
        for against in &view.against_plan {
            let at = Pos2::new(origin.x + 16.0, y + 8.0);
            y = words::block(ui, at, width - 32.0, 20.0, &[words::bold(against, 14.0, greys.ink)]).max.y;
        }
        if let Some(assumed) = &view.assumed {
            let at = Pos2::new(origin.x + 16.0, y + 8.0);
            y = words::block(ui, at, width - 32.0, 20.0, &[words::plain(assumed, 14.0, greys.ink)]).max.y;
        }
        y = mixing::mixing_ui(ui, Pos2::new(origin.x, y), width, screen);
        y = ranking::ranking_ui(ui, Pos2::new(origin.x, y), width, screen);
        for (what, why) in &view.barred {
            let runs = [
                words::bold(what, 14.0, greys.ink),
                words::plain(", left out: ", 14.0, greys.ink),
                words::plain(why, 14.0, greys.ink),
            ];
            y = words::block(ui, Pos2::new(origin.x + 16.0, y + 4.0), width - 32.0, 20.0, &runs).max.y;
        }
        ui.expand_to_include_y(y + 16.0);
    });
}
