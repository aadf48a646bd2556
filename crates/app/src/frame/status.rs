//! The status line: left what happened, right what to do next. What is too long for one line stands in several.

use egui::{Align2, Color32, Rect, Ui};
use workbench::status::Status;

use crate::{
    screen::Screen,
    theme,
    widgets::words::{self, Run},
};

/// Heights of the line as it mostly is, and of each line where there are several, points.
const ONE: f32 = 40.0;
const LINE: f32 = 22.0;
/// Margins left and right, and between what happened and what to do next, points.
const MARGIN: f32 = 16.0;
const GAP: f32 = 24.0;

/// The height that it takes in a window of this width.
pub(crate) fn height(ui: &Ui, width: f32, status: &Status) -> f32 {
    let words = words::block_height(ui, room(ui, width, status), LINE, &[happened(status, Color32::BLACK)]);
    ONE.max(words + ONE - LINE)
}

/// Draws the status line.
pub(crate) fn status_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let ink = theme::of(ui).status_ink;
    let status = screen.bench.status();
    if !status.next.is_empty() {
        let at = rect.right_center() - egui::vec2(MARGIN, 0.0);
        words::line(ui, at, Align2::RIGHT_CENTER, &[words::bold(&next(status), 16.0, ink)]);
    }
    let runs = [happened(status, ink)];
    let room = room(ui, rect.width(), status);
    let high = words::block_height(ui, room, LINE, &runs);
    words::block(ui, rect.left_center() + egui::vec2(MARGIN, -high / 2.0), room, LINE, &runs);
}

/// How wide what happened may be.
fn room(ui: &Ui, width: f32, status: &Status) -> f32 {
    let all = width - 2.0 * MARGIN;
    if status.next.is_empty() {
        return all;
    }
    all - GAP - words::line_width(ui, &[words::bold(&next(status), 16.0, Color32::BLACK)])
}

fn next(status: &Status) -> String {
    format!("Next: {}", status.next)
}

fn happened(status: &Status, ink: Color32) -> Run<'_> {
    if status.failed { words::bold(&status.happened, 16.0, ink) } else { words::plain(&status.happened, 16.0, ink) }
}
