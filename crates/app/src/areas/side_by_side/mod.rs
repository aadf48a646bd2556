//! Side by side: the seam between two parts, the sentence about them, and every pair.

mod bars;
mod panel;
mod seam;

pub(crate) use panel::panel_ui;

use egui::{Align2, Pos2, Rect, Ui};
use workbench::{
    SideAction,
    view::side::{Pair, Unlike},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        caution, words,
    },
};

/// The tallest that the wood is shown, points: more is looked at no better.
const TALLEST: f32 = 640.0;

/// Draws the area.
pub(crate) fn work_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let view = screen.bench.side_by_side();
    let foot = if view.unlike.is_empty() { 0.0 } else { 88.0 };
    match &view.pair {
        Some(pair) => pair_ui(ui, rect, rect.max.y - foot, pair, screen),
        None => {
            let text = if view.updating { "Comparing …".into() } else { view.empty.clone().unwrap_or_default() };
            let at = rect.min + egui::vec2(16.0, 24.0);
            words::block(ui, at, rect.width() - 32.0, 34.0, &[words::bold(&text, 26.0, greys.ink)]);
        }
    }
    if view.updating && view.pair.is_some() {
        words::tag(ui, rect.right_top() + egui::vec2(-16.0, 8.0), Align2::RIGHT_TOP, "updating");
    }
    if let Some(unlike) = view.unlike.first() {
        let place = Rect::from_min_max(Pos2::new(rect.min.x, rect.max.y - foot), rect.max);
        unlike_ui(ui, place, unlike, screen);
    }
}

fn pair_ui(ui: &mut Ui, rect: Rect, bottom: f32, pair: &Pair, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    // The swatches give way before the words do, and take what room there is.
    let height = (bottom - rect.min.y - 40.0 - 232.0).clamp(136.0, TALLEST);
    let seam = Rect::from_min_size(Pos2::new(rect.min.x, rect.min.y + 40.0), egui::vec2(rect.width(), height));
    seam::seam_ui(ui, seam, pair, screen);
    let mut at = Pos2::new(rect.min.x + 16.0, seam.max.y + 16.0);
    // One size for both lines: that at which the longer one fits.
    let fits = |size: &f32| {
        let width = |line: &String| words::line_width(ui, &[words::bold(line, *size, greys.ink)]);
        pair.sentence.iter().all(|line| width(line) <= rect.width() - 32.0)
    };
    let size = [26.0, 24.0, 22.0].into_iter().find(fits).unwrap_or(20.0);
    for line in &pair.sentence {
        words::short(
            ui,
            at + egui::vec2(0.0, 17.0),
            Align2::LEFT_CENTER,
            rect.width() - 32.0,
            &[words::bold(line, size, greys.ink)],
        );
        at.y += 34.0;
    }
    at.y += 4.0;
    let number = words::line(
        ui,
        at + egui::vec2(0.0, 36.0),
        Align2::LEFT_CENTER,
        &[words::bold(&pair.de00.number, 64.0, greys.ink)],
    );
    let low_high = pair.de00.range.replace('–', " to ");
    let text = format!("{low_high} ΔE2000\n{}", pair.tolerance);
    words::block(ui, Pos2::new(at.x, number.max.y - 4.0), 190.0, 20.0, &[words::plain(&text, 14.0, greys.ink)]);
    let bars = Rect::from_min_max(Pos2::new(at.x + 190.0, at.y), Pos2::new(rect.max.x - 16.0, at.y + 124.0));
    bars::bars_ui(ui, bars, &pair.bars);
}

/// A bar across the area with one action; never a dialog.
fn unlike_ui(ui: &mut Ui, rect: Rect, unlike: &Unlike, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    ui.painter().rect_filled(rect, 0, greys.well);
    caution::mark_ui(ui, rect.min + egui::vec2(16.0, 12.0));
    let width = rect.width() - 52.0 - 192.0;
    let runs = [
        words::bold(&unlike.lead, 15.0, greys.ink),
        words::plain(" ", 15.0, greys.ink),
        words::plain(&unlike.text, 15.0, greys.ink),
    ];
    words::block(ui, rect.min + egui::vec2(52.0, 11.0), width, 22.0, &runs);
    if unlike.can_carry {
        let place = Rect::from_min_size(Pos2::new(rect.max.x - 176.0, rect.center().y - 24.0), egui::vec2(160.0, 48.0));
        if button::button(ui, place, Look::Main, "Carry across", None).clicked() {
            screen.act(SideAction::CarryAcross);
        }
    }
}
