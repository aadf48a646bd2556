//! The keys that work everywhere.

use egui::{Key, Modifiers, Popup, Ui};
use workbench::{Area, FrameAction, PhotosAction, StartAction, action::Tool};

use crate::screen::Screen;

/// All keys, as they are listed under F1.
pub(crate) const LIST: [(&str, &str); 15] = [
    ("1 … 5", "the five areas"),
    ("Ctrl Z, Ctrl Y", "undo, redo"),
    ("Ctrl S, Ctrl O", "save, open"),
    ("Tab", "to the next thing"),
    ("Enter, Space", "press it"),
    ("R, P", "draw a rectangle, a polygon"),
    ("arrows", "move a corner by one pixel"),
    ("+ − 0", "larger, smaller, whole photo"),
    ("Page up, down", "the photo before, after"),
    ("C", "place the card’s corners"),
    ("E", "how even a region is"),
    ("/", "the log line"),
    ("↑", "repeat the last line"),
    ("Esc", "put down what is in hand, else close the panel"),
    ("F1", "this list"),
];

const DIGITS: [(Key, Area); 5] = [
    (Key::Num1, Area::Photos),
    (Key::Num2, Area::SideBySide),
    (Key::Num3, Area::Samples),
    (Key::Num4, Area::Routes),
    (Key::Num5, Area::Sheet),
];

/// Turns keys into actions.
pub(crate) fn keys(ui: &Ui, screen: &mut Screen<'_>) {
    let typing = ui.ctx().text_edit_focused();
    // The keyboard has left a text field by the time that Esc, which it left it for, is seen here.
    let was_typing = std::mem::replace(&mut screen.memory.typing, typing);
    let consume = |modifiers: Modifiers, key: Key| ui.input_mut(|input| input.consume_key(modifiers, key));
    if consume(Modifiers::NONE, Key::F1) {
        screen.memory.keys = !screen.memory.keys;
    }
    if consume(Modifiers::COMMAND, Key::S) {
        screen.act(StartAction::Save);
    }
    if consume(Modifiers::COMMAND, Key::O) {
        let folder = screen.bench.data_folder().to_path_buf();
        screen.memory.dialogs.piece(ui.ctx(), folder);
    }
    // A focused text field has its own undo.
    if typing {
        return;
    }
    if consume(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z) || consume(Modifiers::COMMAND, Key::Y) {
        screen.act(FrameAction::Redo);
    } else if consume(Modifiers::COMMAND, Key::Z) {
        screen.act(FrameAction::Undo);
    }
    if !was_typing && !Popup::is_any_open(ui.ctx()) && consume(Modifiers::NONE, Key::Escape) {
        put_down_or_close(screen);
    }
    for (key, area) in DIGITS {
        if consume(Modifiers::NONE, key) {
            screen.act(FrameAction::Go(area));
        }
    }
    if screen.bench.area() == Area::Photos && screen.bench.piece().is_some() {
        photo_keys(screen, consume);
    }
}

/// Puts down what is in hand; where nothing is, closes what lies on top in the panel.
fn put_down_or_close(screen: &mut Screen<'_>) {
    if screen.bench.area() == Area::Photos && screen.bench.holds_a_tool() {
        screen.memory.drawing.clear();
        screen.act(PhotosAction::Tool(Tool::Hand));
    } else if screen.memory.keys {
        screen.memory.keys = false;
    } else if screen.bench.beside().is_some() {
        screen.act(FrameAction::Beside(None));
    } else if screen.bench.area() == Area::Photos {
        screen.memory.parts = false;
    }
}

fn photo_keys(screen: &mut Screen<'_>, consume: impl Fn(Modifiers, Key) -> bool) {
    if consume(Modifiers::NONE, Key::R) {
        screen.act(PhotosAction::Tool(Tool::Rectangle));
    }
    if consume(Modifiers::NONE, Key::P) {
        screen.act(PhotosAction::Tool(Tool::Polygon));
    }
    if consume(Modifiers::NONE, Key::E) {
        screen.act(PhotosAction::ShowEvenness(!screen.bench.photos().evenness_shown));
    }
    let Some(shown) = screen.bench.shown_photo() else { return };
    if consume(Modifiers::NONE, Key::C) {
        screen.act(PhotosAction::PlaceCorners(shown));
    }
    let photos: Vec<_> =
        screen.bench.piece().map(|piece| piece.photos.iter().map(|p| p.id).collect()).unwrap_or_default();
    let place = photos.iter().position(|photo| *photo == shown).unwrap_or(0);
    if consume(Modifiers::NONE, Key::PageDown)
        && let Some(next) = photos.get(place + 1)
    {
        screen.act(PhotosAction::Show(*next));
    }
    if consume(Modifiers::NONE, Key::PageUp)
        && let Some(last) = place.checked_sub(1).and_then(|place| photos.get(place))
    {
        screen.act(PhotosAction::Show(*last));
    }
}
