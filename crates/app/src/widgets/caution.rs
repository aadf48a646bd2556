//! A caution: a square with `!`, the first clause semibold, then do and don't. Never over a swatch.

use crate::theme;
use egui::{Pos2, Rect, Ui};

use super::words::{self, Column, Run};

/// Draws a caution across `rect`'s width from its top; says how high it is.
fn caution_ui(ui: &mut Ui, at: Pos2, width: f32, lead: &str, text: &str) -> f32 {
    let greys = theme::of(ui);
    let runs = runs(lead, text, greys);
    let text_width = width - 16.0 - 52.0;
    let height = words::block_height(ui, text_width, 22.0, &runs) + 24.0;
    ui.painter().rect_filled(Rect::from_min_size(at, egui::vec2(width, height)), 0, greys.well);
    mark_ui(ui, at + egui::vec2(16.0, 12.0));
    words::block(ui, at + egui::vec2(52.0, 12.0), text_width, 22.0, &runs);
    height
}

/// Draws cautions across a column: the first of them, and of the others those that end above `foot`. Gives those that are
/// left, which [`rest_ui`] draws further down.
pub(crate) fn cautions_ui<'c>(
    ui: &mut Ui,
    column: &mut Column,
    foot: f32,
    cautions: &'c [(String, String)],
) -> &'c [(String, String)] {
    let greys = theme::of(ui);
    let mut drawn = 0;
    for (lead, text) in cautions {
        let width = column.width + 32.0;
        let high = words::block_height(ui, width - 68.0, 22.0, &runs(lead, text, greys)) + 24.0;
        if drawn > 0 && column.y + high > foot {
            break;
        }
        column.y += caution_ui(ui, Pos2::new(column.x - 16.0, column.y), width, lead, text) + 8.0;
        drawn += 1;
    }
    let left = &cautions[drawn..];
    if !left.is_empty() {
        let text = match left.len() {
            1 => "One more caution below and on the sheet.".to_owned(),
            n => format!("{n} more cautions below and on the sheet."),
        };
        column.words(ui, 20.0, &[words::bold(&text, 14.0, greys.ink)]);
        column.skip(4.0);
    }
    left
}

/// Draws the cautions that were left.
pub(crate) fn rest_ui(ui: &mut Ui, column: &mut Column, left: &[(String, String)]) {
    if !left.is_empty() {
        column.skip(12.0);
        cautions_ui(ui, column, f32::INFINITY, left);
    }
}

fn runs<'a>(lead: &'a str, text: &'a str, greys: theme::Greys) -> [Run<'a>; 3] {
    let gap = if text.is_empty() { "" } else { " " };
    [words::bold(lead, 15.0, greys.ink), words::plain(gap, 15.0, greys.ink), words::plain(text, 15.0, greys.ink)]
}

/// The square with `!` alone.
pub(crate) fn mark_ui(ui: &Ui, at: Pos2) {
    let greys = theme::of(ui);
    let square = Rect::from_min_size(at, egui::vec2(24.0, 24.0));
    ui.painter().rect_filled(square, 0, greys.on);
    words::paint_centred(ui, square, &[words::bold("!", 16.0, greys.on_ink)]);
}
