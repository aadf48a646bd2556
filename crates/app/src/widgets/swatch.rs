//! Swatches: wood or a flat colour, edge to edge, with a mark where the screen cannot show the colour.

use egui::{Color32, Pos2, Rect, Stroke, Ui};
use workbench::{crop::Crop, display::Shown, view::Swatch};

use crate::{screen::Memory, theme};

/// Draws wood, or its flat colour where no photo has shown its grain.
pub(crate) fn swatch_ui(ui: &Ui, rect: Rect, swatch: &Swatch, memory: &mut Memory) {
    match &swatch.crop {
        Some(crop) => crop_ui(ui, rect, crop, memory),
        None => {
            ui.painter().rect_filled(rect, 0, bytes(swatch.flat.rgb));
        }
    }
    mark_ui(ui, rect, swatch.flat);
}

/// Draws the flat colour.
pub(crate) fn flat_ui(ui: &Ui, rect: Rect, shown: Shown) {
    ui.painter().rect_filled(rect, 0, bytes(shown.rgb));
    mark_ui(ui, rect, shown);
}

/// Draws a crop so that it covers a rectangle, its shape kept.
pub(crate) fn crop_ui(ui: &Ui, rect: Rect, crop: &Crop, memory: &mut Memory) {
    let texture = memory.crop(ui.ctx(), crop);
    let size = egui::vec2(crop.width_px as f32, crop.height_px as f32);
    let scale = (rect.width() / size.x).max(rect.height() / size.y);
    let part = rect.size() / (size * scale);
    let uv = Rect::from_center_size(Pos2::new(0.5, 0.5), part);
    ui.painter().image(texture, rect, uv, Color32::WHITE);
}

/// The colour of some bytes.
pub(crate) fn bytes([r, g, b]: [u8; 3]) -> Color32 {
    Color32::from_rgb(r, g, b)
}

/// A small struck square: the screen cannot show this colour.
fn mark_ui(ui: &Ui, rect: Rect, shown: Shown) {
    if shown.out_of_gamut && rect.width() > 12.0 && rect.height() > 12.0 {
        struck_ui(ui, Rect::from_min_size(rect.right_top() - egui::vec2(12.0, 0.0), egui::vec2(12.0, 12.0)));
    }
}

/// The struck square itself.
pub(crate) fn struck_ui(ui: &Ui, square: Rect) {
    ui.painter().rect_filled(square, 0, theme::TAG);
    ui.painter().line_segment([square.left_bottom(), square.right_top()], Stroke::new(2.0, theme::TAG_INK));
}
