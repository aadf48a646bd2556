//! What opens in the panel where it is needed: colouring out, the shop book, and what is wrong with the piece.

mod book;
mod colouring_out;
mod problems;

use egui::Ui;
use workbench::{Beside, FrameAction};

use crate::{screen::Screen, widgets::words::Column};

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, beside: Beside, screen: &mut Screen<'_>) {
    let head = match beside {
        Beside::ColouringOut => "Colouring out",
        Beside::ShopBook => "Shop book",
        Beside::Problems => "To put right",
    };
    if super::closing_head_ui(ui, column, head) {
        screen.act(FrameAction::Beside(None));
    }
    column.skip(8.0);
    match beside {
        Beside::ColouringOut => colouring_out::panel_ui(ui, column, screen),
        Beside::ShopBook => book::panel_ui(ui, column, screen),
        Beside::Problems => problems::panel_ui(ui, column, screen),
    }
}
