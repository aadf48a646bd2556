//! What a step does at each strength: the curve, its band, and the trials on it.

use egui::{Align2, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo};
use workbench::{view::curve::CurveView, words::decimals};

use crate::{theme, widgets::words};

/// Strength and change of L* to places.
struct Scale {
    rect: Rect,
    strongest: f64,
    change: [f64; 2],
    /// From one tick to the next.
    step: f64,
}

impl Scale {
    fn of(rect: Rect, view: &CurveView) -> Self {
        let strongest = view.points.last().map_or(1.0, |point| point[0]).max(1e-6);
        let ends = || view.points.iter().flat_map(|point| [point[2], point[3]]).chain(view.trials.iter().map(|t| t.1));
        let (low, high) = (ends().fold(0.0, f64::min), ends().fold(0.0, f64::max));
        let step = if high - low > 25.0 {
            10.0
        } else if high - low > 10.0 {
            5.0
        } else {
            2.0
        };
        let change =
            [(low / step).floor() * step, ((high / step).ceil() * step).max((low / step).floor() * step + step)];
        Self { rect, strongest, change, step }
    }

    fn at(&self, strength: f64, change: f64) -> Pos2 {
        let x = strength / self.strongest;
        let y = (change - self.change[0]) / (self.change[1] - self.change[0]);
        Pos2::new(self.rect.min.x + self.rect.width() * x as f32, self.rect.max.y - self.rect.height() * y as f32)
    }
}

/// Draws the curve.
pub(super) fn curve_ui(ui: &mut Ui, rect: Rect, view: &CurveView) {
    let greys = theme::of(ui);
    let inner = Rect::from_min_max(rect.min + egui::vec2(40.0, 0.0), rect.max - egui::vec2(24.0, 28.0));
    let scale = Scale::of(inner, view);
    let described = ui.allocate_rect(inner, Sense::hover());
    described.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{}, curve", view.head)));
    band_ui(ui, &scale, view);
    axes_ui(ui, &scale, view);
    let line: Vec<Pos2> = view.points.iter().map(|point| scale.at(point[0], point[1])).collect();
    // Beyond the strongest trial the curve is a guess, and looks like one.
    let (tried, beyond): (Vec<_>, Vec<_>) =
        line.iter().zip(&view.points).partition(|(_, point)| point[0] <= view.strongest + 1e-9);
    let tried: Vec<Pos2> = tried.into_iter().map(|(at, _)| *at).collect();
    let beyond: Vec<Pos2> = tried.last().into_iter().chain(beyond.iter().map(|(at, _)| *at)).copied().collect();
    ui.painter().extend(Shape::dashed_line(&beyond, Stroke::new(2.0, greys.ink), 6.0, 5.0));
    ui.painter().add(Shape::line(tried, Stroke::new(3.0, greys.ink)));
    for (strength, change, told, chosen) in &view.trials {
        let side = if *chosen { 14.0 } else { 10.0 };
        let square = Rect::from_center_size(scale.at(*strength, *change), egui::vec2(side, side));
        ui.painter().rect_filled(square.expand(2.0), 0, greys.bench);
        ui.painter().rect_filled(square, 0, greys.ink);
        let response = ui.allocate_rect(square.expand(4.0), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, told));
        response.on_hover_text(told);
    }
    let at = Pos2::new(inner.max.x, scale.at(0.0, if up(view) { scale.change[0] } else { scale.change[1] }).y);
    let (off, anchor) = if up(view) { (-8.0, Align2::RIGHT_BOTTOM) } else { (8.0, Align2::RIGHT_TOP) };
    words::line(ui, at + egui::vec2(0.0, off), anchor, &[words::plain("dashed: not tried", 14.0, greys.ink2)]);
}

/// Whether it lightens.
fn up(view: &CurveView) -> bool {
    view.points.iter().map(|point| point[1]).sum::<f64>() > 0.0
}

/// The band that holds one more use nine times in ten, in pieces that are each convex.
fn band_ui(ui: &Ui, scale: &Scale, view: &CurveView) {
    let fill = theme::of(ui).well;
    for pair in view.points.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let corners = vec![scale.at(a[0], a[3]), scale.at(b[0], b[3]), scale.at(b[0], b[2]), scale.at(a[0], a[2])];
        // A hair wider, so that no seam shows between two pieces.
        ui.painter().add(Shape::convex_polygon(corners, fill, Stroke::new(0.5, fill)));
    }
}

fn axes_ui(ui: &mut Ui, scale: &Scale, view: &CurveView) {
    let greys = theme::of(ui);
    let line = Stroke::new(1.0, greys.line);
    ui.painter().vline(scale.rect.min.x, scale.rect.y_range(), line);
    ui.painter().hline(scale.rect.x_range(), scale.at(0.0, 0.0).y, line);
    let steps = ((scale.change[1] - scale.change[0]) / scale.step).round() as i32;
    let crowded = scale.rect.height() / (steps.max(1) as f32) < 20.0;
    for n in (0..=steps).filter(|n| !crowded || n % 2 == 0) {
        let change = scale.change[0] + f64::from(n) * scale.step;
        let at = scale.at(0.0, change);
        ui.painter().hline(at.x - 6.0..=at.x, at.y, Stroke::new(1.5, greys.ink));
        let number = decimals(change, 0);
        let text = if change > 0.5 { format!("+{number}") } else { number };
        let at = at - egui::vec2(12.0, 0.0);
        words::line(ui, at, Align2::RIGHT_CENTER, &[words::plain(&text, 14.0, greys.ink2)]);
    }
    // Of words that would lie on each other the later ones are left out.
    let mut free = f32::NEG_INFINITY;
    for (strength, text) in &view.ticks {
        let at = Pos2::new(scale.at(*strength, 0.0).x, scale.rect.max.y);
        ui.painter().vline(at.x, at.y..=at.y + 6.0, Stroke::new(1.5, greys.ink));
        let runs = [words::plain(text, 14.0, greys.ink2)];
        let half = words::line_width(ui, &runs) / 2.0;
        if at.x - half >= free {
            words::line(ui, at + egui::vec2(0.0, 17.0), Align2::CENTER_CENTER, &runs);
            free = at.x + half + 8.0;
        }
    }
}
