//! L* against C*, or b* against a*: where each trial went, with its interval, the match sample and the tolerance about it.

use egui::{Align2, Color32, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use workbench::view::plot::{Axes, Plot, Point};

use super::plot_names::Names;
use crate::{theme, widgets::swatch, widgets::words};

/// What is set against what, to places.
struct Scale {
    rect: Rect,
    /// Least and most, to the right and up.
    span: [[f64; 2]; 2],
    /// From one tick to the next.
    step: [f64; 2],
}

impl Scale {
    fn of(rect: Rect, plot: &Plot) -> Self {
        let points = || plot.points.iter().map(|p| p.at).chain(plot.matched).chain(plot.tolerance.iter().copied());
        let span = |axis: usize, step: f64, least: f64| {
            let low = points().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
            let high = points().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
            let (low, high) = if low > high { (20.0, 60.0) } else { (low, high) };
            let pad = ((least - (high - low)) / 2.0).max(step * 0.4);
            [((low - pad) / step).floor() * step, ((high + pad) / step).ceil() * step]
        };
        let (step, least) = match plot.axes {
            Axes::Lightness => ([5.0, 10.0], [12.0, 20.0]),
            Axes::Hue => ([2.0, 5.0], [6.0, 12.0]),
        };
        Self { rect, span: [0, 1].map(|axis| span(axis, step[axis], least[axis])), step }
    }

    fn at(&self, [right, up]: [f64; 2]) -> Pos2 {
        let share = |axis: usize, value: f64| {
            let [low, high] = self.span[axis];
            ((value - low) / (high - low)) as f32
        };
        let (x, y) = (share(0, right), share(1, up));
        Pos2::new(self.rect.min.x + self.rect.width() * x, self.rect.max.y - self.rect.height() * y)
    }

    /// Half the width and height of a point: its interval, never less than can be seen.
    fn radius(&self, point: &Point) -> Vec2 {
        let [right, up] = point.at;
        let (at, edge) = (self.at(point.at), self.at([right + point.half[0], up + point.half[1]]));
        egui::vec2((edge.x - at.x).abs().max(9.0), (edge.y - at.y).abs().max(9.0))
    }
}

/// Draws the plot.
pub(super) fn plot_ui(ui: &mut Ui, rect: Rect, plot: &Plot) {
    let greys = theme::of(ui);
    if plot.points.is_empty() {
        let text = "Trials stand here once they have been read under the clear coat, or spirit-wet.";
        words::block(ui, rect.min + egui::vec2(0.0, 4.0), rect.width(), 22.0, &[words::plain(text, 16.0, greys.ink2)]);
        return;
    }
    let inner = Rect::from_min_max(rect.min + egui::vec2(40.0, 0.0), rect.max - egui::vec2(8.0, 28.0));
    let scale = Scale::of(inner, plot);
    let described = ui.allocate_rect(inner, Sense::hover());
    described.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plot of {} colours", plot.points.len())));
    axes_ui(ui, &scale);
    tolerance_ui(ui, &scale, plot);
    for (from, to, chosen) in &plot.arrows {
        arrow_ui(ui, &scale, &plot.points[*from], &plot.points[*to], *chosen);
    }
    let mut names = Names::new(Rect::from_min_max(inner.min - egui::vec2(0.0, 8.0), inner.max + egui::vec2(8.0, -2.0)));
    for (from, to, _) in &plot.arrows {
        let [from, to] = [&plot.points[*from], &plot.points[*to]].map(|point| scale.at(point.at));
        names.line(from, to);
    }
    let edge = || plot.tolerance.iter().map(|at| scale.at(*at));
    edge().zip(edge().cycle().skip(1)).for_each(|(from, to)| names.line(from, to));
    for point in &plot.points {
        point_ui(ui, &scale, point, plot.axes);
        names.point(scale.at(point.at), scale.radius(point));
    }
    if let Some(matched) = plot.matched {
        let at = scale.at(matched);
        ui.painter().hline(at.x - 9.0..=at.x + 9.0, at.y, Stroke::new(3.0, greys.ink));
        ui.painter().vline(at.x, at.y - 9.0..=at.y + 9.0, Stroke::new(3.0, greys.ink));
        names.name_ui(ui, at, egui::vec2(9.0, 9.0), words::bold("match", 14.0, greys.ink));
    }
    let mut by_choice: Vec<&Point> = plot.points.iter().collect();
    by_choice.sort_by_key(|point| !point.chosen);
    for point in by_choice {
        let name = &point.name;
        let run = if point.chosen { words::bold(name, 14.0, greys.ink) } else { words::plain(name, 14.0, greys.ink) };
        names.name_ui(ui, scale.at(point.at), scale.radius(point), run);
    }
}

fn axes_ui(ui: &mut Ui, scale: &Scale) {
    let greys = theme::of(ui);
    let line = Stroke::new(1.0, greys.line);
    ui.painter().vline(scale.rect.min.x, scale.rect.y_range(), line);
    ui.painter().hline(scale.rect.x_range(), scale.rect.max.y, line);
    // Every second tick where they would crowd.
    let ticks = |axis: usize, least: f32| {
        let ([low, high], step) = (scale.span[axis], scale.step[axis]);
        let long = if axis == 0 { scale.rect.width() } else { scale.rect.height() };
        let steps = ((high - low) / step).round().max(1.0);
        let step = if long / (steps as f32) < least { 2.0 * step } else { step };
        let count = ((high - low) / step + 1e-6).floor() as i32;
        (0..=count).map(move |i| low + f64::from(i) * step)
    };
    for up in ticks(1, 20.0) {
        let at = scale.at([scale.span[0][0], up]);
        ui.painter().hline(at.x - 6.0..=at.x, at.y, Stroke::new(1.5, greys.ink));
        let at = at - egui::vec2(12.0, 0.0);
        words::line(ui, at, Align2::RIGHT_CENTER, &[words::plain(&tick(up), 14.0, greys.ink2)]);
    }
    for right in ticks(0, 32.0) {
        let at = scale.at([right, scale.span[1][0]]);
        ui.painter().vline(at.x, at.y..=at.y + 6.0, Stroke::new(1.5, greys.ink));
        let at = at + egui::vec2(0.0, 17.0);
        words::line(ui, at, Align2::CENTER_CENTER, &[words::plain(&tick(right), 14.0, greys.ink2)]);
    }
}

/// A number beside an axis, with a real minus.
fn tick(value: f64) -> String {
    workbench::words::decimals(value, 0)
}

fn tolerance_ui(ui: &Ui, scale: &Scale, plot: &Plot) {
    let greys = theme::of(ui);
    let mut edge: Vec<Pos2> = plot.tolerance.iter().map(|at| scale.at(*at)).collect();
    if let Some(first) = edge.first().copied() {
        edge.push(first);
        ui.painter().extend(Shape::dashed_line(&edge, Stroke::new(2.0, greys.ink), 6.0, 4.0));
    }
}

fn point_ui(ui: &mut Ui, scale: &Scale, point: &Point, axes: Axes) {
    let greys = theme::of(ui);
    let (at, radius) = (scale.at(point.at), scale.radius(point));
    let width = if point.chosen { 2.0 } else { 1.0 };
    ui.painter().add(egui::epaint::EllipseShape::stroke(at, radius, Stroke::new(width, greys.ink)));
    let square = Rect::from_center_size(at, egui::vec2(14.0, 14.0));
    ui.painter().rect_filled(square, 0, swatch::bytes(point.rgb));
    // A name without room is told under the pointer.
    let response = ui.allocate_rect(square, Sense::hover());
    let [right, up] = point.at;
    let name = match axes {
        Axes::Lightness => format!("{}, L* {up:.1}, C* {right:.1}", point.name),
        Axes::Hue => format!("{}, a* {right:.1}, b* {up:.1}", point.name),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    response.on_hover_text(&name);
}

fn arrow_ui(ui: &Ui, scale: &Scale, from: &Point, to: &Point, chosen: bool) {
    let greys = theme::of(ui);
    let (a, b) = (scale.at(from.at), scale.at(to.at));
    let along = b - a;
    if along.length() < 26.0 {
        return;
    }
    let dir = along.normalized();
    let (start, tip) = (a + dir * 10.0, b - dir * 11.0);
    let (width, head) = if chosen { (3.0, 10.0) } else { (1.5, 8.0) };
    ui.painter().line_segment([start, tip - dir * head * 0.7], Stroke::new(width, greys.ink));
    let side = dir.rot90() * head * 0.45;
    let points = vec![tip, tip - dir * head + side, tip - dir * head - side];
    ui.painter().add(Shape::convex_polygon(points, greys.ink, Stroke::new(0.0, Color32::TRANSPARENT)));
}
