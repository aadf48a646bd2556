//! Two to six parts edge to edge: grain over flat colour. No gap, no line, no label on the seam.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::view::side::{Half, Pair};

use crate::{
    screen::Screen,
    theme,
    widgets::{swatch, words},
};

/// Share of the height that is grain.
const GRAIN: f32 = 224.0 / 296.0;

/// Draws the crops, with their names above.
pub(super) fn seam_ui(ui: &mut Ui, rect: Rect, pair: &Pair, screen: &mut Screen<'_>) {
    let each = rect.width() / pair.crops.len().max(1) as f32;
    for (place, half) in pair.crops.iter().enumerate() {
        let (left, right) = (rect.min.x + each * place as f32, rect.min.x + each * (place + 1) as f32);
        let place = Rect::from_x_y_ranges(left.round()..=right.round(), rect.y_range());
        half_ui(ui, place, half, screen);
    }
}

fn half_ui(ui: &mut Ui, rect: Rect, half: &Half, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let (grain, flat) = rect.split_top_bottom_at_y((rect.min.y + rect.height() * GRAIN).round());
    swatch::swatch_ui(ui, grain, &half.swatch, screen.memory);
    swatch::flat_ui(ui, flat, half.swatch.flat);
    let runs = [
        words::bold(&half.name, 16.0, greys.ink),
        words::plain(" ", 14.0, greys.ink),
        words::plain(&half.state, 14.0, greys.ink),
    ];
    let at = Pos2::new(rect.min.x + 16.0, rect.min.y - 20.0);
    words::short(ui, at, Align2::LEFT_CENTER, rect.width() - 20.0, &runs);
}
