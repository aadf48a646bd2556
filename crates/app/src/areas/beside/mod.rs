//! What opens in the panel where it is needed: colouring out, the shop book, and what is wrong with the piece.

mod book;
mod colouring_out;
mod problems;

use egui::{Align2, Pos2, Ui};
use workbench::{Beside, FrameAction};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button,
        words::{self, Column},
    },
};

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, beside: Beside, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let head = match beside {
        Beside::ColouringOut => "Colouring out",
        Beside::ShopBook => "Shop book",
        Beside::Problems => "To put right",
    };
    let row = column.take(32.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold(head, 24.0, greys.ink)]);
    let close = [words::bold("Close", 16.0, greys.ink)];
    let name = format!("Close {}", head.to_lowercase());
    if button::link(ui, Pos2::new(row.max.x, row.center().y), Align2::RIGHT_CENTER, &name, &close, true).clicked() {
        screen.act(FrameAction::Beside(None));
    }
    column.skip(8.0);
    match beside {
        Beside::ColouringOut => colouring_out::panel_ui(ui, column, screen),
        Beside::ShopBook => book::panel_ui(ui, column, screen),
        Beside::Problems => problems::panel_ui(ui, column, screen),
    }
}
