//! The working areas and their panels.

mod beside;
mod keys;
mod photos;
mod routes;
mod samples;
mod sheet;
mod side_by_side;
mod start;

use egui::{Align2, Rect, ScrollArea, Ui, UiBuilder};
use workbench::Area;

use crate::{
    frame::Places,
    screen::Screen,
    theme,
    widgets::{
        button,
        words::{self, Column},
    },
};

/// Draws the area on show and its panel.
pub(crate) fn areas_ui(ui: &mut Ui, places: &Places, screen: &mut Screen<'_>) {
    let open = screen.bench.piece().is_some();
    let area = screen.bench.area();
    let id = if open { area.name() } else { "start" };
    let mut work = child(ui, places.work, id);
    match area {
        _ if !open => start::work_ui(&mut work, places.work, screen),
        Area::Photos => photos::work_ui(&mut work, places.work, screen),
        Area::SideBySide => side_by_side::work_ui(&mut work, places.work, screen),
        Area::Samples => samples::work_ui(&mut work, places.work, screen),
        Area::Routes => routes::work_ui(&mut work, places.work, screen),
        Area::Sheet => sheet::work_ui(&mut work, places.work, screen),
    }
    if area != Area::Samples {
        screen.memory.trial_in_sight = None;
    }
    let beside = screen.bench.beside();
    // Each panel keeps how far it was scrolled, and no other does.
    let which = (beside.map(|beside| beside as u8), screen.memory.keys, screen.memory.parts);
    let mut panel = child(ui, places.panel, (id, "panel", which));
    panel_ui(&mut panel, places.panel, |ui, column, bottom| match (beside, area) {
        _ if screen.memory.keys => keys::panel_ui(ui, column, screen),
        _ if !open => start::panel_ui(ui, column, screen),
        (Some(beside), _) => beside::panel_ui(ui, column, beside, screen),
        (None, Area::Photos) => photos::panel_ui(ui, column, bottom, screen),
        (None, Area::SideBySide) => side_by_side::panel_ui(ui, column, screen),
        (None, Area::Samples) => samples::panel_ui(ui, column, bottom, screen),
        (None, Area::Routes) => routes::panel_ui(ui, column, screen),
        (None, Area::Sheet) => sheet::panel_ui(ui, column, bottom, screen),
    });
}

/// A place of its own within the window.
pub(crate) fn child(ui: &mut Ui, rect: Rect, salt: impl egui::AsIdSalt) -> Ui {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).id_salt(salt));
    child.set_clip_rect(rect.intersect(ui.clip_rect()));
    child
}

/// The head of a panel that stands in place of another, with the link that closes it; true when that is clicked.
fn closing_head_ui(ui: &mut Ui, column: &mut Column, head: &str) -> bool {
    let greys = theme::of(ui);
    let row = column.take(32.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold(head, 24.0, greys.ink)]);
    let close = [words::bold("Close", 16.0, greys.ink)];
    let name = format!("Close {}", head.to_lowercase());
    button::link(ui, row.right_center(), Align2::RIGHT_CENTER, &name, &close, true).clicked()
}

/// A panel that scrolls where it is taller than its place. `fill` sets words into the column; `bottom` is where the panel's
/// last button would end if there is room.
fn panel_ui(ui: &mut Ui, rect: Rect, fill: impl FnOnce(&mut Ui, &mut Column, f32)) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let at = ui.cursor().min;
        let mut column = Column::new(at + egui::vec2(16.0, 16.0), rect.width() - 32.0);
        fill(ui, &mut column, at.y + rect.height() - 16.0);
        ui.expand_to_include_y(column.y + 16.0);
    });
}
