//! The ranking for one part: predicted beside the match, which is one unbroken column.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    RoutesAction,
    view::ranking::{RankingView, RowView},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{button, swatch, words},
};

/// Least height of a row, height of each line of what is too long for one, and width of each swatch, points.
const ROW: f32 = 36.0;
const LINE: f32 = 16.0;
const SWATCH: f32 = 56.0;
/// Widest words of a cell, points.
const CELL: f32 = 68.0;

/// Draws the ranking; says where it ends.
pub(super) fn ranking_ui(ui: &mut Ui, at: Pos2, width: f32, screen: &mut Screen<'_>) -> f32 {
    let greys = theme::of(ui);
    let view = screen.bench.ranking_view();
    if view.head.is_empty() {
        return at.y;
    }
    let narrow = width < 700.0;
    // Columns from the right: evidence, way back, work, odds, ΔE.
    let offsets: &[f32] = if narrow { &[80.0, 196.0] } else { &[72.0, 144.0, 216.0, 292.0, 412.0] };
    let x = |n: usize| at.x + width - offsets.get(n).copied().unwrap_or(0.0);
    heads_ui(ui, at, &view, narrow, &x);
    let top = at.y + 44.0;
    if view.rows.is_empty() {
        let text = if view.updating { "Ranking …".into() } else { view.empty.clone().unwrap_or_default() };
        let place = Pos2::new(at.x + 16.0, top);
        return words::block(ui, place, width - 32.0, 24.0, &[words::plain(&text, 16.0, greys.ink)]).max.y;
    }
    let mut end = top;
    for row in view.shown() {
        let rect =
            Rect::from_min_size(Pos2::new(at.x, end), egui::vec2(width, row_height(ui, row, room(at, narrow, &x))));
        row_ui(ui, rect, row, narrow, &x, screen);
        end = rect.max.y;
    }
    if let Some(matched) = &view.matched {
        let column = Rect::from_min_max(Pos2::new(at.x + SWATCH, top), Pos2::new(at.x + 2.0 * SWATCH, end));
        swatch::flat_ui(ui, column, matched.flat);
    }
    notes_ui(ui, Pos2::new(at.x + 2.0 * SWATCH + 16.0, end), width, &view)
}

fn heads_ui(ui: &mut Ui, at: Pos2, view: &RankingView, narrow: bool, x: &dyn Fn(usize) -> f32) {
    let greys = theme::of(ui);
    let y = at.y + 26.0;
    let mut head = |x: f32, text: &str, anchor: Align2| {
        words::line(ui, Pos2::new(x, y), anchor, &[words::plain(text, 14.0, greys.ink)]);
    };
    head(at.x + SWATCH / 2.0, "gives", Align2::CENTER_CENTER);
    head(at.x + SWATCH * 1.5, "match", Align2::CENTER_CENTER);
    let columns: &[&str] =
        if narrow { &["odds", "ΔE2000"] } else { &["evidence", "way back", "work", "odds", "ΔE2000"] };
    for (n, text) in columns.iter().enumerate() {
        head(x(n), text, Align2::LEFT_CENTER);
    }
    let left = Pos2::new(at.x + 2.0 * SWATCH + 16.0, y);
    let text = if view.updating { format!("{} (updating)", view.head) } else { view.head.clone() };
    words::short(
        ui,
        left,
        Align2::LEFT_CENTER,
        x(columns.len() - 1) - left.x - 8.0,
        &[words::bold(&text, 18.0, greys.ink)],
    );
}

/// The width that the words of a row have.
fn room(at: Pos2, narrow: bool, x: &dyn Fn(usize) -> f32) -> f32 {
    x(if narrow { 1 } else { 4 }) - (at.x + 2.0 * SWATCH + 16.0) - 8.0
}

/// The height of a row: its words are never cut, for schedules often differ in their last step.
fn row_height(ui: &Ui, row: &RowView, room: f32) -> f32 {
    ROW.max(words::block_height(ui, room, LINE, &[words::bold(&row.words, 14.0, theme::of(ui).ink)]) + 4.0)
}

fn row_ui(ui: &mut Ui, rect: Rect, row: &RowView, narrow: bool, x: &dyn Fn(usize) -> f32, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let name = format!("{}, ΔE2000 {}, {}", row.words, row.de00.number, row.odds);
    let response = button::hit(ui, rect, &name, true, Some(row.chosen));
    let predicted = Rect::from_min_size(rect.min, egui::vec2(SWATCH, rect.height()));
    swatch::flat_ui(ui, predicted, row.swatch.flat);
    let area = Rect::from_min_max(Pos2::new(rect.min.x + 2.0 * SWATCH, rect.min.y), rect.max);
    if row.chosen || response.hovered() {
        ui.painter().rect_filled(area, 0, if row.chosen { greys.well } else { greys.frame });
    }
    let y = rect.center().y;
    let left = Pos2::new(area.min.x + 16.0, y);
    let first = if narrow { 1 } else { 4 };
    let name = |size: f32| {
        if row.chosen { words::bold(&row.words, size, greys.ink) } else { words::plain(&row.words, size, greys.ink) }
    };
    let room = room(rect.min, narrow, x);
    // What is too long for one line stands in several.
    if words::line_width(ui, &[name(15.0)]) <= room {
        words::line(ui, left, Align2::LEFT_CENTER, &[name(15.0)]);
    } else {
        let high = words::block_height(ui, room, LINE, &[name(14.0)]);
        words::block(ui, left - egui::vec2(0.0, high / 2.0), room, LINE, &[name(14.0)]);
    }
    let de00 = [
        words::bold(&row.de00.number, 18.0, greys.ink),
        words::plain(" ", 14.0, greys.ink),
        words::plain(&row.de00.range, 14.0, greys.ink),
    ];
    words::line(ui, Pos2::new(x(first), y), Align2::LEFT_CENTER, &de00);
    let cells: &[&str] = if narrow { &[&row.odds] } else { &[&row.evidence, row.way_back, &row.work, &row.odds] };
    for (n, text) in cells.iter().enumerate() {
        if words::line_width(ui, &[words::plain(text, 15.0, greys.ink)]) <= CELL {
            words::line(ui, Pos2::new(x(n), y), Align2::LEFT_CENTER, &[words::plain(text, 15.0, greys.ink)]);
        } else {
            let place = Rect::from_min_size(Pos2::new(x(n), rect.min.y), egui::vec2(CELL, rect.height()));
            words::lines(ui, place, &[words::plain(text, 14.0, greys.ink)]);
        }
    }
    button::focus_ring(ui, rect.shrink(2.0), &response, 0.0);
    if response.clicked() {
        screen.act(RoutesAction::ChooseRow(row.id.clone()));
    }
}

/// How many more there are, and what the rows stand in order of; what is barred, with its reason, and what was not tried.
fn notes_ui(ui: &mut Ui, at: Pos2, width: f32, view: &RankingView) -> f32 {
    let greys = theme::of(ui);
    let mut y = at.y + 8.0;
    for line in view.more().iter().chain(&view.order) {
        let runs = [words::plain(line, 14.0, greys.ink2)];
        y = words::block(ui, Pos2::new(at.x, y), width - 144.0, 20.0, &runs).max.y + 2.0;
    }
    for (what, why) in &view.notes {
        let runs = [
            words::bold(what, 14.0, greys.ink),
            words::plain(": ", 14.0, greys.ink),
            words::plain(why, 14.0, greys.ink),
        ];
        y = words::block(ui, Pos2::new(at.x, y), width - 144.0, 20.0, &runs).max.y + 2.0;
    }
    y
}
