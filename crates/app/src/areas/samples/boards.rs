//! Boards: columns are steps; rows are dry, coated, and the match sample butted beneath.

use egui::{Align2, Pos2, Rect, ScrollArea, Ui, style::ScrollAnimation};
use workbench::{
    SamplesAction,
    view::boards::{BoardView, Boards, Column},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{button, swatch, words},
};

/// Widths of a column, points: the widest, and the least that its words can be read in.
const COLUMN: f32 = 128.0;
const LEAST: f32 = 124.0;
/// Heights from the top: heads, dry, coated, match, numbers.
const ROWS: [f32; 4] = [88.0, 160.0, 224.0, 264.0];
const END: f32 = 316.0;
/// Height of the words below a column, points.
const BELOW: f32 = 24.0;

/// The height of the boards; less where there is no match sample to butt beneath and to count from.
pub(super) fn height(view: &Boards) -> f32 {
    let odd = view.boards.iter().flat_map(|board| &board.columns).any(|column| column.odd.is_some());
    8.0 + foot(view) + if odd { BELOW } else { 0.0 }
}

/// Where the rows end.
fn foot(view: &Boards) -> f32 {
    if view.matched.is_some() { END } else { ROWS[2] }
}

/// Draws the boards one beside the other.
pub(super) fn boards_ui(ui: &mut Ui, rect: Rect, view: &Boards, screen: &mut Screen<'_>) {
    let columns: usize = view.boards.iter().map(|board| board.columns.len().max(1)).sum();
    let gaps = 16.0 * view.boards.len().saturating_sub(1) as f32;
    let width = ((rect.width() - gaps) / columns.max(1) as f32).clamp(LEAST, COLUMN);
    let mut child = super::super::child(ui, rect, "boards");
    // A trial that is newly told about is brought into sight with its column.
    let seen = std::mem::replace(&mut screen.memory.trial_in_sight, view.chosen);
    let to_bring = seen != view.chosen;
    ScrollArea::horizontal().auto_shrink(false).show(&mut child, |ui| {
        let mut at = ui.cursor().min;
        let first = at.x;
        for board in &view.boards {
            board_ui(ui, at, width, board, view, screen);
            if let Some(place) = board.columns.iter().position(|column| column.chosen).filter(|_| to_bring) {
                let left = at + egui::vec2(width * place as f32, 0.0);
                let column = Rect::from_min_size(left, egui::vec2(width, rect.height()));
                ui.scroll_to_rect_animation(column, None, ScrollAnimation::none());
            }
            at.x += width * board.columns.len().max(1) as f32 + 16.0;
        }
        if let Some(board) = view.boards.first() {
            tags_ui(ui, Pos2::new(first + 8.0, at.y), board, view);
        }
        ui.expand_to_include_x(at.x);
    });
}

fn board_ui(ui: &mut Ui, at: Pos2, width: f32, board: &BoardView, view: &Boards, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let all = width * board.columns.len().max(1) as f32;
    let runs = [
        words::bold(&board.name, 16.0, greys.ink),
        words::plain(" ", 14.0, greys.ink),
        words::plain(&board.note, 14.0, greys.ink),
    ];
    words::fitted(ui, Rect::from_min_size(at + egui::vec2(8.0, 2.0), egui::vec2(all - 16.0, 36.0)), &runs);
    if board.columns.is_empty() {
        words::block(
            ui,
            at + egui::vec2(8.0, 48.0),
            all - 16.0,
            20.0,
            &[words::plain("nothing tried yet", 14.0, greys.ink2)],
        );
    }
    for (place, column) in board.columns.iter().enumerate() {
        let left = (at.x + width * place as f32).round();
        let right = (at.x + width * (place + 1) as f32).round();
        let area = Rect::from_min_max(Pos2::new(left, at.y + 40.0), Pos2::new(right, at.y + height(view) - 8.0));
        column_ui(ui, area, at.y, column, view, screen);
    }
}

fn column_ui(ui: &mut Ui, area: Rect, top: f32, column: &Column, view: &Boards, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let name = format!("{} {}", column.head[0], column.head[1]);
    let response = button::hit(ui, area, name.trim(), column.trial.is_some(), Some(column.chosen));
    let row =
        |from: f32, to: f32| Rect::from_min_max(Pos2::new(area.min.x, top + from), Pos2::new(area.max.x, top + to));
    let (ink, ink2) = if column.chosen { (greys.on_ink, greys.on_ink) } else { (greys.ink, greys.ink) };
    if column.chosen {
        ui.painter().rect_filled(row(40.0, ROWS[0]), 0, greys.on);
        if view.matched.is_some() {
            ui.painter().rect_filled(row(ROWS[3], END), 0, greys.on);
        }
    }
    let at = |y: f32| Pos2::new(area.min.x + 8.0, top + y);
    let room = area.width() - 12.0;
    let (name, how) = ([words::bold(&column.head[0], 14.0, ink)], [words::plain(&column.head[1], 14.0, ink2)]);
    // A long name takes two lines, and what stands below it makes room.
    let (name_y, how_y) = if words::line_width(ui, &name) <= room { (54.0, 74.0) } else { (54.0, 78.0) };
    words::fitted(ui, Rect::from_center_size(at(name_y) + egui::vec2(room / 2.0, 0.0), egui::vec2(room, 34.0)), &name);
    words::short(ui, at(how_y), Align2::LEFT_CENTER, room, &how);
    let rows = [
        (&column.dry, row(ROWS[0], ROWS[1])),
        (&column.coated, row(ROWS[1], ROWS[2])),
        (&view.matched, row(ROWS[2], ROWS[3])),
    ];
    // Without a match sample nothing is butted beneath.
    for (wood, place) in rows.into_iter().take(if view.matched.is_some() { 3 } else { 2 }) {
        match wood {
            Some(wood) => swatch::swatch_ui(ui, place, wood, screen.memory),
            None => {
                ui.painter().rect_filled(place, 0, greys.frame);
                // Below the tag that names the row.
                let at = place.center() + egui::vec2(0.0, 12.0);
                words::line(ui, at, Align2::CENTER_CENTER, &[words::plain("not read", 14.0, greys.ink2)]);
            }
        }
    }
    if column.odd.is_some() {
        let odd = [words::bold("unlike the others", 14.0, greys.ink)];
        words::line(ui, at(foot(view) + BELOW / 2.0), Align2::LEFT_CENTER, &odd);
    }
    if let Some(de00) = &column.de00 {
        words::line(ui, at(279.0), Align2::LEFT_CENTER, &[words::bold(&de00.number, 20.0, ink)]);
        words::line(ui, at(303.0), Align2::LEFT_CENTER, &[words::plain(&de00.range, 14.0, ink)]);
    }
    button::focus_ring(ui, area, &response, 0.0);
    let clicked = response.clicked();
    if let Some(why) = &column.odd {
        response.on_hover_text(why);
    }
    if let (true, Some(trial)) = (clicked, column.trial) {
        screen.act(SamplesAction::Choose(trial));
    }
}

/// What each row is, on the first board.
fn tags_ui(ui: &mut Ui, at: Pos2, board: &BoardView, view: &Boards) {
    let has = |of: fn(&Column) -> bool| board.columns.iter().any(of);
    if has(|column| column.dry.is_some()) {
        words::tag(ui, at + egui::vec2(0.0, ROWS[0] + 4.0), Align2::LEFT_TOP, "dry");
    }
    if has(|column| column.coated.is_some()) {
        words::tag(ui, at + egui::vec2(0.0, ROWS[1] + 4.0), Align2::LEFT_TOP, view.judged);
    }
    if view.matched.is_some() {
        words::tag(ui, at + egui::vec2(0.0, ROWS[2] + 8.0), Align2::LEFT_TOP, "match sample");
    }
}
