//! No card found, or corners placed by hand: what was seen, and the ways on.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{PhotosAction, action::Tool, words::capital};

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
pub(super) fn no_card_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
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
    card_ui(ui, column, photo, screen);
    order_ui(ui, column.take(80.0), screen.bench.card_grid());
    column.skip(8.0);
    let place = column.take(48.0);
    if button::button(ui, place, Look::Main, "Use these corners", Some("Enter")).clicked() {
        screen.act(PhotosAction::ReadWithCorners);
    }
    column.skip(8.0);
    let leave = if found { "Leave it as it was" } else { "No card in it" };
    if button::button(ui, column.take(48.0), Look::Well, leave, Some("Esc")).clicked() {
        screen.act(PhotosAction::Tool(Tool::Hand));
    }
    column.skip(16.0);
    column.words(ui, 28.0, &[words::bold("Or take it again", 18.0, greys.ink)]);
    let text = "Turn the card a little away from the lamp until the shine is gone, all of it in the picture.";
    column.words(ui, 22.0, &[words::plain(text, 15.0, greys.ink)]);
    column.skip(8.0);
    if button::button(ui, column.take(48.0), Look::Well, "Look again", None).clicked() {
        screen.act(PhotosAction::LookAgain(photo));
    }
}

/// Which card it is, where that is known.
fn card_ui(ui: &mut Ui, column: &mut Column, photo: workbench::PhotoId, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let cards = screen.bench.cards_offered();
    let named = cards.iter().find(|(.., named)| *named).map_or("any known", |(_, name, _)| name.as_str());
    let row = column.take(40.0);
    let runs = [words::plain("Card ", 16.0, greys.ink2), words::bold(named, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "Which card", &runs, |ui| {
        if menu::row_ui(ui, "any known", "", named == "any known") {
            screen.act(PhotosAction::Card(photo, None));
        }
        for (id, name, named) in &cards {
            if menu::row_ui(ui, name, "", *named) {
                screen.act(PhotosAction::Card(photo, Some(id.clone())));
            }
        }
    });
}

/// The card's patches in small, with the corners' order.
fn order_ui(ui: &mut Ui, rect: Rect, [rows, columns]: [usize; 2]) {
    let greys = theme::of(ui);
    let grid = Rect::from_center_size(rect.center(), egui::vec2(164.0, 76.0));
    let cell = (grid.size() + egui::vec2(4.0, 4.0)) / egui::vec2(columns.max(1) as f32, rows.max(1) as f32);
    for place in 0..rows * columns {
        let at = grid.min + cell * egui::vec2((place % columns) as f32, (place / columns) as f32);
        ui.painter().rect_filled(Rect::from_min_size(at, cell - egui::vec2(4.0, 4.0)), 0, greys.line);
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
