//! What to mix for the chosen route, and how each amount was reckoned.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::view::mixing::{MixingView, SPARE_WORDS};

use crate::{screen::Screen, theme, widgets::words};

/// Draws the mixes; says where they end.
pub(super) fn mixing_ui(ui: &mut Ui, at: Pos2, width: f32, screen: &mut Screen<'_>) -> f32 {
    let greys = theme::of(ui);
    let mixes = screen.bench.mixing_view();
    if mixes.is_empty() {
        return at.y;
    }
    let left = Pos2::new(at.x + 16.0, at.y + 16.0);
    let spare = format!("  one batch for the whole job, {}", SPARE_WORDS);
    let head = [words::bold("To mix for this route", 18.0, greys.ink), words::plain(&spare, 14.0, greys.ink2)];
    let mut y = words::block(ui, left, width - 32.0, 28.0, &head).max.y + 4.0;
    for mix in &mixes {
        y = mix_ui(ui, Pos2::new(left.x, y), width - 32.0, mix);
    }
    y + 8.0
}

fn mix_ui(ui: &mut Ui, at: Pos2, width: f32, mix: &MixingView) -> f32 {
    let greys = theme::of(ui);
    let ground = ui.painter().add(egui::Shape::Noop);
    let inner = Pos2::new(at.x + 12.0, at.y + 8.0);
    let room = width - 24.0;
    let make = words::line(
        ui,
        Pos2::new(at.x + width - 12.0, inner.y + 11.0),
        Align2::RIGHT_CENTER,
        &[words::bold(&mix.make, 18.0, greys.ink)],
    );
    let name = words::bold(&mix.what, 16.0, greys.ink);
    let mut y = words::block(ui, inner, make.min.x - inner.x - 12.0, 22.0, &[name]).max.y;
    y = words::block(ui, Pos2::new(inner.x, y), room, 22.0, &[words::plain(&mix.from, 15.0, greys.ink)]).max.y + 2.0;
    if let Some(set_by) = &mix.set_by {
        let runs = [words::plain(set_by, 14.0, greys.ink)];
        y = words::block(ui, Pos2::new(inner.x, y), room, 20.0, &runs).max.y;
    }
    for (part, reckoned) in &mix.parts {
        let runs = [
            words::plain(part, 14.0, greys.ink),
            words::plain(": ", 14.0, greys.ink2),
            words::plain(reckoned, 14.0, greys.ink2),
        ];
        y = words::block(ui, Pos2::new(inner.x, y), room, 20.0, &runs).max.y;
    }
    let rect = Rect::from_min_max(at, Pos2::new(at.x + width, y + 8.0));
    ui.painter().set(ground, egui::epaint::RectShape::filled(rect, 0, greys.frame));
    rect.max.y + 8.0
}
