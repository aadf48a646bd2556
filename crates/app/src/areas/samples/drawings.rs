//! The lower half of Samples: which drawings stand there, one or two beside each other, and their heads.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::view::{curve::CurveView, plot::Axes};

use super::{curve, plot};
use crate::{
    screen::{Drawing, Screen},
    theme,
    widgets::{menu, words},
};

/// From this width on the curve stands beside the plot, points.
const BOTH: f32 = 840.0;
const GAP: f32 = 32.0;
const HEAD: f32 = 32.0;

const LIGHTNESS: &str = "Lighter is up, stronger is right";
const HUE: &str = "Yellower is up, redder is right";
const STRENGTH: &str = "By strength";

/// Draws them.
pub(super) fn drawings_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let curve = screen.bench.curve_view();
    let both = rect.width() >= BOTH && curve.is_some();
    if !both && screen.memory.drawing_shown == Drawing::Strength {
        let (head, body) = rect.split_top_bottom_at_y(rect.min.y + HEAD);
        let name = curve.as_ref().map_or(STRENGTH, |view| view.head.as_str());
        head_ui(ui, head, name, curve.as_ref().map_or("", |view| view.note.as_str()), true, screen);
        return match &curve {
            Some(view) => curve::curve_ui(ui, body, view),
            None => {
                let text = "No colour step of this trial was read before and after, so there is no curve of it yet.";
                let runs = [words::plain(text, 16.0, theme::of(ui).ink2)];
                words::block(ui, body.min + egui::vec2(0.0, 4.0), body.width(), 22.0, &runs);
            }
        };
    }
    let width = if both { ((rect.width() - GAP) * 0.55).round() } else { rect.width() };
    let left = Rect::from_min_size(rect.min, egui::vec2(width, rect.height()));
    plot_ui(ui, left, both, screen);
    if let (true, Some(view)) = (both, &curve) {
        beside_ui(ui, Rect::from_min_max(Pos2::new(left.max.x + GAP, rect.min.y), rect.max), view);
    }
}

fn plot_ui(ui: &mut Ui, rect: Rect, both: bool, screen: &mut Screen<'_>) {
    let (head, body) = rect.split_top_bottom_at_y(rect.min.y + HEAD);
    let axes = if screen.memory.drawing_shown == Drawing::Hue { Axes::Hue } else { Axes::Lightness };
    let plot = screen.bench.plot(axes);
    let (name, what) = match axes {
        Axes::Lightness => (LIGHTNESS, "L* by C*"),
        Axes::Hue => (HUE, "b* by a*"),
    };
    let dashed = if plot.tolerance.is_empty() { "" } else { "; dashed: within tolerance" };
    let note = format!("{what}, {}{dashed}", plot.judged);
    head_ui(ui, head, name, &note, !both, screen);
    plot::plot_ui(ui, body, &plot);
}

/// The head of the one drawing: a list of the others opens from it.
fn head_ui(ui: &mut Ui, rect: Rect, name: &str, note: &str, strength: bool, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let at = Pos2::new(rect.min.x, rect.min.y + 10.0);
    let shown = screen.memory.drawing_shown;
    let (label, runs) = (format!("Drawing: {name}"), [words::bold(name, 16.0, greys.ink)]);
    let opened = menu::menu_ui(ui, at, Align2::LEFT_CENTER, &label, &runs, |ui| {
        let all = [(LIGHTNESS, Drawing::Lightness), (HUE, Drawing::Hue), (STRENGTH, Drawing::Strength)];
        for (label, drawing) in all.into_iter().take(if strength { 3 } else { 2 }) {
            if menu::row_ui(ui, label, "", drawing == shown) {
                screen.memory.drawing_shown = drawing;
            }
        }
    });
    note_ui(ui, rect, opened.rect.max.x, note);
}

fn note_ui(ui: &mut Ui, rect: Rect, left: f32, note: &str) {
    let runs = [words::plain(note, 14.0, theme::of(ui).ink2)];
    let at = Pos2::new(rect.max.x, rect.min.y + 10.0);
    words::short(ui, at, Align2::RIGHT_CENTER, (rect.max.x - left - 16.0).max(40.0), &runs);
}

fn beside_ui(ui: &mut Ui, rect: Rect, view: &CurveView) {
    let (head, body) = rect.split_top_bottom_at_y(rect.min.y + HEAD);
    let at = Pos2::new(head.min.x, head.min.y + 10.0);
    let name = [words::bold(&view.head, 16.0, theme::of(ui).ink)];
    let name = words::short(ui, at, Align2::LEFT_CENTER, head.width() * 0.66, &name);
    note_ui(ui, head, name.max.x, &view.note);
    curve::curve_ui(ui, body, view);
}
