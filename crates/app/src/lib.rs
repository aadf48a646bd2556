//! The window: draws a workbench and returns actions.
//!
//! Start with [`run`]. Drawing takes a [`Workbench`](workbench::Workbench) and pushes [`Action`](workbench::Action)s, which
//! are applied in order after the frame; nothing else changes the piece. No colour is computed here: swatches come as
//! bytes.

mod areas;
mod dialogs;
mod frame;
mod keys;
mod screen;
pub mod theme;
mod widgets;
mod window;

use std::path::PathBuf;

pub use window::Window;

/// What the window opens on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Start {
    /// The folder of a piece, or photos; none: the piece that was open last, or the start page.
    Paths(Vec<PathBuf>),
    /// A demo by its id, copied first.
    Demo(String),
}

impl Default for Start {
    fn default() -> Self {
        Self::Paths(Vec::new())
    }
}

/// Why the window could not be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error(String);

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Error {}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// One readable line where there is no display, or no OpenGL.
pub fn run(start: Start) -> Result<(), Error> {
    #[cfg(target_os = "linux")]
    if std::env::var_os("DISPLAY").is_none_or(|d| d.is_empty())
        && std::env::var_os("WAYLAND_DISPLAY").is_none_or(|d| d.is_empty())
    {
        return Err(Error("there is no display here: use the commands instead, see `tonewright --help`".into()));
    }
    let viewport = egui::ViewportBuilder::default()
        .with_title("Tonewright")
        .with_app_id("tonewright")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([1024.0, 700.0]);
    let options = eframe::NativeOptions { viewport, ..Default::default() };
    let create = move |cc: &eframe::CreationContext<'_>| -> Result<Box<dyn eframe::App>, Box<dyn std::error::Error + Send + Sync>> {
        Ok(Box::new(Window::new(&cc.egui_ctx, workbench::Workbench::default(), start)))
    };
    eframe::run_native("tonewright", options, Box::new(create)).map_err(|error| Error(readable(&error.to_string())))
}

/// What stands in the way, and the way out.
fn readable(error: &str) -> String {
    let has = |words: &[&str]| words.iter().any(|word| error.to_lowercase().contains(word));
    if has(&["libraryopen", "library", "xnotsupported"]) {
        "the window needs the X11 or Wayland libraries: install libx11-6, libxcursor1, libxi6 and libxkbcommon-x11-0, or use the commands".into()
    } else if has(&["glutin", "opengl", "glconfig", "egl"]) {
        "the window needs OpenGL 2 or later: install libgl1, libegl1 and libgl1-mesa-dri, or use the commands".into()
    } else {
        format!("the window could not be opened ({error}): use the commands instead, see `tonewright --help`")
    }
}

#[cfg(test)]
mod tests {
    use super::readable;

    /// The messages that the window library gives without libX11 and without GL, as seen in a bare system.
    #[test]
    fn a_missing_library_is_said_with_the_way_out() {
        assert!(readable("WinitEventLoop(NotSupported(XNotSupported(LibraryOpenError)))").contains("libx11-6"));
        assert!(readable("Found no glutin configs matching the template: NoGlutinConfigs").contains("libgl1"));
        assert!(readable("something else").contains("something else"));
    }
}
