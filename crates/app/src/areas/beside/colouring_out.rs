//! Colouring out: which sticks to mix for a spot.

use egui::{Align2, Key, Pos2, Rect, Ui};
use workbench::{
    ColouringOutAction,
    view::colouring_out::{ColouringOutView, MixView},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button, caution, field, menu, swatch,
        words::{self, Column},
    },
};

/// The accessible name of the field.
const ADD: &str = "Add a stick";

/// Draws the panel.
pub(super) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.colouring_out_view();
    spot_ui(ui, column, &view, screen);
    if let Some(text) = &view.empty {
        column.words(ui, 22.0, &[words::plain(text, 16.0, greys.ink)]);
        column.skip(8.0);
    }
    if view.updating {
        column.words(ui, 22.0, &[words::plain("Mixing …", 16.0, greys.ink2)]);
    }
    for mix in &view.mixes {
        mix_ui(ui, column, mix, &view, screen);
    }
    if !view.mixes.is_empty() {
        let text = "Whole parts, twelve in all at most; more than three sticks turn muddy. Try it on a scrap first.";
        column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    }
    column.skip(12.0);
    sticks_ui(ui, column, &view, screen);
    column.skip(12.0);
    caution::cautions_ui(ui, column, f32::INFINITY, &view.cautions);
}

/// What is matched: chosen from the readings.
fn spot_ui(ui: &mut Ui, column: &mut Column, view: &ColouringOutView, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    if view.offered.is_empty() {
        return;
    }
    column.words(ui, 20.0, &[words::plain("The spot shall look like", 14.0, greys.ink2)]);
    let row = column.take(36.0);
    let fits = |text: &str| words::line_width(ui, &[words::bold(text, 16.0, greys.ink)]) + 24.0 <= row.width();
    let mut shown = view.spot.clone();
    while !fits(&shown) && shown.pop().is_some() {}
    if shown != view.spot {
        shown.push('…');
    }
    let runs = [words::bold(&shown, 16.0, greys.ink)];
    menu::menu_ui(ui, row.left_center(), Align2::LEFT_CENTER, "The spot", &runs, |ui| {
        for (reading, name, chosen) in &view.offered {
            if menu::row_ui(ui, name, "", *chosen) {
                screen.act(ColouringOutAction::Spot(*reading));
            }
        }
    });
    column.skip(4.0);
}

/// The mix butted on the spot's own wood, and what it is made of.
fn mix_ui(ui: &mut Ui, column: &mut Column, mix: &MixView, view: &ColouringOutView, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let row = column.take(48.0);
    let (left, right) = row.split_left_right_at_fraction(0.5);
    if let Some(spot) = &view.swatch {
        swatch::swatch_ui(ui, left, spot, screen.memory);
    }
    swatch::flat_ui(ui, right, mix.colour);
    column.skip(4.0);
    column.words(ui, 22.0, &[words::bold(&format!("{}.", mix.words), 16.0, greys.ink)]);
    let range = format!(" ΔE2000 ({})", mix.de00.range);
    let runs = [words::bold(&mix.de00.number, 16.0, greys.ink), words::plain(&range, 14.0, greys.ink)];
    column.words(ui, 22.0, &runs);
    column.words(ui, 20.0, &[words::plain(mix.seen, 14.0, greys.ink)]);
    column.skip(12.0);
}

fn sticks_ui(ui: &mut Ui, column: &mut Column, view: &ColouringOutView, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    column.words(ui, 28.0, &[words::bold("Sticks at hand", 18.0, greys.ink)]);
    let place = column.take(48.0);
    let mut typed = std::mem::take(&mut screen.memory.stick);
    let response = field::field_ui(ui, place, ADD, "amber 56/24/45", theme::regular(16.0), &mut typed);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if entered && !typed.trim().is_empty() {
        // What is no stick stays to be mended.
        let understood = workbench::task::stick_typed(&typed).is_ok();
        screen.act(ColouringOutAction::AddStick(typed.clone()));
        if understood {
            typed.clear();
        }
        response.request_focus();
    }
    screen.memory.stick = typed;
    column.skip(4.0);
    let text = "Its name and its colour laid thick, L*/a*/b*. Enter adds.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(4.0);
    for (name, colour) in &view.sticks {
        let row = column.take(36.0);
        let square = Rect::from_min_size(row.min, egui::vec2(48.0, row.height()));
        swatch::flat_ui(ui, square, *colour);
        let at = Pos2::new(square.max.x + 12.0, row.center().y);
        words::short(ui, at, Align2::LEFT_CENTER, row.width() - 92.0, &[words::plain(name, 16.0, greys.ink)]);
        let cross = [words::plain("×", 18.0, greys.ink)];
        let label = format!("Remove {name}");
        let at = row.right_center() - egui::vec2(4.0, 0.0);
        if button::link(ui, at, Align2::RIGHT_CENTER, &label, &cross, true).clicked() {
            screen.act(ColouringOutAction::RemoveStick(name.clone()));
        }
    }
}
