//! Every pair in a table, and the match sample.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{PartId, SideAction, view::side::Row};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        words::{self, Column},
    },
};

/// Pairs shown of each group, at most.
const MOST: usize = 12;

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.side_by_side();
    column.words(ui, 32.0, &[words::bold("Every pair", 24.0, greys.ink)]);
    column.words(ui, 20.0, &[words::plain("ΔE2000, and where it may lie", 14.0, greys.ink2)]);
    column.skip(4.0);
    if view.groups.is_empty() {
        let text = "They stand here once two parts are read, the worst first.";
        column.words(ui, 22.0, &[words::plain(text, 16.0, greys.ink)]);
    }
    for (place, group) in view.groups.iter().enumerate() {
        if place > 0 {
            column.skip(12.0);
            column.rule(ui, greys.line);
            column.skip(10.0);
        }
        column.words(ui, 26.0, &[words::bold(&group.head, 16.0, greys.ink)]);
        for row in group.rows.iter().take(MOST) {
            row_ui(ui, column, row, screen);
        }
        let rest = group.rows.len().saturating_sub(MOST);
        let not_listed = (rest > 0).then(|| format!("{rest} closer pairs not listed"));
        let said = Some(group.words.clone()).filter(|words| !words.is_empty());
        let more = said.into_iter().chain(not_listed).collect::<Vec<_>>().join("; ");
        if !more.is_empty() {
            column.words(ui, 22.0, &[words::plain(&more, 14.0, greys.ink)]);
        }
    }
    for reason in view.not_compared.iter().take(3) {
        column.skip(8.0);
        column.words(ui, 20.0, &[words::plain(reason, 14.0, greys.ink)]);
    }
    column.skip(12.0);
    column.rule(ui, greys.line);
    column.skip(10.0);
    match_ui(ui, column, view.pair.as_ref().map(|pair| (pair.left.part, pair.left.name.clone())), screen);
    if let Some(pair) = &view.pair {
        let text = match (&pair.carried, pair.one_photo) {
            (Some(carried), _) => workbench::words::capital(carried),
            (None, true) => "Both come from one photo, so their difference is surer than either colour.".into(),
            (None, false) => "Read in one photo, their difference would be surer.".into(),
        };
        column.skip(8.0);
        column.words(ui, 20.0, &[words::plain(&text, 14.0, greys.ink2)]);
    }
}

fn row_ui(ui: &mut Ui, column: &mut Column, row: &Row, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let rect = column.take(36.0);
    let wide = rect.expand2(egui::vec2(8.0, 0.0));
    let name = format!("{}, ΔE2000 {} from {}", row.name, row.de00.number, row.de00.range);
    let response = button::hit(ui, wide, &name, true, Some(row.chosen));
    let ink = if row.chosen { greys.on_ink } else { greys.ink };
    if row.chosen {
        ui.painter().rect_filled(wide, 0, greys.on);
    } else if response.hovered() {
        ui.painter().rect_filled(wide, 0, greys.well);
    }
    // Where both names do not fit on one line, each has its own.
    let above = row.name.replace(" – ", " –\n");
    let face = |name, size| if row.chosen { words::bold(name, size, ink) } else { words::plain(name, size, ink) };
    let y = rect.center().y;
    let number_x = rect.max.x - 96.0;
    let room = Rect::from_min_max(rect.min, Pos2::new(number_x - 46.0, rect.max.y));
    if words::line_width(ui, &[face(&row.name, 16.0)]) <= room.width() {
        words::line(ui, room.left_center(), Align2::LEFT_CENTER, &[face(&row.name, 16.0)]);
    } else {
        words::lines(ui, room, &[face(&above, 14.0)]);
    }
    words::line(ui, Pos2::new(number_x, y), Align2::RIGHT_CENTER, &[words::bold(&row.de00.number, 18.0, ink)]);
    words::line(ui, Pos2::new(number_x + 16.0, y), Align2::LEFT_CENTER, &[words::plain(&row.de00.range, 14.0, ink)]);
    button::focus_ring(ui, wide, &response, 0.0);
    if response.clicked() {
        screen.act(SideAction::Pair(row.pair.0, row.pair.1));
    }
}

/// What is to be matched, and the button that makes the left part so.
fn match_ui(ui: &mut Ui, column: &mut Column, left: Option<(PartId, String)>, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let now = screen.bench.match_words();
    column.words(ui, 24.0, &[words::bold("Match sample ", 16.0, greys.ink), words::plain(&now, 16.0, greys.ink)]);
    column.skip(8.0);
    if let Some((part, name)) = left {
        let place = column.take(48.0);
        if now == name {
            if button::button(ui, place, Look::Well, "All alike, no sample", None).clicked() {
                screen.act(SideAction::MatchSample(None));
            }
        } else if button::button(ui, place, Look::Well, &format!("Match {name}"), None).clicked() {
            screen.act(SideAction::MatchSample(Some(part)));
        }
    }
}
