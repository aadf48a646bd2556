//! The check tile in the panel: how far its readings drift, and the last of them.

use egui::{Align2, Ui};
use workbench::PhotosAction;

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button,
        words::{self, Column},
    },
};

/// Draws it.
pub(super) fn tile_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let told = screen.bench.tile_told();
    column.words(ui, 28.0, &[words::bold("Check tile", 18.0, greys.ink)]);
    let text = "One tile of your own, read now and then beside the card. Draw on it, and it is added to its record.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(4.0);
    column.words(ui, 22.0, &[words::plain(&told.head, 15.0, greys.ink)]);
    column.skip(4.0);
    for (photo, colour) in &told.rows {
        let row = column.take(44.0);
        let (above, below) = row.split_top_bottom_at_fraction(0.5);
        words::short(
            ui,
            above.left_center(),
            Align2::LEFT_CENTER,
            row.width(),
            &[words::plain(photo, 14.0, greys.ink2)],
        );
        words::short(
            ui,
            below.left_center(),
            Align2::LEFT_CENTER,
            row.width(),
            &[words::plain(colour, 15.0, greys.ink)],
        );
    }
    if told.rows.is_empty() {
        return;
    }
    let row = column.take(40.0);
    let label = "Take the last reading out";
    let runs = [words::plain(label, 15.0, greys.ink)];
    if button::link(ui, row.left_center(), Align2::LEFT_CENTER, label, &runs, true).clicked() {
        screen.act(PhotosAction::ForgetTile);
    }
}
