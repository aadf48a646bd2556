//! The status line: left what happened, right what to do next.

use egui::{Align2, Rect, Ui};

use crate::{screen::Screen, theme, widgets::words};

/// Draws the status line.
pub(crate) fn status_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let status = screen.bench.status();
    let next = if status.next.is_empty() { String::new() } else { format!("Next: {}", status.next) };
    let right = rect.right_center() - egui::vec2(16.0, 0.0);
    let mut left_end = right.x;
    if !next.is_empty() {
        left_end =
            words::line(ui, right, Align2::RIGHT_CENTER, &[words::bold(&next, 16.0, greys.status_ink)]).min.x - 24.0;
    }
    let left = rect.left_center() + egui::vec2(16.0, 0.0);
    let run = if status.failed {
        words::bold(&status.happened, 16.0, greys.status_ink)
    } else {
        words::plain(&status.happened, 16.0, greys.status_ink)
    };
    words::short(ui, left, Align2::LEFT_CENTER, left_end - left.x, &[run]);
}
