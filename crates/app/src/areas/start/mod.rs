//! The start page: one place to drop photos, two buttons, two demos shown by their wood.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{StartAction, demo::DEMOS, demo::Demo};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        field, swatch,
        words::{self, Column},
    },
};

/// Where things stand on the page: roomy, or close in a small window.
struct Rows {
    title: f32,
    drop: (f32, f32),
    buttons: (f32, f32),
    demos_head: f32,
    demos: f32,
}

const ROOMY: Rows = Rows { title: 45.0, drop: (80.0, 144.0), buttons: (240.0, 56.0), demos_head: 344.0, demos: 376.0 };
const CLOSE: Rows = Rows { title: 36.0, drop: (64.0, 128.0), buttons: (204.0, 48.0), demos_head: 282.0, demos: 304.0 };

/// Draws the page.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let inner = rect.shrink(16.0);
    let rows = if rect.height() < 640.0 { CLOSE } else { ROOMY };
    let at = |y: f32| Pos2::new(inner.min.x, rect.min.y + y);
    words::line(ui, at(rows.title), Align2::LEFT_CENTER, &[words::bold("What shall we match?", 32.0, greys.ink)]);
    drop_ui(ui, Rect::from_min_size(at(rows.drop.0), egui::vec2(inner.width(), rows.drop.1)), screen);
    let half = (inner.width() - 16.0) / 2.0;
    let halves = |y: f32, height: f32| {
        let left = Rect::from_min_size(at(y), egui::vec2(half, height));
        [left, left.translate(egui::vec2(half + 16.0, 0.0))]
    };
    let [new, open] = halves(rows.buttons.0, rows.buttons.1);
    if button::button(ui, new, Look::Well, "New piece, name the parts first", None).clicked() {
        screen.memory.name_parts();
        screen.act(StartAction::New);
    }
    if button::button(ui, open, Look::Well, "Open a piece", Some("Ctrl O")).clicked() {
        let folder = screen.bench.data_folder().to_path_buf();
        screen.memory.dialogs.piece(ui.ctx(), folder);
    }
    if DEMOS.is_empty() {
        return;
    }
    let head = [
        words::bold("Or try one of ours", 20.0, greys.ink),
        words::plain("   invented pieces, to try things on", 16.0, greys.ink2),
    ];
    words::line(ui, at(rows.demos_head), Align2::LEFT_CENTER, &head);
    // Their buttons stand on one line, below the longer of the two texts.
    let words_high = DEMOS.iter().map(|demo| about_height(ui, demo, half)).fold(0.0, f32::max);
    for (demo, place) in DEMOS.iter().zip(halves(rows.demos, rect.height() - rows.demos - 24.0)) {
        demo_ui(ui, place, words_high, demo, screen);
    }
}

fn drop_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    ui.painter().rect_filled(rect, 0, greys.well);
    let wide = rect.width() > 700.0;
    let (size, leading, break_here) = if wide { (26.0, 34.0, "\n") } else { (20.0, 28.0, " ") };
    let room = rect.width() - 224.0;
    let left = rect.min + egui::vec2(24.0, 16.0);
    let head = words::block(ui, left, room, leading, &[words::bold("Drop photos of the piece here", size, greys.ink)]);
    let text = format!(
        "Lay the reference card beside the wood, in the same light.{break_here}Tonewright makes a new piece and finds the card."
    );
    let (size, leading) = if wide { (16.0, 24.0) } else { (14.0, 20.0) };
    words::block(ui, Pos2::new(left.x, head.max.y + 6.0), room, leading, &[words::plain(&text, size, greys.ink2)]);
    let choose = Rect::from_min_size(Pos2::new(rect.max.x - 184.0, rect.center().y - 24.0), egui::vec2(160.0, 48.0));
    if button::button(ui, choose, Look::Main, "Choose photos", None).clicked() {
        screen.memory.dialogs.photos(ui.ctx());
    }
}

/// The height of the words about a demo.
fn about_height(ui: &Ui, demo: &Demo, width: f32) -> f32 {
    let ink = theme::of(ui).ink2;
    demo.about().iter().map(|line| words::block_height(ui, width, 24.0, &[words::plain(line, 16.0, ink)])).sum()
}

fn demo_ui(ui: &mut Ui, rect: Rect, words_high: f32, demo: &Demo, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let wood_high = (rect.height() - 100.0 - words_high).clamp(56.0, 112.0);
    let wood = Rect::from_min_size(rect.min, egui::vec2(rect.width(), wood_high));
    let mut x = wood.min.x;
    for (rgb, share) in demo.strip() {
        let width = wood.width() * share;
        let part = Rect::from_min_max(Pos2::new(x.round(), wood.min.y), Pos2::new((x + width).round(), wood.max.y));
        ui.painter().rect_filled(part, 0, swatch::bytes(rgb));
        x += width;
    }
    let name = demo.name();
    let mut y = wood.max.y + 20.0;
    words::line(ui, Pos2::new(rect.min.x, y), Align2::LEFT_CENTER, &[words::bold(&name, 18.0, greys.ink)]);
    for line in demo.about() {
        let at = Pos2::new(rect.min.x, y + 14.0);
        y += words::block(ui, at, rect.width(), 24.0, &[words::plain(line, 16.0, greys.ink2)]).height();
    }
    let below = wood.max.y + 20.0 + words_high + 28.0;
    let open = Rect::from_min_size(Pos2::new(rect.min.x, below), egui::vec2(rect.width(), 48.0));
    if button::button(ui, open, Look::Well, &format!("Open the {}", name.to_lowercase()), None).clicked() {
        screen.act(StartAction::Demo(demo.id.into()));
    }
}

/// Draws the panel: recent pieces, a path to type, the keys.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let recent = screen.bench.recent().to_vec();
    if !recent.is_empty() {
        column.words(ui, 32.0, &[words::bold("Recent", 24.0, greys.ink)]);
        column.skip(12.0);
        for piece in recent.iter().take(5) {
            let rect = column.take(64.0);
            if button::card(ui, rect, &piece.name, &piece.note, false).clicked() {
                screen.act(StartAction::Open(piece.path.clone()));
            }
            column.skip(8.0);
        }
        column.skip(16.0);
    }
    column.words(ui, 24.0, &[words::bold("Or type a path", 16.0, greys.ink)]);
    column.skip(4.0);
    let place = column.take(48.0);
    let mut path = std::mem::take(&mut screen.memory.path);
    let response =
        field::field_ui(ui, place, "Path of a piece or photo", "folder or photo", theme::regular(16.0), &mut path);
    let enter = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if enter && !path.trim().is_empty() {
        screen.act(StartAction::Take(vec![path.trim().into()]));
        path.clear();
    }
    screen.memory.path = path;
    column.skip(8.0);
    let keys = column.take(48.0);
    if button::button(ui, keys, Look::Well, "Keys", Some("F1")).clicked() {
        screen.memory.keys = true;
    }
}
