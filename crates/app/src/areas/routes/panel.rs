//! The schedule of the chosen part, its caution, and the one main button.

use egui::{Align2, Pos2, Ui};
use workbench::{Area, Beside, FrameAction, RoutesAction, view::schedule::ScheduleView};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        caution,
        words::{self, Column},
    },
};

/// Draws the panel.
pub(crate) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(schedule) = screen.bench.schedule_view() else {
        if screen.bench.ranking_view().updating {
            return column.words(ui, 32.0, &[words::bold("Ranking …", 24.0, greys.ink)]);
        }
        column.words(ui, 32.0, &[words::bold("No schedule yet", 24.0, greys.ink)]);
        column.words(
            ui,
            24.0,
            &[words::plain("Choose a part at the left. What was tried on its boards is ranked here.", 16.0, greys.ink)],
        );
        column.skip(12.0);
        let place = column.take(48.0);
        if button::button(ui, place, Look::Well, "Log a trial", Some("3")).clicked() {
            screen.act(FrameAction::Go(Area::Samples));
        }
        return;
    };
    column.words(ui, 32.0, &[words::bold(&schedule.head, 24.0, greys.ink)]);
    column.words(ui, 22.0, &[words::plain(&schedule.note, 16.0, greys.ink2)]);
    column.skip(8.0);
    for (number, (name, how)) in (1..).zip(&schedule.steps) {
        step_ui(ui, column, number, name, how);
    }
    column.skip(8.0);
    let left = caution::cautions_ui(ui, column, column.y, &schedule.cautions);
    column.skip(4.0);
    let place = column.take(48.0);
    let label = if schedule.is_plan { "This is the plan" } else { "Make this the plan" };
    if button::button_if(ui, place, Look::Main, label, None, !schedule.is_plan).clicked() {
        screen.act(RoutesAction::MakePlan);
    }
    column.skip(12.0);
    evidence_ui(ui, column, &schedule);
    column.skip(12.0);
    next_ui(ui, column, &schedule.cautions, screen);
    column.skip(12.0);
    notes_ui(ui, column, &schedule);
    caution::rest_ui(ui, column, left);
    column.skip(8.0);
    if button::button(ui, column.take(48.0), Look::Well, "Colour out a spot", None).clicked() {
        screen.act(FrameAction::Beside(Some(Beside::ColouringOut)));
    }
}

/// The odds, and what stands behind them.
fn evidence_ui(ui: &mut Ui, column: &mut Column, schedule: &ScheduleView) {
    let greys = theme::of(ui);
    column.words(ui, 20.0, &[words::bold(&format!("{}.", schedule.gives), 14.0, greys.ink)]);
    column.words(ui, 20.0, &[words::plain(&schedule.evidence, 14.0, greys.ink)]);
}

/// What else there is to know of it.
fn notes_ui(ui: &mut Ui, column: &mut Column, schedule: &ScheduleView) {
    let greys = theme::of(ui);
    for note in &schedule.notes {
        let note = workbench::words::sentence(note);
        column.words(ui, 20.0, &[words::plain(&note, 14.0, greys.ink)]);
        column.skip(4.0);
    }
}

/// What to try next and why, and logging it; `told` are the cautions that stand in the panel already.
fn next_ui(ui: &mut Ui, column: &mut Column, told: &[(String, String)], screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let next = screen.bench.next_view();
    column.words(ui, 28.0, &[words::bold("What to try next", 18.0, greys.ink)]);
    if next.what.is_empty() {
        let text = next.empty.unwrap_or_else(|| "Being weighed …".into());
        column.words(ui, 20.0, &[words::plain(&text, 14.0, greys.ink)]);
    } else {
        column.words(ui, 22.0, &[words::bold(&next.what, 15.0, greys.ink)]);
        if let Some(noted) = &next.noted {
            column.words(ui, 20.0, &[words::plain(noted, 14.0, greys.ink)]);
        }
        column.words(ui, 20.0, &[words::plain(&next.why, 14.0, greys.ink)]);
        if !next.worth.is_empty() {
            column.words(ui, 20.0, &[words::plain(&next.worth, 14.0, greys.ink)]);
        }
        if let Some(left_out) = &next.left_out {
            column.words(ui, 20.0, &[words::plain(left_out, 14.0, greys.ink)]);
        }
        if let Some(or) = &next.or {
            column.skip(4.0);
            column.words(ui, 20.0, &[words::plain(or, 14.0, greys.ink2)]);
        }
        // A caution that the schedule has too stands there.
        let own: Vec<_> = next.cautions.iter().filter(|caution| !told.contains(caution)).cloned().collect();
        if own.len() < next.cautions.len() {
            column.words(ui, 20.0, &[words::bold("The cautions of the schedule hold for it too.", 14.0, greys.ink)]);
        }
        if !own.is_empty() {
            column.skip(8.0);
            caution::cautions_ui(ui, column, f32::INFINITY, &own);
        }
        if next.updating {
            column.words(ui, 20.0, &[words::plain("Being weighed anew …", 14.0, greys.ink2)]);
        }
    }
    column.skip(8.0);
    let label = match (&next.line, next.stop) {
        (Some(_), false) => "Log this trial",
        (Some(_), true) => "Log that trial",
        (None, _) => "Log another trial",
    };
    if button::button(ui, column.take(48.0), Look::Well, label, Some("3")).clicked() {
        if let Some(line) = next.line {
            screen.memory.log = line;
        }
        screen.act(FrameAction::Go(Area::Samples));
    }
}

fn step_ui(ui: &mut Ui, column: &mut Column, number: usize, name: &str, how: &str) {
    let greys = theme::of(ui);
    let inner = column.width - 24.0;
    let (name, how) = ([words::bold(name, 16.0, greys.ink)], [words::plain(how, 14.0, greys.ink)]);
    // Name and how on one line where they fit, else one above the other.
    let fits = words::line_width(ui, &name) + words::line_width(ui, &how) + 12.0 <= inner;
    let row = column.take(if fits { 32.0 } else { 48.0 });
    let y = row.min.y + 16.0;
    let left = row.min.x + 24.0;
    words::line(
        ui,
        Pos2::new(row.min.x, y),
        Align2::LEFT_CENTER,
        &[words::bold(&number.to_string(), 15.0, greys.ink2)],
    );
    words::short(ui, Pos2::new(left, y), Align2::LEFT_CENTER, inner, &name);
    if fits {
        words::line(ui, Pos2::new(row.max.x, y), Align2::RIGHT_CENTER, &how);
    } else {
        words::short(ui, Pos2::new(left, y + 20.0), Align2::LEFT_CENTER, inner, &how);
    }
}
