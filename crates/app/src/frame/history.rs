//! Right in the top bar: undo and redo with their names, and the job that runs.

use egui::{Align2, Rect, Ui};
use workbench::FrameAction;

use crate::{
    screen::Screen,
    theme,
    widgets::{button, words},
};

/// The job and its progress; says where the room left of it ends.
pub(super) fn job_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) -> f32 {
    let right = rect.max.x - 16.0;
    let Some(job) = screen.bench.job() else { return right };
    let greys = theme::of(ui);
    let y = rect.center().y;
    let cancel = button::link(
        ui,
        egui::pos2(right, y),
        Align2::RIGHT_CENTER,
        "Cancel",
        &[words::bold("Cancel", 16.0, greys.ink)],
        true,
    );
    if cancel.clicked() {
        screen.act(FrameAction::Cancel);
    }
    let more = if job.others > 0 { format!("{} + {}", job.name, job.others) } else { job.name.clone() };
    let name = words::line(
        ui,
        egui::pos2(cancel.rect.min.x - 16.0, y),
        Align2::RIGHT_CENTER,
        &[words::plain(&more, 16.0, greys.ink)],
    );
    let bar = Rect::from_min_max(egui::pos2(name.min.x - 8.0, rect.max.y - 4.0), egui::pos2(right, rect.max.y));
    ui.painter().rect_filled(bar, 0, greys.line);
    let done = bar.width() * job.fraction.clamp(0.0, 1.0);
    ui.painter().rect_filled(Rect::from_min_size(bar.min, egui::vec2(done, bar.height())), 0, greys.ink);
    name.min.x - 32.0
}

/// Undo and redo, ending at `right`; what undo takes back is named where there is room for it behind `left`.
pub(super) fn history_ui(ui: &mut Ui, right: egui::Pos2, left: f32, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let redo = screen.bench.redo_label().map(str::to_owned);
    let undo = screen.bench.undo_label().map(str::to_owned);
    let mut at = right;
    let (name, ink) = match &redo {
        Some(label) => (format!("Redo {label}"), greys.ink),
        None => ("Redo".into(), greys.off),
    };
    let face = if redo.is_some() { words::bold("Redo", 16.0, ink) } else { words::plain("Redo", 16.0, ink) };
    let response = button::link(ui, at, Align2::RIGHT_CENTER, &name, &[face], redo.is_some());
    if response.clicked() {
        screen.act(FrameAction::Redo);
    }
    at.x = response.rect.min.x - 24.0;
    let (label, ink) = match &undo {
        Some(label) => (format!("  {label}"), greys.ink),
        None => (String::new(), greys.off),
    };
    let face = if undo.is_some() { words::bold("Undo", 16.0, ink) } else { words::plain("Undo", 16.0, ink) };
    let name = format!("Undo{label}").replace("  ", " ");
    let mut runs = vec![face, words::plain(&label, 16.0, greys.ink2)];
    let fits = at.x - words::line_width(ui, &runs) >= left;
    runs.truncate(if fits { 2 } else { 1 });
    let response = button::link(ui, at, Align2::RIGHT_CENTER, &name, &runs, undo.is_some());
    let response = if fits { response } else { response.on_hover_text(&name) };
    if response.clicked() {
        screen.act(FrameAction::Undo);
    }
}
