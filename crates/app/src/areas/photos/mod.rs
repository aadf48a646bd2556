//! Photos: is this photo good? Regions are drawn and read here.

mod canvas;
mod corners;
mod evenness;
mod no_card;
mod overlay;
mod panel;
mod part;
mod parts;
mod patches;
mod region;
mod thumbs;
mod tile;
mod tiles;

pub(crate) use panel::panel_ui;

use egui::{Align2, Pos2, Rect, Ui};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        words,
    },
};

/// Height of the thumbnails with their names, points.
const THUMBS: f32 = 104.0;
/// Height of the patch strip with its words, points.
const PATCHES: f32 = 80.0;

/// Draws the area.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    if screen.bench.shown_photo().is_none() {
        return empty_ui(ui, rect, screen);
    }
    let split = |y: f32, rect: Rect| rect.split_top_bottom_at_y(y);
    let (photo, below) = split(rect.max.y - THUMBS - PATCHES, rect);
    let (patches, thumbs) = split(below.min.y + PATCHES, below);
    canvas::canvas_ui(ui, photo, screen);
    if screen.bench.photos().corners.is_some() {
        corners::help_ui(ui, patches);
    } else {
        patches::patches_ui(ui, patches, screen);
    }
    thumbs::thumbs_ui(ui, thumbs, screen);
}

fn empty_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let no_parts = screen.bench.piece().is_none_or(|piece| piece.parts.is_empty());
    let (head, text) = if no_parts {
        (
            "First, name the parts",
            "At the right: what is coloured as one, such as top, sides, drawer. Say which of them meet.\nThen drop photos here, each with the reference card beside the wood.",
        )
    } else {
        (
            "Now the photos",
            "Drop them here, each with the reference card beside the wood, in the same light.\nParts that shall be compared come out surest from one photo.",
        )
    };
    let place = rect.min + egui::vec2(16.0, 24.0);
    let (left, width) = (place + egui::vec2(24.0, 20.0), rect.width() - 80.0);
    let runs = [words::plain(text, 16.0, greys.ink2)];
    let high = words::block_height(ui, width, 24.0, &runs);
    let drop = Rect::from_min_size(place, egui::vec2(rect.width() - 32.0, high + 150.0));
    ui.painter().rect_filled(drop, 0, greys.frame);
    words::line(ui, left + egui::vec2(0.0, 17.0), Align2::LEFT_CENTER, &[words::bold(head, 26.0, greys.ink)]);
    words::block(ui, left + egui::vec2(0.0, 46.0), width, 24.0, &runs);
    let choose = Rect::from_min_size(Pos2::new(left.x, drop.max.y - 68.0), egui::vec2(160.0, 48.0));
    let look = if no_parts { Look::Well } else { Look::Main };
    if button::button(ui, choose, look, "Choose photos", None).clicked() {
        screen.memory.dialogs.photos(ui.ctx());
    }
}
