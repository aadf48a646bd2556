//! What is wrong with the piece: where, what, and what to do.

use egui::Ui;

use crate::{
    screen::Screen,
    theme,
    widgets::words::{self, Column},
};

/// Draws the panel.
pub(super) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.problems_view();
    if view.rows.is_empty() {
        column.words(ui, 22.0, &[words::plain("Nothing is wrong with this piece.", 16.0, greys.ink)]);
        return;
    }
    let text = "Numbers that cannot be are left out of what is learned, until they are put right.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(12.0);
    for (place, text) in &view.rows {
        column.words(ui, 22.0, &[words::bold(place, 16.0, greys.ink)]);
        column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink)]);
        column.skip(12.0);
    }
}
