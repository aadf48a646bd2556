//! File dialogs, each on a thread of its own so that the window goes on.

use std::{
    path::PathBuf,
    sync::mpsc::{Receiver, Sender, channel},
};

use workbench::{Action, BookAction, SheetAction, StartAction};

/// Dialogs that are open, and the channel their answers arrive by.
pub(crate) struct Dialogs {
    sender: Sender<Option<Action>>,
    receiver: Receiver<Option<Action>>,
    open: usize,
}

impl Default for Dialogs {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, open: 0 }
    }
}

impl Dialogs {
    /// Asks for photos.
    pub(crate) fn photos(&mut self, ctx: &egui::Context) {
        self.ask(ctx, || {
            // Some desktops tell capitals from small letters.
            let kinds = ["jpg", "jpeg", "png", "tif", "tiff", "webp", "heic", "heif", "jxl", "bmp"];
            let kinds: Vec<String> = kinds.iter().flat_map(|kind| [(*kind).to_owned(), kind.to_uppercase()]).collect();
            let dialog = rfd::FileDialog::new().set_title("Choose photos").add_filter("Photos", &kinds);
            // A photo is told by what is in it: its name may end in anything.
            Some(StartAction::Take(dialog.add_filter("All files", &["*"]).pick_files()?).into())
        });
    }

    /// Asks for the folder of a piece.
    pub(crate) fn piece(&mut self, ctx: &egui::Context, start_in: PathBuf) {
        self.ask(ctx, move || {
            let dialog = rfd::FileDialog::new().set_title("Open the folder of a piece").set_directory(start_in);
            Some(StartAction::Open(dialog.pick_folder()?).into())
        });
    }

    /// Asks where to save the sheet.
    pub(crate) fn sheet(&mut self, ctx: &egui::Context, start_in: Option<PathBuf>) {
        self.ask(ctx, move || {
            let mut dialog = rfd::FileDialog::new().set_title("Save the sheet").set_file_name("work sheet.html");
            if let Some(folder) = start_in {
                dialog = dialog.set_directory(folder);
            }
            Some(SheetAction::Save(dialog.save_file()?).into())
        });
    }

    /// Asks for the file of a shop book.
    pub(crate) fn book(&mut self, ctx: &egui::Context, start_in: PathBuf) {
        self.ask(ctx, move || {
            let dialog = rfd::FileDialog::new().set_title("Choose a shop book").add_filter("Shop books", &["json"]);
            Some(BookAction::Choose(dialog.set_directory(start_in).pick_file()?).into())
        });
    }

    fn ask(&mut self, ctx: &egui::Context, dialog: impl FnOnce() -> Option<Action> + Send + 'static) {
        if self.open > 0 {
            return;
        }
        self.open += 1;
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let answered = std::thread::Builder::new().name("dialog".into()).spawn(move || {
            // The window may be closing: then nobody listens.
            let _ = sender.send(dialog());
            ctx.request_repaint();
        });
        if answered.is_err() {
            self.open -= 1;
        }
    }

    /// The answers that have arrived.
    pub(crate) fn answers(&mut self) -> Vec<Action> {
        let mut answers = Vec::new();
        while let Ok(answer) = self.receiver.try_recv() {
            self.open = self.open.saturating_sub(1);
            answers.extend(answer);
        }
        answers
    }
}
