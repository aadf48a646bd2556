//! The parts strip: crops of wood at their own lightness, on a true L* scale.

use egui::{Align2, Pos2, Rect, Role, Stroke, Ui, WidgetInfo};
use workbench::{
    FrameAction,
    view::strip::{Item, Strip},
    words::shared_names,
};

use crate::{
    screen::Screen,
    theme,
    widgets::{button, swatch, words},
};

/// The height of a crop, points.
const CROP: f32 = 56.0;
/// The lightest and darkest L* of the usual scale.
const USUAL: (f64, f64) = (80.0, 30.0);

/// The scale: L* to y.
struct Scale {
    top: f32,
    height: f32,
    light: f64,
    dark: f64,
}

impl Scale {
    fn of(rect: Rect, strip: &Strip) -> Self {
        let ls = || strip.items.iter().map(|item| item.l).chain(strip.match_l);
        let light = ls().fold(USUAL.0, |most, l| most.max((l / 10.0).ceil() * 10.0));
        let dark = ls().fold(USUAL.1, |least, l| least.min((l / 10.0).floor() * 10.0));
        let lines = strip.unplaced.len() as f32 * 40.0;
        Self {
            top: rect.min.y + 64.0,
            height: (rect.height() - 132.0 - (lines - 40.0).max(0.0)).max(200.0),
            light,
            dark,
        }
    }

    fn y(&self, l: f64) -> f32 {
        self.top + self.height * ((self.light - l) / (self.light - self.dark)) as f32
    }
}

/// Draws the strip.
pub(crate) fn strip_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let strip = screen.bench.strip();
    let scale = Scale::of(rect, &strip);
    let head = [words::bold("Parts ", 16.0, greys.ink), words::plain(&strip.state, 16.0, greys.ink2)];
    words::line(ui, rect.min + egui::vec2(16.0, 28.0), Align2::LEFT_CENTER, &head);
    axis_ui(ui, rect, &scale);
    if let Some(empty) = strip.empty {
        let at = Pos2::new(rect.min.x + 56.0, scale.y(58.6) - 12.0);
        words::block(ui, at, rect.width() - 64.0, 24.0, &[words::plain(empty, 16.0, greys.ink2)]);
    }
    if let Some(l) = strip.match_l {
        let y = scale.y(l);
        ui.painter().hline(rect.min.x + 8.0..=rect.max.x - 8.0, y, Stroke::new(3.0, greys.ink));
        words::line(
            ui,
            Pos2::new(rect.min.x + 8.0, y - 2.0),
            Align2::LEFT_BOTTOM,
            &[words::bold("match", 14.0, greys.ink)],
        );
    }
    let inner = Rect::from_min_max(Pos2::new(rect.min.x + 56.0, rect.min.y), Pos2::new(rect.max.x - 8.0, rect.max.y));
    let rows = rows(&strip.items, &scale);
    let crops: Vec<Vec<Rect>> = rows.iter().map(|row| row_ui(ui, inner, &scale, row, screen)).collect();
    // Words never lie on wood where there is room beside it.
    let mut taken: Vec<Rect> = crops.iter().flatten().copied().collect();
    for (row, crops) in rows.iter().zip(&crops) {
        names_ui(ui, inner, crops, row, &mut taken);
    }
    let mut y = rect.max.y - 4.0 - strip.unplaced.len() as f32 * 40.0;
    y = y.min(rect.max.y - 44.0);
    for line in &strip.unplaced {
        words::block(ui, Pos2::new(inner.min.x, y), inner.width(), 20.0, &[words::plain(line, 14.0, greys.ink2)]);
        y += 40.0;
    }
}

fn axis_ui(ui: &mut Ui, rect: Rect, scale: &Scale) {
    let greys = theme::of(ui);
    let x = rect.min.x + 51.5;
    ui.painter().vline(x, scale.top..=scale.top + scale.height, Stroke::new(1.0, greys.line));
    let tens = (scale.dark / 10.0) as i32..=(scale.light / 10.0) as i32;
    for l in tens.map(|ten| f64::from(ten) * 10.0) {
        let y = scale.y(l).round() + 0.5;
        ui.painter().hline(x - 6.0..=x, y, Stroke::new(1.5, greys.ink));
        let text = format!("{l:.0}");
        words::line(
            ui,
            Pos2::new(rect.min.x + 40.0, y),
            Align2::RIGHT_CENTER,
            &[words::plain(&text, 15.0, greys.ink2)],
        );
    }
    for (l, text) in [(scale.light, "light"), (scale.dark, "dark")] {
        words::line(ui, Pos2::new(x + 5.0, scale.y(l)), Align2::LEFT_CENTER, &[words::plain(text, 16.0, greys.ink)]);
    }
}

/// Parts whose crops would overlap share a row; within it they stand in the piece's own order.
fn rows<'i>(items: &'i [Item], scale: &Scale) -> Vec<Vec<&'i Item>> {
    let mut by_light: Vec<&Item> = items.iter().collect();
    by_light.sort_by(|a, b| b.l.total_cmp(&a.l));
    let mut rows: Vec<Vec<&Item>> = Vec::new();
    for item in by_light {
        match rows.last_mut() {
            Some(row) if row.last().is_some_and(|last| scale.y(item.l) - scale.y(last.l) < CROP * 0.9) => {
                row.push(item)
            }
            _ => rows.push(vec![item]),
        }
    }
    for row in &mut rows {
        row.sort_by_key(|item| items.iter().position(|other| other.part == item.part));
    }
    rows
}

/// Draws the crops of a row; says where they are.
fn row_ui(ui: &mut Ui, inner: Rect, scale: &Scale, row: &[&Item], screen: &mut Screen<'_>) -> Vec<Rect> {
    let width = inner.width() / row.len() as f32;
    let mut crops = Vec::new();
    for (place, item) in row.iter().enumerate() {
        let left = inner.min.x + width * place as f32;
        let y = scale.y(item.l);
        let corner = Pos2::new(left.round(), y - CROP / 2.0);
        let crop = Rect::from_min_max(corner, Pos2::new((left + width).round(), y + CROP / 2.0));
        let response = ui.allocate_rect(crop, egui::Sense::click());
        let name = format!("{}, L* {:.1}", item.name, item.l);
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, item.chosen, &name));
        swatch::swatch_ui(ui, crop, &item.swatch, screen.memory);
        button::focus_ring(ui, crop, &response, 0.0);
        let response = response.on_hover_cursor(egui::CursorIcon::PointingHand).on_hover_text(&name);
        if response.clicked() {
            let add = ui.input(|input| input.modifiers.command || input.modifiers.shift);
            screen.act(FrameAction::Choose { part: item.part, add });
        }
        crops.push(crop);
    }
    crops
}

/// The names of a row, chosen ones inverted: under it, above it, or as a tag on its far corner.
fn names_ui(ui: &mut Ui, inner: Rect, crops: &[Rect], row: &[&Item], taken: &mut Vec<Rect>) {
    let greys = theme::of(ui);
    let (chosen, others): (Vec<&Item>, Vec<&Item>) = row.iter().partition(|item| item.chosen);
    let names = |items: &[&Item]| shared_names(&items.iter().map(|item| item.name.clone()).collect::<Vec<_>>());
    let (chosen, others) = (names(&chosen), names(&others));
    let chosen_run = [words::bold(&chosen, 16.0, greys.on_ink)];
    let others_run = [words::plain(&others, 14.0, greys.ink)];
    let height = |text: &str, width: f32, line: f32, run: &[words::Run<'_>], pad: f32| {
        if text.is_empty() { 0.0 } else { words::block_height(ui, width, line, run) + pad }
    };
    let chosen_height = height(&chosen, inner.width() - 16.0, 22.0, &chosen_run, 6.0);
    let others_height = height(&others, inner.width(), 20.0, &others_run, 4.0);
    let all = chosen_height + others_height;
    let bottom = crops.iter().map(|crop| crop.max.y).fold(f32::NEG_INFINITY, f32::max);
    let top = crops.iter().map(|crop| crop.min.y).fold(f32::INFINITY, f32::min);
    let place = |y: f32| Rect::from_min_size(Pos2::new(inner.min.x, y), egui::vec2(inner.width(), all));
    let free = |rect: &Rect| !taken.iter().any(|other| other.intersects(rect.shrink(1.0)));
    let Some(room) = [bottom, top - all].into_iter().map(place).find(free) else {
        let text = if chosen.is_empty() { &others } else { &chosen };
        let corner = Pos2::new(inner.max.x, bottom);
        taken.push(words::tag(ui, corner, Align2::RIGHT_BOTTOM, text));
        return;
    };
    taken.push(room);
    if !chosen.is_empty() {
        let ground = Rect::from_min_size(room.min, egui::vec2(inner.width(), chosen_height));
        ui.painter().rect_filled(ground, 0, greys.on);
        words::block(ui, room.min + egui::vec2(8.0, 3.0), inner.width() - 16.0, 22.0, &chosen_run);
    }
    if !others.is_empty() {
        words::block(ui, room.min + egui::vec2(0.0, chosen_height + 4.0), inner.width(), 20.0, &others_run);
    }
}
