//! The patch strip: measured above, published below, halves butted; the worst is marked.

use egui::{Align2, Pos2, Rect, Role, Sense, Ui, WidgetInfo};
use workbench::view::photos::Patch;

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
        let told = told(patch);
        let response = ui.allocate_rect(column, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
        response.on_hover_text(told);
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
    let said = if patches.iter().any(|patch| patch.measured.out_of_gamut || patch.published.out_of_gamut) {
        legend_ui(ui, said.right_center() + egui::vec2(24.0, 0.0))
    } else {
        said
    };
    if let Some((x, id)) = worst_x {
        let text = format!("worst, {id}");
        let room = words::line_width(ui, &[words::plain(&text, 14.0, greys.ink)]);
        let x = x.clamp(said.max.x + 24.0, rect.max.x - room - 16.0);
        words::line(ui, Pos2::new(x, y), Align2::LEFT_CENTER, &[words::plain(&text, 14.0, greys.ink)]);
    }
}

/// What a struck corner means, behind one.
fn legend_ui(ui: &mut Ui, at: Pos2) -> Rect {
    swatch::struck_ui(ui, Rect::from_center_size(at + egui::vec2(6.0, 0.0), egui::vec2(12.0, 12.0)));
    let runs = [words::plain("beyond this screen", 14.0, theme::of(ui).ink)];
    words::line(ui, at + egui::vec2(20.0, 0.0), Align2::LEFT_CENTER, &runs)
}

/// What a patch is, and why its corners are struck.
fn told(patch: &Patch) -> String {
    let beyond = match (patch.measured.out_of_gamut, patch.published.out_of_gamut) {
        (false, false) => return format!("patch {}", patch.id),
        (true, false) => "as measured",
        (false, true) => "as published",
        (true, true) => "as measured and as published",
    };
    format!("patch {}: {beyond} it is beyond what this screen shows, and drawn as near as it can be", patch.id)
}
