//! The chosen region in the panel: its colour, how even it is, and whether its spots count.

use egui::{Align2, Pos2, Ui};
use workbench::{
    Action, PhotosAction, ReadingId,
    action::Tool,
    view::evenness::{EvennessTold, SpotTold},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        check_box,
        words::{self, Column},
    },
};

/// Draws it, or what to draw first.
pub(super) fn region_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    if screen.bench.piece().is_some_and(|piece| piece.parts.is_empty()) {
        return no_parts_ui(ui, column, screen);
    }
    let (Some(told), Some(id)) = (screen.bench.told(), screen.bench.photos().region) else {
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
        let runs = [words::plain(text, 15.0, greys.ink)];
        let more = words::block_height(ui, column.width - 88.0, 20.0, &runs) - 20.0;
        let row = column.take(26.0 + more);
        let at = row.min + egui::vec2(0.0, 13.0);
        words::line(ui, at, Align2::LEFT_CENTER, &[words::plain(what, 14.0, greys.ink2)]);
        words::block(ui, row.min + egui::vec2(88.0, 3.0), row.width() - 88.0, 20.0, &runs);
    }
    if let Some(evenness) = screen.bench.evenness_told() {
        evenness_ui(ui, column, id, &evenness, screen);
    }
    let (leave, remove) = ("Leave a place out", "Remove this region");
    let width = |label: &str| words::line_width(ui, &[words::plain(label, 15.0, greys.ink)]);
    let fits = width(leave) + width(remove) + 16.0 <= column.width;
    let row = column.take(40.0);
    if link(ui, row.left_center(), Align2::LEFT_CENTER, leave) {
        screen.memory.drawing.clear();
        screen.act(PhotosAction::Tool(Tool::LeaveOut));
    }
    let remove = if fits {
        link(ui, row.right_center(), Align2::RIGHT_CENTER, remove)
    } else {
        link(ui, column.take(40.0).left_center(), Align2::LEFT_CENTER, remove)
    };
    take_in_ui(ui, column, id, screen);
    if remove {
        screen.act(PhotosAction::ChooseRegion(None));
        screen.act(Action::Edit(Box::new(screen.bench.taking_out(id))));
    }
}

/// Without parts there is nothing to read a region for.
fn no_parts_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let text = "What is in the photo? Name the parts, such as top, sides, drawer; then draw a region on each.";
    column.words(ui, 22.0, &[words::plain(text, 16.0, greys.ink)]);
    column.skip(8.0);
    if button::button(ui, column.take(48.0), Look::Main, "Name the parts", None).clicked() {
        screen.memory.name_parts();
    }
}

/// Takes places left out by hand in again, where there are any.
fn take_in_ui(ui: &mut Ui, column: &mut Column, id: ReadingId, screen: &mut Screen<'_>) {
    let again = match screen.bench.places_left_out() {
        0 => return,
        1 => "Take the place left out in again".to_owned(),
        n => format!("Take the {n} places left out in again"),
    };
    let at = column.take(40.0).left_center();
    if link(ui, at, Align2::LEFT_CENTER, &again) {
        screen.act(PhotosAction::TakeIn(id));
    }
}

fn link(ui: &mut Ui, at: Pos2, align: Align2, label: &str) -> bool {
    let ink = theme::of(ui).ink;
    button::link(ui, at, align, label, &[words::plain(label, 15.0, ink)], true).clicked()
}

fn evenness_ui(ui: &mut Ui, column: &mut Column, id: ReadingId, told: &EvennessTold, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let shown = screen.bench.photos().evenness_shown;
    column.skip(8.0);
    column.words(ui, 24.0, &[words::bold(&told.head, 16.0, greys.ink)]);
    column.words(ui, 20.0, &[words::plain(&told.line, 14.0, greys.ink)]);
    if shown {
        for spot in &told.spots {
            spot_ui(ui, column, spot);
        }
    }
    column.skip(4.0);
    let left_out = screen.bench.spots_left_out();
    if check_box::check_box(ui, column.take(40.0), "Leave spots out", left_out).clicked() {
        screen.act(PhotosAction::LeaveSpotsOut(id, !left_out));
    }
    let label = if shown { "Hide evenness" } else { "Show evenness" };
    if button::button(ui, column.take(48.0), Look::Well, label, Some("E")).clicked() {
        screen.act(PhotosAction::ShowEvenness(!shown));
    }
}

/// A spot as it is numbered on the photo.
fn spot_ui(ui: &mut Ui, column: &mut Column, spot: &SpotTold) {
    let greys = theme::of(ui);
    let row = column.take(44.0);
    let left = row.min.x + 24.0;
    let y = row.min.y + 12.0;
    words::line(ui, Pos2::new(row.min.x, y), Align2::LEFT_CENTER, &[words::bold(&spot.number, 15.0, greys.ink)]);
    let room = row.width() - 24.0;
    words::short(ui, Pos2::new(left, y), Align2::LEFT_CENTER, room, &[words::plain(&spot.what, 15.0, greys.ink)]);
    let size = [words::plain(&spot.size, 14.0, greys.ink2)];
    words::short(ui, Pos2::new(left, y + 20.0), Align2::LEFT_CENTER, room, &size);
}
