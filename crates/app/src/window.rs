//! The window itself: one frame after another, actions applied in between.

use std::sync::Arc;

use egui::{Context, Ui};
use workbench::{Action, FrameAction, StartAction, Theme, Workbench};

use crate::{
    Start, areas, frame, keys,
    screen::{Memory, Screen},
    theme, widgets,
};

/// What a failed save on closing is followed by.
const AGAIN: &str = "Close again to leave without saving.";

/// The window and the workbench it shows.
pub struct Window {
    bench: Workbench,
    memory: Memory,
    theme: Option<Theme>,
    actions: Vec<Action>,
}

impl Window {
    /// A window on this workbench.
    pub fn new(ctx: &Context, mut bench: Workbench, start: Start) -> Self {
        ctx.set_fonts(theme::fonts());
        let wake = ctx.clone();
        bench.set_wake(Arc::new(move || wake.request_repaint()));
        match start {
            Start::Demo(id) => bench.apply(StartAction::Demo(id).into()),
            Start::Paths(paths) if !paths.is_empty() => bench.apply(StartAction::Take(paths).into()),
            Start::Paths(_) => bench.apply(StartAction::Last.into()),
        }
        Self { bench, memory: Memory::default(), theme: None, actions: Vec::new() }
    }

    /// The workbench.
    pub fn bench(&self) -> &Workbench {
        &self.bench
    }

    /// The workbench, to change from outside the window: for tests.
    pub fn bench_mut(&mut self) -> &mut Workbench {
        &mut self.bench
    }

    /// Draws one frame and applies what was done in it.
    pub fn frame_ui(&mut self, ui: &mut Ui) {
        self.bench.poll();
        if self.theme != Some(self.bench.theme()) {
            self.theme = Some(self.bench.theme());
            theme::install(ui.ctx(), self.bench.theme());
        }
        self.memory.tidy(self.bench.shown_photo());
        let mut actions = std::mem::take(&mut self.actions);
        actions.extend(self.memory.dialogs.answers());
        actions.extend(dropped(ui));
        let mut screen = Screen { bench: &self.bench, memory: &mut self.memory, actions: &mut actions };
        keys::keys(ui, &mut screen);
        let all = ui.max_rect();
        let places = frame::Places::of(all, frame::status::height(ui, all.width(), screen.bench.status()));
        frame::ground_ui(ui, &places);
        frame::top_bar::top_bar_ui(ui, places.top, &mut screen);
        frame::strip::strip_ui(ui, places.strip, &mut screen);
        frame::tabs::tabs_ui(ui, &places, &mut screen);
        frame::problems::problems_ui(ui, &places, &mut screen);
        areas::areas_ui(ui, &places, &mut screen);
        frame::status::status_ui(ui, places.status, &mut screen);
        if ui.input(|input| !input.raw.hovered_files.is_empty()) {
            widgets::words::tag(ui, places.work.center(), egui::Align2::CENTER_CENTER, "let go to take it in");
        }
        let any = !actions.is_empty();
        for action in actions.drain(..) {
            self.bench.apply(action);
        }
        self.actions = actions;
        if any {
            ui.ctx().request_repaint();
        }
    }
}

/// Files dropped on the window.
fn dropped(ui: &Ui) -> Option<Action> {
    let paths: Vec<_> = ui.input(|input| {
        let paths = input.raw.dropped_files.iter().map(|file| file.path().to_path_buf());
        paths.filter(|path| !path.as_os_str().is_empty()).collect()
    });
    (!paths.is_empty()).then(|| StartAction::Take(paths).into())
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.frame_ui(ui);
        if ui.input(|input| input.viewport().close_requested()) {
            // Closing again leaves all the same: the autosave holds what could not be saved.
            let again = self.bench.status().happened.ends_with(AGAIN);
            if !self.bench.save_before_leaving() && !again {
                let line = format!("{} {AGAIN}", self.bench.status().happened);
                ui.ctx().send_viewport_cmd(egui::ViewportCommand::CancelClose);
                self.bench.apply(FrameAction::Say { line, failed: true }.into());
            }
        }
    }

    fn persist_egui_memory(&self) -> bool {
        false
    }
}
