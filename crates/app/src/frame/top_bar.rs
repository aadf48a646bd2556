//! The top bar: piece, light, tolerance; undo and redo with their names; the job that runs.

use egui::{Align2, Rect, Ui};
use workbench::{
    Action, Beside, FrameAction, StartAction, Theme,
    piece::{
        Edit, MatchSample, Tolerances,
        edit::{PieceEdit, TargetEdit},
    },
    words::number,
};

use super::history::{history_ui, job_ui};
use crate::{
    screen::Screen,
    theme,
    widgets::{button, menu, words},
};

/// One of the tolerances, to be changed in place.
type ToleranceOf = fn(&mut Tolerances) -> &mut f64;

/// Draws the top bar.
pub(crate) fn top_bar_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    if screen.bench.piece().is_none() {
        return empty_bar_ui(ui, rect, screen);
    }
    let left = rect.left_center() + egui::vec2(16.0, 0.0);
    let mut x = piece_menu_ui(ui, left, screen).max.x + 32.0;
    x = x.max(rect.min.x + 224.0);
    let at = |x: f32| egui::pos2(x, left.y);
    x = light_menu_ui(ui, at(x), screen).max.x + 32.0;
    x = tolerance_menu_ui(ui, at(x), screen).max.x + 24.0;
    let mut right = rect.right_center() - egui::vec2(16.0, 0.0);
    right.x = job_ui(ui, rect, screen);
    history_ui(ui, right, x, screen);
}

fn empty_bar_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    words::line(
        ui,
        rect.left_center() + egui::vec2(16.0, 0.0),
        Align2::LEFT_CENTER,
        &[words::bold("Tonewright", 20.0, greys.ink)],
    );
    let right = rect.right_center() - egui::vec2(16.0, 0.0);
    let name = screen.bench.theme().name();
    let runs = [words::plain("Theme  ", 16.0, greys.ink), words::bold(name, 16.0, greys.ink)];
    menu::menu_ui(ui, right, Align2::RIGHT_CENTER, "Theme", &runs, |ui| themes_ui(ui, screen));
}

fn themes_ui(ui: &mut Ui, screen: &mut Screen<'_>) {
    for theme in Theme::ALL {
        if menu::row_ui(ui, theme.name(), "theme", theme == screen.bench.theme()) {
            screen.act(FrameAction::Theme(theme));
        }
    }
}

fn piece_menu_ui(ui: &mut Ui, at: egui::Pos2, screen: &mut Screen<'_>) -> Rect {
    let greys = theme::of(ui);
    if let Some(mut name) = screen.memory.rename.take() {
        let field = Rect::from_min_size(at - egui::vec2(16.0, 18.0), egui::vec2(240.0, 36.0));
        let response =
            crate::widgets::field::field_ui(ui, field, "Name of the piece", "", theme::semibold(18.0), &mut name);
        if response.lost_focus() {
            let enter = ui.input(|input| input.key_pressed(egui::Key::Enter));
            if enter && !name.trim().is_empty() {
                screen.act(Action::Edit(Box::new(Edit::Piece(PieceEdit::Rename(name)))));
            }
        } else {
            response.request_focus();
            screen.memory.rename = Some(name);
        }
        return field;
    }
    let name = screen.bench.piece().map(|piece| piece.name.clone()).unwrap_or_default();
    let shown: String =
        if name.chars().count() > 24 { name.chars().take(23).chain(['…']).collect() } else { name.clone() };
    let runs = [words::bold(&shown, 20.0, greys.ink)];
    menu::menu_ui(ui, at, Align2::LEFT_CENTER, &format!("Piece: {name}"), &runs, |ui| {
        if menu::row_ui(ui, "Parts and how they meet", "", false) {
            screen.memory.parts = true;
            screen.act(FrameAction::Go(workbench::Area::Photos));
        }
        if menu::row_ui(ui, "Shop book", "", false) {
            screen.act(FrameAction::Beside(Some(Beside::ShopBook)));
        }
        if menu::row_ui(ui, "Colouring out", "", false) {
            screen.act(FrameAction::Beside(Some(Beside::ColouringOut)));
        }
        if menu::row_ui(ui, "Add photos", "", false) {
            screen.memory.dialogs.photos(ui.ctx());
        }
        if menu::row_ui(ui, "Rename", "", false) {
            screen.memory.rename = Some(name.clone());
        }
        if menu::row_ui(ui, "Save", "Ctrl S", false) {
            screen.act(StartAction::Save);
        }
        if menu::row_ui(ui, "Open another", "Ctrl O", false) {
            let folder = screen.bench.data_folder().to_path_buf();
            screen.memory.dialogs.piece(ui.ctx(), folder);
        }
        if menu::row_ui(ui, "Close, back to the start", "", false) {
            screen.act(StartAction::Close);
        }
        ui.separator();
        themes_ui(ui, screen);
    })
    .rect
}

fn light_menu_ui(ui: &mut Ui, at: egui::Pos2, screen: &mut Screen<'_>) -> Rect {
    let greys = theme::of(ui);
    let name = screen.bench.light().unwrap_or("all").to_owned();
    let runs = [words::plain("Light ", 16.0, greys.ink2), words::plain(&name, 16.0, greys.ink)];
    menu::menu_ui(ui, at, Align2::LEFT_CENTER, "Light", &runs, |ui| {
        if menu::row_ui(ui, "all", "", screen.bench.light().is_none()) {
            screen.act(FrameAction::Light(None));
        }
        for light in screen.bench.lights() {
            if menu::row_ui(ui, &light, "", screen.bench.light() == Some(&light)) {
                screen.act(FrameAction::Light(Some(light)));
            }
        }
    })
    .rect
}

fn tolerance_menu_ui(ui: &mut Ui, at: egui::Pos2, screen: &mut Screen<'_>) -> Rect {
    let greys = theme::of(ui);
    let Some(tolerances) = screen.bench.piece().map(|piece| piece.tolerances.clone()) else { return Rect::NOTHING };
    let words_of = screen.bench.tolerance_line();
    let runs = [words::plain("Tolerance ", 16.0, greys.ink2), words::plain(&words_of, 16.0, greys.ink)];
    menu::menu_ui(ui, at, Align2::LEFT_CENTER, "Tolerance", &runs, |ui| {
        let to_match: (&str, ToleranceOf) = ("to the match sample", |t| &mut t.match_sample_de00);
        let between: [(&str, ToleranceOf); 3] = [
            ("touching in one plane", |t| &mut t.same_plane_de00),
            ("doors and fronts", |t| &mut t.fronts_de00),
            ("other planes", |t| &mut t.other_planes_de00),
        ];
        // Where all are to be alike, there is nothing to match but each other.
        let has_sample = screen.bench.piece().is_some_and(|piece| piece.match_sample != MatchSample::AllAlike);
        for (name, of) in has_sample.then_some(to_match).into_iter().chain(between) {
            tolerance_row_ui(ui, name, &tolerances, of, screen);
        }
        words_below_ui(ui);
    })
    .rect
}

fn tolerance_row_ui(
    ui: &mut Ui,
    name: &str,
    tolerances: &Tolerances,
    of: fn(&mut Tolerances) -> &mut f64,
    screen: &mut Screen<'_>,
) {
    let greys = theme::of(ui);
    let (_, rect) = ui.allocate_space(egui::vec2(320.0, 40.0));
    let value = *of(&mut tolerances.clone());
    words::line(
        ui,
        rect.left_center() + egui::vec2(8.0, 0.0),
        Align2::LEFT_CENTER,
        &[words::plain(name, 16.0, greys.ink)],
    );
    let shown = number(value);
    words::line(
        ui,
        rect.right_center() - egui::vec2(64.0, 0.0),
        Align2::CENTER_CENTER,
        &[words::bold(&shown, 16.0, greys.ink)],
    );
    for (sign, by, x) in [("−", -0.1, 128.0), ("+", 0.1, 32.0)] {
        let place = Rect::from_min_size(egui::pos2(rect.max.x - x, rect.min.y), egui::vec2(32.0, 40.0));
        let label = format!("{} {name}", if by > 0.0 { "larger" } else { "smaller" });
        let response = button::hit(ui, place, &label, true, None);
        words::paint_centred(ui, place, &[words::bold(sign, 18.0, greys.ink)]);
        button::focus_ring(ui, place, &response, 4.0);
        if response.clicked() {
            let mut changed = tolerances.clone();
            let value = of(&mut changed);
            *value = ((*value + by) * 10.0).round().clamp(1.0, 200.0) / 10.0;
            screen.act(Action::Edit(Box::new(Edit::Target(TargetEdit::Tolerances(changed)))));
        }
    }
}

fn words_below_ui(ui: &mut Ui) {
    let greys = theme::of(ui);
    let (_, rect) = ui.allocate_space(egui::vec2(320.0, 44.0));
    let text = "The ΔE2000 that counts as a match, under the clear coat. Finishers live with 1–2, 2–3 and 3–5.";
    words::block(ui, rect.min + egui::vec2(8.0, 2.0), 304.0, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
}
