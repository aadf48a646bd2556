//! Samples: which column reaches the match? Boards, the log line, and the plot.

mod boards;
mod curve;
mod drawings;
mod log_line;
mod panel;
mod plot;
mod plot_names;
mod typed;

use egui::{Pos2, Rect, ScrollArea, Ui};

use crate::{
    screen::Screen,
    theme,
    widgets::words::{self, Column},
};

/// Least height of the drawings, points: in less the names of a plot lie on one another.
const DRAWINGS: f32 = 300.0;

/// Draws the area; it scrolls where the window is not high enough for all of it.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let all = Rect::from_min_size(ui.cursor().min, rect.size());
        let end = all_ui(ui, all, screen);
        ui.expand_to_include_y(end);
    });
}

/// Draws the panel: about the line that is being typed, else about the chosen trial.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, bottom: f32, screen: &mut Screen<'_>) {
    match screen.bench.typed_view(&screen.memory.log) {
        Some(typed) => typed::panel_ui(ui, column, &typed),
        None => panel::panel_ui(ui, column, bottom, screen),
    }
}

/// Draws all of it from the top of a place, down to its foot or further; says where it ends.
fn all_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) -> f32 {
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
    let (top, end) = (line.max.y + 16.0, rect.max.y - 8.0);
    let drawings = Rect::from_x_y_ranges(line.x_range(), top..=end.max(top + DRAWINGS));
    drawings::drawings_ui(ui, drawings, screen);
    drawings.max.y + 8.0
}
