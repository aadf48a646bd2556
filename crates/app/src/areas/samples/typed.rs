//! What is being typed into the log line, in the panel: its steps, and what to beware of before they are done.

use egui::Ui;
use workbench::view::typed::TypedView;

use crate::{
    theme,
    widgets::{
        caution,
        words::{self, Column},
    },
};

/// Draws the panel.
pub(super) fn panel_ui(ui: &mut Ui, column: &mut Column, typed: &TypedView) {
    let greys = theme::of(ui);
    column.words(ui, 32.0, &[words::bold("As typed so far", 24.0, greys.ink)]);
    column.skip(8.0);
    for (name, how) in &typed.steps {
        let runs = [
            words::bold(name, 15.0, greys.ink),
            words::plain("  ", 15.0, greys.ink),
            words::plain(how, 15.0, greys.ink),
        ];
        column.words(ui, 24.0, &runs);
    }
    if let Some(against) = &typed.against {
        column.skip(8.0);
        column.words(ui, 22.0, &[words::bold(against, 16.0, greys.ink)]);
    }
    column.skip(12.0);
    caution::cautions_ui(ui, column, f32::INFINITY, &typed.cautions);
}
