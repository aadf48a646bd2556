//! The list of keys, in place of the panel.

use egui::{Align2, Pos2, Ui};

use crate::{
    keys::LIST,
    theme,
    widgets::words::{self, Column},
};

/// Draws the list.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column) {
    let greys = theme::of(ui);
    column.words(ui, 32.0, &[words::bold("Keys", 24.0, greys.ink)]);
    column.skip(8.0);
    for (key, does) in LIST {
        let row = column.take(36.0);
        words::line(
            ui,
            Pos2::new(row.min.x, row.center().y),
            Align2::LEFT_CENTER,
            &[words::bold(key, 15.0, greys.ink)],
        );
        let at = Pos2::new(row.min.x + 112.0, row.center().y);
        words::short(ui, at, Align2::LEFT_CENTER, row.width() - 112.0, &[words::plain(does, 14.0, greys.ink)]);
    }
}
