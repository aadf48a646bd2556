//! The list of keys, in place of the panel.

use egui::{Align2, Ui};

use crate::{
    keys::LIST,
    screen::Screen,
    theme,
    widgets::words::{self, Column},
};

/// Where it is said what a key does, points behind the key.
const BEHIND: f32 = 112.0;

/// Draws the list.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    if super::closing_head_ui(ui, column, "Keys") {
        screen.memory.keys = false;
    }
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
