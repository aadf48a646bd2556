//! What the panel tells of the photo: its quality, the chosen region, what to draw next; or two ways on without a card.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    Action, PhotosAction,
    action::Tool,
    piece::{Edit, edit::ReadingEdit},
    view::photos::STATES,
    words::capital,
};

use super::parts;
use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        menu,
        words::{self, Column},
    },
};

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, bottom: f32, screen: &mut Screen<'_>) {
    if screen.memory.parts || screen.bench.shown_photo().is_none() {
        return parts::panel_ui(ui, column, screen);
    }
    if screen.bench.photos().corners.is_some() {
        return no_card_ui(ui, column, screen);
    }
    quality_ui(ui, column, screen);
    region_ui(ui, column, screen);
    draw_buttons_ui(ui, column, bottom, screen);
}

fn quality_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let quality = screen.bench.quality();
    column.words(ui, 32.0, &[words::bold(&quality.verdict, 24.0, greys.ink)]);
    if let Some(error) = &quality.error {
        let row = column.take(84.0);
        let number = words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold(error, 56.0, greys.ink)]);
        let text = format!("ΔE2000 in error,\neach patch left out\n{}", quality.worst);
        let at = Pos2::new(number.max.x + 12.0, row.min.y + 4.0);
        words::block(ui, at, row.max.x - at.x, 20.0, &[words::plain(&text, 14.0, greys.ink)]);
    }
    column.skip(12.0);
    for line in &quality.lines {
        column.words(ui, 22.0, &[words::plain(line, 16.0, greys.ink)]);
        column.skip(4.0);
    }
    column.skip(12.0);
}

fn region_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(told) = screen.bench.told() else {
        let count = screen.bench.regions().len();
        let text = match count {
            0 => {
                "Draw a region on each part, away from knots and edges. Three to a part tell how even it is.".to_owned()
            }
            1 => "One region. Click it to see its colour.".to_owned(),
            n => format!("{n} regions. Click one to see its colour."),
        };
        column.words(ui, 22.0, &[words::plain(&text, 16.0, greys.ink2)]);
        return;
    };
    column.words(ui, 28.0, &[words::bold(&told.name, 18.0, greys.ink)]);
    for (what, text) in &told.lines {
        let row = column.take(26.0);
        words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::plain(what, 14.0, greys.ink2)]);
        let at = Pos2::new(row.min.x + 88.0, row.center().y);
        words::short(ui, at, Align2::LEFT_CENTER, row.width() - 88.0, &[words::plain(text, 15.0, greys.ink)]);
    }
    let row = column.take(40.0);
    let remove = button::link(
        ui,
        row.left_center(),
        Align2::LEFT_CENTER,
        "Remove this region",
        &[words::plain("Remove this region", 15.0, greys.ink)],
        true,
    );
    if remove.clicked()
        && let Some(id) = screen.bench.photos().region
    {
        screen.act(PhotosAction::ChooseRegion(None));
        screen.act(Action::Edit(Box::new(Edit::Reading(ReadingEdit::Remove(id)))));
    }
}

/// For which part and state the next region is read, and the tools.
fn draw_buttons_ui(ui: &mut Ui, column: &mut Column, bottom: f32, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    column.y = (column.y + 12.0).max(bottom - 192.0);
    let (on, state) = screen.bench.next_region();
    let row = column.take(32.0);
    let runs = [words::plain("Read ", 16.0, greys.ink2), words::bold(&on, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "Read which part", &runs, |ui| {
        for (surface, name) in screen.bench.surfaces() {
            if menu::row_ui(ui, &name, "", name == on) {
                screen.act(PhotosAction::For(surface));
            }
        }
    });
    let row = column.take(40.0);
    let runs = [words::plain("State ", 16.0, greys.ink2), words::bold(state, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "State of the next region", &runs, |ui| {
        for kind in STATES {
            if menu::row_ui(ui, kind, "", kind == state) {
                let state = screen.bench.state_named(kind);
                screen.act(PhotosAction::NextState(state));
            }
        }
    });
    column.skip(8.0);
    let row = column.take(48.0);
    let half = (row.width() - 8.0) / 2.0;
    let left = Rect::from_min_size(row.min, egui::vec2(half, row.height()));
    let tools = [
        (left, "Rectangle", "R", Tool::Rectangle),
        (left.translate(egui::vec2(half + 8.0, 0.0)), "Polygon", "P", Tool::Polygon),
    ];
    for (place, name, key, tool) in tools {
        let look = if screen.bench.photos().tool == tool { Look::Main } else { Look::Well };
        if button::button(ui, place, look, name, Some(key)).clicked() {
            screen.act(PhotosAction::Tool(tool));
        }
    }
    column.skip(8.0);
    let place = column.take(48.0);
    if button::button(ui, place, Look::Well, "Place the card’s corners", Some("C")).clicked()
        && let Some(photo) = screen.bench.shown_photo()
    {
        screen.act(PhotosAction::PlaceCorners(photo));
    }
}

/// No card found, or corners placed by hand: what was seen, and two ways on.
fn no_card_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(photo) = screen.bench.shown_photo() else { return };
    let quality = screen.bench.quality();
    let found = quality.verdict != "No card found";
    let head = if found { "Place the corners" } else { "No card found" };
    column.words(ui, 32.0, &[words::bold(head, 24.0, greys.ink)]);
    if !found {
        let why = quality.lines.first().map(|line| capital(line)).unwrap_or_default();
        column.words(ui, 24.0, &[words::plain(&format!("{why}\nTwo ways on:"), 16.0, greys.ink)]);
    }
    column.skip(12.0);
    column.words(ui, 28.0, &[words::bold("Show where it is", 18.0, greys.ink)]);
    let text = "Drag the four corners onto the outer corners of the patches, not of the card.";
    column.words(ui, 24.0, &[words::plain(text, 16.0, greys.ink)]);
    let text = "1 is the first patch. Go along its row to 2, then round to 3 and 4.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(8.0);
    order_ui(ui, column.take(80.0));
    column.skip(8.0);
    let place = column.take(48.0);
    if button::button(ui, place, Look::Main, "Read with these corners", Some("Enter")).clicked() {
        screen.act(PhotosAction::ReadWithCorners);
    }
    column.skip(16.0);
    column.words(ui, 28.0, &[words::bold("Or take it again", 18.0, greys.ink)]);
    let text = "Turn the card a little away from the lamp until the shine is gone, all of it in the picture.";
    column.words(ui, 22.0, &[words::plain(text, 15.0, greys.ink)]);
    column.skip(8.0);
    for (label, action) in
        [("Look again", PhotosAction::LookAgain(photo)), ("There is no card in it", PhotosAction::NoCard(photo))]
    {
        let place = column.take(48.0);
        if button::button(ui, place, Look::Well, label, None).clicked() {
            screen.act(action);
        }
        column.skip(8.0);
    }
}

/// A small grid with the corners' order.
fn order_ui(ui: &mut Ui, rect: Rect) {
    let greys = theme::of(ui);
    let grid = Rect::from_center_size(rect.center(), egui::vec2(164.0, 76.0));
    for row in 0..4 {
        for column in 0..6 {
            let at = grid.min + egui::vec2(column as f32 * 28.0, row as f32 * 20.0);
            ui.painter().rect_filled(Rect::from_min_size(at, egui::vec2(24.0, 16.0)), 0, greys.line);
        }
    }
    let (left, right) = (grid.min.x - 20.0, grid.max.x + 20.0);
    let corners = [
        ("1", left, grid.min.y + 8.0),
        ("2", right, grid.min.y + 8.0),
        ("3", right, grid.max.y - 8.0),
        ("4", left, grid.max.y - 8.0),
    ];
    for (text, x, y) in corners {
        words::line(ui, Pos2::new(x, y), Align2::CENTER_CENTER, &[words::bold(text, 16.0, greys.ink)]);
    }
}
