//! Tonewright: opens the window, or runs a command.

use std::process::ExitCode;

use cli::{Outcome, Surroundings};

fn main() -> ExitCode {
    env_logger::init();
    let outcome = cli::run(
        std::env::args_os(),
        &mut Surroundings {
            input: &mut std::io::stdin().lock(),
            output: &mut std::io::stdout().lock(),
            errors: &mut std::io::stderr().lock(),
            has_display: has_display(),
        },
    );
    let start = match outcome {
        Outcome::Exit(code) => return ExitCode::from(code),
        Outcome::OpenWindow(paths) => app::Start::Paths(paths),
        Outcome::OpenDemo(id) => app::Start::Demo(id),
    };
    match app::run(start) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("tonewright: {error}");
            ExitCode::from(2)
        }
    }
}

/// Whether a window can be opened: elsewhere than on Linux and its relatives there is always a display.
fn has_display() -> bool {
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    cfg!(not(all(unix, not(target_os = "macos")))) || named("DISPLAY") || named("WAYLAND_DISPLAY")
}
