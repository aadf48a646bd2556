//! The chosen trial: what was done, how far it is from the match, what to beware of, and using it.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    Action, Beside, FrameAction, SamplesAction,
    piece::{Edit, edit::TrialEdit},
    view::trial::TrialTold,
};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        caution,
        words::{self, Column},
    },
};

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, bottom: f32, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let told = screen.bench.trial_told();
    let mut left: &[(String, String)] = &[];
    match &told {
        Some(told) => left = trial_ui(ui, column, bottom, told, screen),
        None => {
            column.words(ui, 32.0, &[words::bold("No trial yet", 24.0, greys.ink)]);
            let example = screen.bench.piece().map(|piece| workbench::log_line::example(piece)).unwrap_or_default();
            let text = format!(
                "Press / and type what you did, in one line:\n{example}\n\nA colour may stand after its step: dry 63/6.5/23, or coated 54.8/9.8/29.5. Or read the board from a photo."
            );
            column.words(ui, 24.0, &[words::plain(&text, 16.0, greys.ink)]);
            column.skip(16.0);
        }
    }
    let row = column.take(48.0);
    let half = (row.width() - 8.0) / 2.0;
    let add = Rect::from_min_size(row.min, egui::vec2(half, row.height()));
    if button::button(ui, add, Look::Well, "Add a board", None).clicked() {
        screen.act(SamplesAction::AddBoard);
    }
    let book = add.translate(egui::vec2(half + 8.0, 0.0));
    if button::button(ui, book, Look::Well, "Shop book", None).clicked() {
        screen.act(FrameAction::Beside(Some(Beside::ShopBook)));
    }
    caution::rest_ui(ui, column, left);
    if let Some(told) = &told {
        let (label, ink) = ("Remove this trial", greys.ink);
        let at = column.take(48.0).left_center();
        if button::link(ui, at, Align2::LEFT_CENTER, label, &[words::plain(label, 15.0, ink)], true).clicked() {
            screen.act(Action::Edit(Box::new(Edit::Trial(TrialEdit::Remove(told.trial)))));
        }
    }
}

/// What the trial is; gives the cautions there was no room for.
fn trial_ui<'t>(
    ui: &mut Ui,
    column: &mut Column,
    bottom: f32,
    told: &'t TrialTold,
    screen: &mut Screen<'_>,
) -> &'t [(String, String)] {
    let greys = theme::of(ui);
    column.words(ui, 32.0, &[words::bold(&told.head, 24.0, greys.ink)]);
    if let Some(de00) = &told.de00 {
        let row = column.take(80.0);
        let number =
            words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold(&de00.number, 56.0, greys.ink)]);
        let text = format!("ΔE2000 to the match\n{}", de00.range);
        // Two lines, or three in a narrow panel, beside the middle of the number.
        let (left, runs) = (number.max.x + 12.0, [words::plain(&text, 14.0, greys.ink)]);
        let high = words::block_height(ui, row.max.x - left, 20.0, &runs);
        words::block(ui, Pos2::new(left, row.center().y - high / 2.0), row.max.x - left, 20.0, &runs);
    }
    column.words(ui, 24.0, &[words::bold(&told.verdict, 16.0, greys.ink)]);
    column.skip(8.0);
    for (name, how) in &told.steps {
        let (name, how) = ([words::bold(name, 15.0, greys.ink)], [words::plain(how, 15.0, greys.ink)]);
        // Side by side where they fit, else one above the other.
        if words::line_width(ui, &name) + words::line_width(ui, &how) + 12.0 <= column.width {
            let row = column.take(28.0);
            words::line(ui, row.left_center(), Align2::LEFT_CENTER, &name);
            words::line(ui, row.right_center(), Align2::RIGHT_CENTER, &how);
        } else {
            column.skip(4.0);
            column.words(ui, 20.0, &name);
            column.words(ui, 20.0, &how);
            column.skip(4.0);
        }
    }
    column.skip(8.0);
    for note in &told.notes {
        column.words(ui, 20.0, &[words::plain(note, 14.0, greys.ink2)]);
    }
    if let Some(why) = &told.barred {
        column.skip(8.0);
        column.words(ui, 20.0, &[words::bold(why, 14.0, greys.ink)]);
    }
    column.skip(12.0);
    let left = caution::cautions_ui(ui, column, bottom - 136.0, &told.cautions);
    column.y = column.y.max(bottom - 104.0);
    if let Some((_, part)) = &told.part {
        let place = column.take(48.0);
        let allowed = told.barred.is_none();
        if button::button_if(ui, place, Look::Main, &format!("Use on {part}"), None, allowed).clicked() {
            screen.act(SamplesAction::Use(told.trial));
        }
        column.skip(8.0);
    }
    left
}
