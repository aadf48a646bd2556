//! Samples: which column reaches the match? Boards, the log line, and the plot.

mod boards;
mod curve;
mod drawings;
mod log_line;
mod panel;
mod plot;
mod plot_names;

pub(crate) use panel::panel_ui;

use egui::{Pos2, Rect, Ui};

use crate::{screen::Screen, theme, widgets::words};

/// Draws the area.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.boards();
    let mut y = rect.min.y + boards::height(&view);
    match &view.empty {
        Some(text) => {
            words::block(
                ui,
                rect.min + egui::vec2(16.0, 24.0),
                rect.width() - 32.0,
                34.0,
                &[words::bold(text, 26.0, greys.ink)],
            );
            y = rect.min.y + 176.0;
        }
        None => boards::boards_ui(ui, Rect::from_min_max(rect.min, Pos2::new(rect.max.x, y)), &view, screen),
    }
    let line = Rect::from_min_size(Pos2::new(rect.min.x + 16.0, y + 8.0), egui::vec2(rect.width() - 32.0, 52.0));
    log_line::log_line_ui(ui, line, screen);
    let plot = Rect::from_min_max(Pos2::new(rect.min.x + 16.0, line.max.y + 16.0), rect.max - egui::vec2(16.0, 8.0));
    if plot.height() > 120.0 {
        drawings::drawings_ui(ui, plot, screen);
    }
}
