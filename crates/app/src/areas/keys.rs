//! The list of keys, in place of the panel.

use egui::{Align2, Ui};

use crate::{
    keys::LIST,
    theme,
    widgets::words::{self, Column},
};

/// Where it is said what a key does, points behind the key.
const BEHIND: f32 = 112.0;

/// Draws the list.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column) {
    let greys = theme::of(ui);
    column.words(ui, 32.0, &[words::bold("Keys", 24.0, greys.ink)]);
    column.skip(8.0);
    for (key, does) in LIST {
        let does = [words::plain(does, 14.0, greys.ink)];
        let width = column.width - BEHIND;
        let high = words::block_height(ui, width, 18.0, &does);
        let row = column.take(high + 18.0);
        words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold(key, 15.0, greys.ink)]);
        words::block(ui, row.min + egui::vec2(BEHIND, 9.0), width, 18.0, &does);
    }
}
