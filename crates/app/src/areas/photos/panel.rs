//! What the panel tells of the photo: its quality, the chosen region, what to draw next.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    Action, PhotosAction,
    action::{ReadOn, Tool},
    piece::{Edit, edit::PhotoEdit},
    view::photos::STATES,
};

use super::{no_card::no_card_ui, parts, region::region_ui, tile::tile_ui};
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
    light_ui(ui, column, screen);
    match screen.bench.next_on() {
        Some(ReadOn::Tile) => tile_ui(ui, column, screen),
        _ => region_ui(ui, column, screen),
    }
    draw_buttons_ui(ui, column, bottom, screen);
    taken_in_ui(ui, column, screen);
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
}

/// What evens the light over the frame; a piece with one photo has none that could.
fn light_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let boards = screen.bench.boards_offered();
    let Some(shown) = screen.bench.shown_photo().filter(|_| !boards.is_empty()) else { return };
    let now = boards.iter().find(|(.., chosen)| *chosen).map(|(_, name, _)| name.as_str());
    let (before, what) = now.map_or(("Light ", "as it falls"), |name| ("Light evened by ", name));
    let row = column.take(36.0);
    let runs = [words::plain(before, 16.0, greys.ink2), words::bold(what, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "Even the light", &runs, |ui| {
        if menu::row_ui(ui, "as it falls", "", now.is_none()) {
            screen.act(PhotosAction::EvenLight(shown, None));
        }
        for (photo, name, chosen) in &boards {
            if menu::row_ui(ui, &format!("by {name}"), "of a plain board", *chosen) {
                screen.act(PhotosAction::EvenLight(shown, Some(*photo)));
            }
        }
    });
    column.skip(8.0);
}

/// The light that the photo was taken in, and taking the photo out of the piece.
fn taken_in_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(photo) = screen.bench.shown_photo() else { return };
    let lights = screen.bench.photo_lights();
    let now = lights.iter().find(|(_, chosen)| *chosen).map_or("light not noted", |(name, _)| name.as_str());
    column.skip(8.0);
    let row = column.take(36.0);
    let runs = [words::plain("Taken in ", 16.0, greys.ink2), words::bold(now, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "Light the photo was taken in", &runs, |ui| {
        for (light, chosen) in &lights {
            if menu::row_ui(ui, light, "", *chosen) {
                screen.act(PhotosAction::Light(photo, light.clone()));
            }
        }
    });
    let label = "Remove photo";
    let used = words::line_width(ui, &runs) + 20.0 + words::line_width(ui, &[words::plain(label, 15.0, greys.ink)]);
    let place = if used + 16.0 <= column.width {
        (row.right_center(), Align2::RIGHT_CENTER)
    } else {
        (column.take(36.0).left_center(), Align2::LEFT_CENTER)
    };
    let link = button::link(ui, place.0, place.1, label, &[words::plain(label, 15.0, greys.ink)], true);
    if link.clicked() {
        screen.act(Action::Edit(Box::new(Edit::Photo(PhotoEdit::Remove(photo)))));
    }
}

/// For which part and state the next region is read, and the tools.
fn draw_buttons_ui(ui: &mut Ui, column: &mut Column, bottom: f32, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    column.y = (column.y + 12.0).max(bottom - 236.0);
    let (on, state) = screen.bench.next_region();
    let row = column.take(32.0);
    let runs = [words::plain("Read ", 16.0, greys.ink2), words::bold(&on, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "Read which part", &runs, |ui| {
        for (place, name) in screen.bench.surfaces() {
            if menu::row_ui(ui, &name, "", name == on) {
                screen.act(PhotosAction::For(place));
            }
        }
        if menu::row_ui(ui, "another part …", "", false) {
            screen.memory.name_parts();
        }
    });
    if let Some(state) = state {
        state_ui(ui, column, state, screen);
    }
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

fn state_ui(ui: &mut Ui, column: &mut Column, state: &str, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
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
}
