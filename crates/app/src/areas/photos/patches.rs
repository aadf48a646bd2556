//! The patch strip: measured above, published below, halves butted; the worst is marked.

use egui::{Align2, Pos2, Rect, Ui};

use crate::{
    screen::Screen,
    theme,
    widgets::{swatch, words},
};

/// Height of each half, points.
const HALF: f32 = 28.0;

/// Draws the strip.
pub(super) fn patches_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let patches = screen.bench.patches();
    let y = rect.min.y + 2.0 * HALF + 14.0;
    if patches.is_empty() {
        let text = if screen.bench.quality().verdict == "No card found" {
            "No card, so no colour can be read from this photo."
        } else {
            "The card’s patches stand here once it is read."
        };
        words::line(
            ui,
            Pos2::new(rect.min.x + 16.0, rect.min.y + 28.0),
            Align2::LEFT_CENTER,
            &[words::plain(text, 14.0, greys.ink)],
        );
        return;
    }
    let width = rect.width() / patches.len() as f32;
    let mut worst_x = None;
    for (place, patch) in patches.iter().enumerate() {
        let left = rect.min.x + width * place as f32;
        let column = Rect::from_min_max(
            Pos2::new(left.round(), rect.min.y),
            Pos2::new((left + width).round(), rect.min.y + 2.0 * HALF),
        );
        let (above, below) = column.split_top_bottom_at_y(rect.min.y + HALF);
        swatch::flat_ui(ui, above, patch.measured);
        swatch::flat_ui(ui, below, patch.published);
        if patch.worst {
            ui.painter().rect_filled(
                Rect::from_min_size(column.left_bottom(), egui::vec2(column.width(), 6.0)),
                0,
                greys.ink,
            );
            worst_x = Some((column.min.x, patch.id.clone()));
        }
    }
    let left = Pos2::new(rect.min.x + 16.0, y);
    let said =
        words::line(ui, left, Align2::LEFT_CENTER, &[words::plain("measured above, published below", 14.0, greys.ink)]);
    if let Some((x, id)) = worst_x {
        let text = format!("worst, {id}");
        let room = words::line_width(ui, &[words::plain(&text, 14.0, greys.ink)]);
        let x = x.clamp(said.max.x + 24.0, rect.max.x - room - 16.0);
        words::line(ui, Pos2::new(x, y), Align2::LEFT_CENTER, &[words::plain(&text, 14.0, greys.ink)]);
    }
}
