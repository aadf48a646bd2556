//! Each route as a strip of predicted parts butted together.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    RoutesAction,
    view::routes::{RouteView, RoutesView},
};

use super::heads::parts_ui;
use crate::{
    screen::Screen,
    theme,
    widgets::{button, swatch, words},
};

/// Heights of the chosen strip and of the others, and the gap between, points.
const CHOSEN: f32 = 104.0;
const OTHER: f32 = 72.0;
const GAP: f32 = 8.0;

/// Where the columns stand.
struct Columns {
    strip: f32,
    words: f32,
    odds: f32,
    worst: f32,
    end: f32,
}

impl Columns {
    fn of(x: f32, width: f32) -> Self {
        let narrow = width < 700.0;
        let strip = if narrow { 190.0 } else { width * 336.0 / 768.0 };
        let end = x + width;
        let worst = end - if narrow { 116.0 } else { 128.0 };
        Self { strip, words: x + strip + 16.0, odds: worst - if narrow { 92.0 } else { 108.0 }, worst, end }
    }
}

/// Draws the strips; says where they end.
pub(super) fn strips_ui(ui: &mut Ui, at: Pos2, width: f32, view: &RoutesView, screen: &mut Screen<'_>) -> f32 {
    let columns = Columns::of(at.x, width);
    let mut y = at.y + heads_ui(ui, at, &columns, view, screen);
    for (place, route) in view.routes.iter().enumerate() {
        let height = if route.chosen { CHOSEN } else { OTHER };
        route_ui(
            ui,
            Rect::from_min_size(Pos2::new(at.x, y), egui::vec2(width, height)),
            &columns,
            view,
            place,
            route,
            screen,
        );
        y += height + GAP;
    }
    y
}

/// The heads of the columns; says how high they stand.
fn heads_ui(ui: &mut Ui, at: Pos2, columns: &Columns, view: &RoutesView, screen: &mut Screen<'_>) -> f32 {
    let greys = theme::of(ui);
    let height = parts_ui(ui, at, columns.strip, view, screen);
    let y = at.y + height - 16.0;
    let head = if columns.odds - columns.words > 150.0 { "work, and what stays done" } else { "work" };
    let whole = "worst pair, ΔE2000";
    let fits = words::line_width(ui, &[words::plain(whole, 14.0, greys.ink)]) <= columns.end - columns.worst - 4.0;
    let worst = if fits { whole } else { "worst ΔE2000" };
    for (x, text) in [(columns.words, head), (columns.odds, "odds"), (columns.worst, worst)] {
        words::line(ui, Pos2::new(x, y), Align2::LEFT_CENTER, &[words::plain(text, 14.0, greys.ink)]);
    }
    height
}

fn route_ui(
    ui: &mut Ui,
    rect: Rect,
    columns: &Columns,
    view: &RoutesView,
    place: usize,
    route: &RouteView,
    screen: &mut Screen<'_>,
) {
    let greys = theme::of(ui);
    let response = button::hit(ui, rect, &route.name, true, Some(route.chosen));
    let words_area =
        Rect::from_min_max(Pos2::new(rect.min.x + columns.strip, rect.min.y), Pos2::new(columns.end, rect.max.y));
    if route.chosen || response.hovered() {
        ui.painter().rect_filled(words_area, 0, if route.chosen { greys.well } else { greys.frame });
    }
    let mut x = rect.min.x;
    for ((.., share, _), wood) in view.parts.iter().zip(&route.swatches) {
        let right = x + columns.strip * share;
        let part = Rect::from_min_max(Pos2::new(x.round(), rect.min.y), Pos2::new(right.round(), rect.max.y));
        match wood {
            Some(wood) => swatch::swatch_ui(ui, part, wood, screen.memory),
            None => {
                ui.painter().rect_filled(part, 0, greys.bench);
            }
        }
        x = right;
    }
    let (name_size, number_size): (f32, f32) = if route.chosen { (18.0, 24.0) } else { (18.0, 18.0) };
    let y = rect.center().y;
    let room = columns.odds - columns.words - 8.0;
    let at = |dy: f32| Pos2::new(columns.words, y + dy);
    let one_line = words::line_width(ui, &[words::bold(&route.name, name_size, greys.ink)]) <= room;
    // A long name takes two lines, and what stands below it makes room.
    let down = if one_line {
        words::line(ui, at(-20.0), Align2::LEFT_CENTER, &[words::bold(&route.name, name_size, greys.ink)]);
        0.0
    } else {
        let place = Rect::from_min_size(at(-34.0), egui::vec2(room, 34.0));
        words::lines(ui, place, &[words::bold(&route.name, 15.0, greys.ink)]);
        6.0
    };
    words::short(ui, at(2.0 + down), Align2::LEFT_CENTER, room, &[words::plain(&route.work, 14.0, greys.ink)]);
    let stays = if route.stays.1 {
        words::bold(&route.stays.0, 14.0, greys.ink)
    } else {
        words::plain(&route.stays.0, 14.0, greys.ink)
    };
    words::short(ui, at(22.0 + down), Align2::LEFT_CENTER, room, &[stays]);
    words::line(
        ui,
        Pos2::new(columns.odds, y),
        Align2::LEFT_CENTER,
        &[words::bold(&route.odds, number_size.min(20.0), greys.ink)],
    );
    if let Some(worst) = &route.worst {
        let runs = [
            words::bold(&worst.number, number_size, greys.ink),
            words::plain(" ", 14.0, greys.ink),
            words::plain(&worst.range, 14.0, greys.ink),
        ];
        let dy = if route.chosen { -12.0 } else { 0.0 };
        words::line(ui, Pos2::new(columns.worst, y + dy), Align2::LEFT_CENTER, &runs);
        if route.chosen {
            let room = columns.end - columns.worst - 4.0;
            let names = route.worst_names.replace(" – ", " –\n");
            let place = Rect::from_min_size(Pos2::new(columns.worst, y + 6.0), egui::vec2(room, 34.0));
            words::lines(ui, place, &[words::plain(&names, 14.0, greys.ink)]);
        }
    }
    button::focus_ring(ui, rect.shrink(2.0), &response, 0.0);
    if response.clicked() {
        screen.act(RoutesAction::Choose(place));
    }
}
