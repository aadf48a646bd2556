//! L* against C*: where each trial went, with its interval, the match sample and the tolerance about it.

use egui::{Align2, Color32, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use workbench::view::plot::{Plot, Point};

use super::plot_names::Names;
use crate::{screen::Screen, theme, widgets::swatch, widgets::words};

/// C* and L* to places.
struct Axes {
    rect: Rect,
    c: [f64; 2],
    l: [f64; 2],
}

impl Axes {
    fn of(rect: Rect, plot: &Plot) -> Self {
        let points =
            || plot.points.iter().map(|p| [p.c, p.l]).chain(plot.matched).chain(plot.tolerance.iter().copied());
        let span = |axis: usize, step: f64, least: f64| {
            let low = points().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
            let high = points().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
            let (low, high) = if low > high { (20.0, 60.0) } else { (low, high) };
            let pad = ((least - (high - low)) / 2.0).max(step * 0.4);
            [((low - pad) / step).floor() * step, ((high + pad) / step).ceil() * step]
        };
        Self { rect, c: span(0, 5.0, 12.0), l: span(1, 10.0, 20.0) }
    }

    fn at(&self, c: f64, l: f64) -> Pos2 {
        let x = (c - self.c[0]) / (self.c[1] - self.c[0]);
        let y = (l - self.l[0]) / (self.l[1] - self.l[0]);
        Pos2::new(self.rect.min.x + self.rect.width() * x as f32, self.rect.max.y - self.rect.height() * y as f32)
    }

    /// Half the width and height of a point: its interval, never less than can be seen.
    fn radius(&self, point: &Point) -> Vec2 {
        let (at, edge) = (self.at(point.c, point.l), self.at(point.c + point.half[0], point.l + point.half[1]));
        egui::vec2((edge.x - at.x).abs().max(9.0), (edge.y - at.y).abs().max(9.0))
    }
}

/// Draws the plot.
pub(super) fn plot_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let plot = screen.bench.plot();
    let head_y = rect.min.y + 10.0;
    words::line(
        ui,
        Pos2::new(rect.min.x, head_y),
        Align2::LEFT_CENTER,
        &[words::bold("Lighter is up, stronger is right", 16.0, greys.ink)],
    );
    let dashed = if plot.tolerance.is_empty() { "" } else { "; dashed: within tolerance" };
    let note = format!("L* by C*, {}{dashed}", plot.judged);
    words::line(ui, Pos2::new(rect.max.x, head_y), Align2::RIGHT_CENTER, &[words::plain(&note, 14.0, greys.ink2)]);
    if plot.points.is_empty() {
        let text = "Trials stand here once they have been read under the clear coat, or spirit-wet.";
        words::block(ui, rect.min + egui::vec2(0.0, 36.0), rect.width(), 22.0, &[words::plain(text, 16.0, greys.ink2)]);
        return;
    }
    let inner = Rect::from_min_max(rect.min + egui::vec2(40.0, 32.0), rect.max - egui::vec2(8.0, 28.0));
    let axes = Axes::of(inner, &plot);
    let described = ui.allocate_rect(inner, Sense::hover());
    described.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plot of {} colours", plot.points.len())));
    axes_ui(ui, &axes);
    tolerance_ui(ui, &axes, &plot);
    for (from, to, chosen) in &plot.arrows {
        arrow_ui(ui, &axes, &plot.points[*from], &plot.points[*to], *chosen);
    }
    let mut names = Names::new(Rect::from_min_max(inner.min - egui::vec2(0.0, 8.0), inner.max + egui::vec2(8.0, -2.0)));
    for (from, to, _) in &plot.arrows {
        let [from, to] = [&plot.points[*from], &plot.points[*to]].map(|point| axes.at(point.c, point.l));
        names.line(from, to);
    }
    let edge = || plot.tolerance.iter().map(|[c, l]| axes.at(*c, *l));
    edge().zip(edge().cycle().skip(1)).for_each(|(from, to)| names.line(from, to));
    for point in &plot.points {
        point_ui(ui, &axes, point);
        names.point(axes.at(point.c, point.l), axes.radius(point));
    }
    if let Some([c, l]) = plot.matched {
        let at = axes.at(c, l);
        ui.painter().hline(at.x - 9.0..=at.x + 9.0, at.y, Stroke::new(3.0, greys.ink));
        ui.painter().vline(at.x, at.y - 9.0..=at.y + 9.0, Stroke::new(3.0, greys.ink));
        names.name_ui(ui, at, egui::vec2(9.0, 9.0), words::bold("match", 14.0, greys.ink));
    }
    let mut by_choice: Vec<&Point> = plot.points.iter().collect();
    by_choice.sort_by_key(|point| !point.chosen);
    for point in by_choice {
        let name = &point.name;
        let run = if point.chosen { words::bold(name, 14.0, greys.ink) } else { words::plain(name, 14.0, greys.ink) };
        names.name_ui(ui, axes.at(point.c, point.l), axes.radius(point), run);
    }
}

fn axes_ui(ui: &mut Ui, axes: &Axes) {
    let greys = theme::of(ui);
    let line = Stroke::new(1.0, greys.line);
    ui.painter().vline(axes.rect.min.x, axes.rect.y_range(), line);
    ui.painter().hline(axes.rect.x_range(), axes.rect.max.y, line);
    let ticks = |span: [f64; 2], step: f64| {
        let count = ((span[1] - span[0]) / step + 1e-6).floor() as i32;
        (0..=count).map(move |i| span[0] + f64::from(i) * step)
    };
    for l in ticks(axes.l, if axes.rect.height() > 120.0 { 10.0 } else { 20.0 }) {
        let at = axes.at(axes.c[0], l);
        ui.painter().hline(at.x - 6.0..=at.x, at.y, Stroke::new(1.5, greys.ink));
        words::line(
            ui,
            at - egui::vec2(12.0, 0.0),
            Align2::RIGHT_CENTER,
            &[words::plain(&format!("{l:.0}"), 14.0, greys.ink2)],
        );
    }
    for c in ticks(axes.c, 5.0) {
        let at = axes.at(c, axes.l[0]);
        ui.painter().vline(at.x, at.y..=at.y + 6.0, Stroke::new(1.5, greys.ink));
        words::line(
            ui,
            at + egui::vec2(0.0, 17.0),
            Align2::CENTER_CENTER,
            &[words::plain(&format!("{c:.0}"), 14.0, greys.ink2)],
        );
    }
}

fn tolerance_ui(ui: &Ui, axes: &Axes, plot: &Plot) {
    let greys = theme::of(ui);
    let mut edge: Vec<Pos2> = plot.tolerance.iter().map(|[c, l]| axes.at(*c, *l)).collect();
    if let Some(first) = edge.first().copied() {
        edge.push(first);
        ui.painter().extend(Shape::dashed_line(&edge, Stroke::new(2.0, greys.ink), 6.0, 4.0));
    }
}

fn point_ui(ui: &mut Ui, axes: &Axes, point: &Point) {
    let greys = theme::of(ui);
    let (at, radius) = (axes.at(point.c, point.l), axes.radius(point));
    let width = if point.chosen { 2.0 } else { 1.0 };
    ui.painter().add(egui::epaint::EllipseShape::stroke(at, radius, Stroke::new(width, greys.ink)));
    let square = Rect::from_center_size(at, egui::vec2(14.0, 14.0));
    ui.painter().rect_filled(square, 0, swatch::bytes(point.rgb));
    // A name without room is told under the pointer.
    let response = ui.allocate_rect(square, Sense::hover());
    let name = format!("{}, L* {:.1}, C* {:.1}", point.name, point.l, point.c);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    response.on_hover_text(&name);
}

fn arrow_ui(ui: &Ui, axes: &Axes, from: &Point, to: &Point, chosen: bool) {
    let greys = theme::of(ui);
    let (a, b) = (axes.at(from.c, from.l), axes.at(to.c, to.l));
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
