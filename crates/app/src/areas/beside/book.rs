//! The shop book: what was taken up from earlier pieces, what the book knows, and its file.

use egui::{Key, Rect, Ui};
use workbench::{BookAction, view::book::BookView};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        field,
        words::{self, Column},
    },
};

/// The accessible name of the field.
const FILE: &str = "File of the shop book";

/// Draws the panel.
pub(super) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.book_view();
    let text =
        "What your products did, carried from piece to piece. It counts as evidence, but less than a trial of today.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(12.0);
    taken_up_ui(ui, column, &view);
    column.skip(12.0);
    file_ui(ui, column, &view, screen);
    column.skip(8.0);
    buttons_ui(ui, column, &view, screen);
    if view.is_there {
        column.skip(12.0);
        column.words(ui, 28.0, &[words::bold("What it knows", 18.0, greys.ink)]);
        pairs_ui(ui, column, &view.known);
        if view.known.is_empty() {
            column.words(ui, 20.0, &[words::plain("Nothing yet.", 14.0, greys.ink)]);
        }
    }
}

fn taken_up_ui(ui: &mut Ui, column: &mut Column, view: &BookView) {
    let greys = theme::of(ui);
    column.words(ui, 28.0, &[words::bold("Taken up here", 18.0, greys.ink)]);
    if view.taken_up.is_empty() {
        column.words(ui, 20.0, &[words::plain("Nothing from earlier pieces.", 14.0, greys.ink)]);
        return;
    }
    pairs_ui(ui, column, &view.taken_up);
    column.skip(4.0);
    if view.updating {
        column.words(ui, 20.0, &[words::plain("Being held against the trials …", 14.0, greys.ink2)]);
    }
    pairs_ui(ui, column, &view.notes);
}

/// A name and what there is to know of it, in one paragraph each.
fn pairs_ui(ui: &mut Ui, column: &mut Column, pairs: &[(String, String)]) {
    let greys = theme::of(ui);
    for (name, text) in pairs {
        let runs = [
            words::bold(name, 14.0, greys.ink),
            words::plain(": ", 14.0, greys.ink),
            words::plain(text, 14.0, greys.ink),
        ];
        column.words(ui, 20.0, &runs);
        column.skip(4.0);
    }
}

fn file_ui(ui: &mut Ui, column: &mut Column, view: &BookView, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    column.words(ui, 28.0, &[words::bold("Its file", 18.0, greys.ink)]);
    let place = column.take(48.0);
    let typing = screen.memory.book.is_some();
    let mut path = screen.memory.book.take().unwrap_or_else(|| view.file.clone());
    let response = field::field_ui(ui, place, FILE, "shop-book.json", theme::regular(14.0), &mut path);
    if response.lost_focus() {
        let entered = ui.input(|input| input.key_pressed(Key::Enter));
        if (entered || typing) && !path.trim().is_empty() && path.trim() != view.file {
            screen.act(BookAction::Choose(path.trim().into()));
        }
    } else if response.has_focus() {
        screen.memory.book = Some(path);
    }
    column.skip(4.0);
    let text = if view.is_there { "" } else { "Not there yet: the first piece entered begins it." };
    if !text.is_empty() {
        column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
        column.skip(4.0);
    }
    if button::button(ui, column.take(48.0), Look::Well, "Choose a file", None).clicked() {
        let folder = screen.bench.data_folder().to_path_buf();
        screen.memory.dialogs.book(ui.ctx(), folder);
    }
}

fn buttons_ui(ui: &mut Ui, column: &mut Column, view: &BookView, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let take_up: Rect = column.take(48.0);
    if button::button_if(ui, take_up, Look::Main, "Take up what it knows", None, view.is_there).clicked() {
        screen.act(BookAction::TakeUp);
    }
    column.skip(8.0);
    let enter = column.take(48.0);
    let can = view.not_entered.is_none();
    if button::button_if(ui, enter, Look::Well, "Enter this piece’s trials", None, can).clicked() {
        screen.act(BookAction::Enter);
    }
    if let Some(why) = view.not_entered {
        column.skip(4.0);
        column.words(ui, 20.0, &[words::plain(why, 14.0, greys.ink2)]);
    }
}
