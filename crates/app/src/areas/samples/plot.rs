//! L* against C*: where each trial went, with its interval, the match sample and the tolerance about it.

use egui::{Align2, Color32, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo};
use workbench::view::plot::{Plot, Point};

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
    let note = format!("L* by C*, {}; dashed: within tolerance", plot.judged);
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
    let mut taken: Vec<Rect> = Vec::new();
    for point in &plot.points {
        point_ui(ui, &axes, point);
        taken.push(Rect::from_center_size(axes.at(point.c, point.l), egui::vec2(18.0, 18.0)));
    }
    if let Some([c, l]) = plot.matched {
        let at = axes.at(c, l);
        ui.painter().hline(at.x - 9.0..=at.x + 9.0, at.y, Stroke::new(3.0, greys.ink));
        ui.painter().vline(at.x, at.y - 9.0..=at.y + 9.0, Stroke::new(3.0, greys.ink));
        name_ui(ui, at, "match", true, inner, &mut taken);
    }
    let mut by_choice: Vec<&Point> = plot.points.iter().collect();
    by_choice.sort_by_key(|point| !point.chosen);
    for point in by_choice {
        name_ui(ui, axes.at(point.c, point.l), &point.name, point.chosen, inner, &mut taken);
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

fn point_ui(ui: &Ui, axes: &Axes, point: &Point) {
    let greys = theme::of(ui);
    let at = axes.at(point.c, point.l);
    let edge = axes.at(point.c + point.half[0], point.l + point.half[1]);
    let radius = egui::vec2((edge.x - at.x).abs().max(9.0), (edge.y - at.y).abs().max(9.0));
    let width = if point.chosen { 2.0 } else { 1.0 };
    ui.painter().add(egui::epaint::EllipseShape::stroke(at, radius, Stroke::new(width, greys.ink)));
    ui.painter().rect_filled(Rect::from_center_size(at, egui::vec2(14.0, 14.0)), 0, swatch::bytes(point.rgb));
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

/// A name beside its point, where there is room for it.
fn name_ui(ui: &mut Ui, at: Pos2, name: &str, chosen: bool, within: Rect, taken: &mut Vec<Rect>) {
    let greys = theme::of(ui);
    let run = if chosen { words::bold(name, 14.0, greys.ink) } else { words::plain(name, 14.0, greys.ink) };
    let width = words::line_width(ui, std::slice::from_ref(&run));
    let places = [
        (14.0, 0.0, Align2::LEFT_CENTER),
        (-14.0, 0.0, Align2::RIGHT_CENTER),
        (0.0, -12.0, Align2::CENTER_BOTTOM),
        (0.0, 12.0, Align2::CENTER_TOP),
        (12.0, 12.0, Align2::LEFT_TOP),
        (12.0, -12.0, Align2::LEFT_BOTTOM),
    ];
    let place = places.into_iter().map(|(x, y, anchor)| (at + egui::vec2(x, y), anchor)).find(|(at, anchor)| {
        let rect = anchor.anchor_size(*at, egui::vec2(width, 18.0));
        within.expand(8.0).contains_rect(rect) && !taken.iter().any(|other| other.intersects(rect))
    });
    if let Some((at, anchor)) = place {
        taken.push(words::line(ui, at, anchor, &[run]));
    }
}
