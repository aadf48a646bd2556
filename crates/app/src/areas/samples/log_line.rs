//! The log line: `/` goes to it, Enter logs, ↑ repeats the last.

use egui::{Align2, Key, Rect, Ui};
use workbench::SamplesAction;

use crate::{
    screen::Screen,
    theme,
    widgets::{button, field, words},
};

/// The accessible name of the field.
pub(crate) const NAME: &str = "Log a trial";

/// Draws the field.
pub(super) fn log_line_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let hint = screen.bench.piece().map(|piece| workbench::log_line::hint(piece)).unwrap_or_default();
    let mut line = std::mem::take(&mut screen.memory.log);
    let slash = button::pressed(ui, Key::Slash);
    if slash {
        ui.input_mut(|input| input.events.retain(|event| !matches!(event, egui::Event::Text(text) if text == "/")));
    }
    let keys = "Enter logs, ↑ repeats the last";
    let keys_width = words::line_width(ui, &[words::plain(keys, 16.0, greys.ink2)]) + 32.0;
    let response = field::field_ui(ui, rect, NAME, &hint, theme::regular(17.0), &mut line);
    let typed_width =
        words::line_width(ui, &[words::plain(if line.is_empty() { &hint } else { &line }, 17.0, greys.ink)]);
    if typed_width + keys_width + 32.0 < rect.width() {
        words::line(
            ui,
            rect.right_center() - egui::vec2(16.0, 0.0),
            Align2::RIGHT_CENTER,
            &[words::plain(keys, 16.0, greys.ink2)],
        );
    }
    if slash {
        response.request_focus();
    }
    if response.has_focus() && ui.input(|input| input.key_pressed(Key::ArrowUp)) && !screen.bench.last_line().is_empty()
    {
        line = screen.bench.last_line().to_owned();
    }
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if entered && !line.trim().is_empty() {
        // A line that is not taken stays to be mended.
        let taken = screen.bench.would_log(&line);
        screen.act(SamplesAction::Log(line.clone()));
        if taken {
            line.clear();
        }
        response.request_focus();
    }
    screen.memory.log = line;
}
