//! A caution: a square with `!`, the first clause semibold, then do and don't. Never over a swatch.

use crate::theme;
use egui::{Pos2, Rect, Ui};

use super::words;

/// Draws a caution across `rect`'s width from its top; says how high it is.
pub(crate) fn caution_ui(ui: &mut Ui, at: Pos2, width: f32, lead: &str, text: &str) -> f32 {
    let greys = theme::of(ui);
    let gap = if text.is_empty() { "" } else { " " };
    let runs =
        [words::bold(lead, 15.0, greys.ink), words::plain(gap, 15.0, greys.ink), words::plain(text, 15.0, greys.ink)];
    let text_width = width - 16.0 - 52.0;
    let height = words::block_height(ui, text_width, 22.0, &runs) + 24.0;
    ui.painter().rect_filled(Rect::from_min_size(at, egui::vec2(width, height)), 0, greys.well);
    mark_ui(ui, at + egui::vec2(16.0, 12.0));
    words::block(ui, at + egui::vec2(52.0, 12.0), text_width, 22.0, &runs);
    height
}

/// The square with `!` alone.
pub(crate) fn mark_ui(ui: &Ui, at: Pos2) {
    let greys = theme::of(ui);
    let square = Rect::from_min_size(at, egui::vec2(24.0, 24.0));
    ui.painter().rect_filled(square, 0, greys.on);
    words::paint_centred(ui, square, &[words::bold("!", 16.0, greys.on_ink)]);
}
