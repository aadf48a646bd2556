//! Saving the sheet.

use egui::{Align2, Ui};
use workbench::{SheetAction, Units};

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
    let greys = theme::of(ui);
    let page = screen.bench.page();
    column.words(ui, 32.0, &[words::bold("As it prints", 24.0, greys.ink)]);
    column.skip(8.0);
    let plan = screen.bench.piece().and_then(|piece| piece.plan.as_ref()).map(|plan| plan.name.clone());
    let text = match plan {
        Some(name) => format!("The plan is ‘{name}’: steps, mixes and waits for each part, with boxes to tick."),
        None if page.blocks.is_empty() => "The work sheet stands here once there is a route to print.".into(),
        None => "No plan is made yet: this is the best route so far. Make one the plan under Routes.".into(),
    };
    column.words(ui, 24.0, &[words::plain(&text, 16.0, greys.ink)]);
    column.skip(8.0);
    let text = "The swatches will print near, not exact. Judge by the wood.";
    column.words(ui, 20.0, &[words::plain(text, 14.0, greys.ink2)]);
    column.skip(8.0);
    units_ui(ui, column, screen);
    column.y = (column.y + 16.0).max(bottom - 104.0);
    let ready = !page.blocks.is_empty() && !page.updating;
    let place = column.take(48.0);
    if button::button_if(
        ui,
        place,
        Look::Main,
        "Save beside the piece",
        None,
        ready && screen.bench.sheet_file().is_some(),
    )
    .clicked()
        && let Some(path) = screen.bench.sheet_file()
    {
        screen.act(SheetAction::Save(path));
    }
    column.skip(8.0);
    let place = column.take(48.0);
    if button::button_if(ui, place, Look::Well, "Save elsewhere", None, ready).clicked() {
        let folder = screen.bench.piece_folder();
        screen.memory.dialogs.sheet(ui.ctx(), folder);
    }
}

/// The units that amounts are written in.
fn units_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let row = column.take(40.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::plain("Amounts in", 16.0, greys.ink)]);
    let now = screen.bench.units();
    let runs = [words::bold(now.name(), 16.0, greys.ink)];
    menu::menu_ui(ui, row.right_center(), Align2::RIGHT_CENTER, "Units of amounts", &runs, |ui| {
        for units in Units::ALL {
            if menu::row_ui(ui, units.name(), "", units == now) {
                screen.act(SheetAction::Units(units));
            }
        }
    });
}
