//! The commands as a user types them: output, exit codes, and one clear line for every mistake.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod arguments;
mod assumed;
mod book;
mod colour_out;
mod demo;
mod differ;
mod differences;
mod mistakes;
mod mixing;
mod piece;
mod read;
mod regions;
mod schema;
mod tile;
mod trade;
mod trials;

use std::ffi::OsString;

use cli::{Outcome, Surroundings};

/// What a command gave back.
struct Ran {
    code: u8,
    output: String,
    errors: String,
}

/// Runs a command without a display.
fn run(arguments: &[&str], input: &str) -> Ran {
    let (outcome, output, errors) = run_with(arguments, input, false);
    let Outcome::Exit(code) = outcome else { panic!("{arguments:?} wants a window: {outcome:?}") };
    Ran { code, output, errors }
}

fn run_with(arguments: &[&str], input: impl AsRef<[u8]>, has_display: bool) -> (Outcome, String, String) {
    let (mut output, mut errors) = (Vec::new(), Vec::new());
    let arguments = std::iter::once("tonewright").chain(arguments.iter().copied()).map(OsString::from);
    let outcome = cli::run(
        arguments,
        &mut Surroundings { input: &mut input.as_ref(), output: &mut output, errors: &mut errors, has_display },
    );
    let text = |bytes| String::from_utf8(bytes).expect("output is UTF-8");
    (outcome, text(output), text(errors))
}

/// Exit code 2, nothing on standard output, and exactly one line that contains each of the words.
fn refused(ran: &Ran, words: &[&str]) {
    assert_eq!(ran.code, 2, "{}{}", ran.output, ran.errors);
    assert_eq!(ran.output, "");
    assert_eq!(ran.errors.lines().count(), 1, "{}", ran.errors);
    for word in words {
        assert!(ran.errors.contains(word), "'{word}' is not in: {}", ran.errors);
    }
}

/// The folder of a demo piece.
fn demo_folder(name: &str) -> String {
    let tests = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.join("../demo-projects").join(name).display().to_string()
}
