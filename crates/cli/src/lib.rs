//! Arguments in, text or JSON out, over the same jobs as the window.
//!
//! [`run`] does everything but open the window: where that is wanted it says so ([`Outcome::OpenWindow`]), and the
//! program does it. Exit codes: 0 done; 1 the answer is 'no'; 2 could not be done, with one line on standard error.

mod arguments;
mod book;
mod cards;
mod colour_out;
mod demo;
mod differ;
mod piece;
mod read;
mod table;
mod words;

use std::{
    ffi::OsString,
    io::{Read, Write},
    path::PathBuf,
};

use clap::{Parser, error::ErrorKind};

use arguments::{Arguments, Command};

/// What the program is to do once the arguments are dealt with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// End with this exit code.
    Exit(u8),
    /// Open the window on these paths (a piece folder or photos); on the last piece or the start page without any.
    OpenWindow(Vec<PathBuf>),
    /// Open the window on a copy of this demo piece.
    OpenDemo(String),
}

/// Done.
const DONE: u8 = 0;
/// The answer is 'no'.
const NO: u8 = 1;
/// It could not be done.
const FAILED: u8 = 2;

/// The streams a command talks to, and whether there is a display to open a window on.
pub struct Surroundings<'a> {
    /// Standard input.
    pub input: &'a mut dyn Read,
    /// Standard output.
    pub output: &'a mut dyn Write,
    /// Standard error.
    pub errors: &'a mut dyn Write,
    /// Whether a window can be opened.
    pub has_display: bool,
}

/// Runs the command that the arguments name (the first is the program's own name).
pub fn run(arguments: impl IntoIterator<Item = OsString>, surroundings: &mut Surroundings<'_>) -> Outcome {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => return refuse(&error, surroundings),
    };
    let outcome = match arguments.command {
        Some(command) => dispatch(command, surroundings),
        None => open(arguments.paths),
    };
    match outcome {
        Ok(outcome) => outcome,
        Err(error) if is_closed_pipe(&error) => Outcome::Exit(DONE),
        Err(error) => {
            let text = match error.downcast_ref::<std::io::Error>() {
                Some(error) => format!("standard output: cannot be written: {error}; send it elsewhere"),
                None => error.to_string(),
            };
            let _ = writeln!(surroundings.errors, "tonewright: {}", one_line(&text));
            Outcome::Exit(FAILED)
        }
    }
}

/// The window on these paths, once it is known that they are there: a mistyped command looks like one that is not.
fn open(paths: Vec<PathBuf>) -> anyhow::Result<Outcome> {
    if let Some(missing) = paths.iter().find(|path| !path.exists()) {
        anyhow::bail!("{}: is no command, and no such file or folder: see tonewright --help", missing.display());
    }
    Ok(Outcome::OpenWindow(paths))
}

fn dispatch(command: Command, surroundings: &mut Surroundings<'_>) -> anyhow::Result<Outcome> {
    let output = &mut *surroundings.output;
    let code = match command {
        Command::Open { piece } => return piece::open(piece),
        Command::Demo { name } => return demo::demo(name.as_deref(), surroundings),
        Command::Read(read) => read::read(&read, output, surroundings.errors)?,
        Command::Differ(json) => differ::differ(json.json, surroundings.input, output)?,
        Command::Compare { piece, json } => piece::compare(&piece, json.json, output)?,
        Command::Rank { piece, part, all, json } => piece::rank(&piece, &part, all, json.json, output)?,
        Command::Routes { piece, units, json } => piece::routes(&piece, units.into(), json.json, output)?,
        Command::Next { piece, json } => piece::next(&piece, json.json, output)?,
        Command::ColourOut(asked) => colour_out::colour_out(&asked, output)?,
        Command::Sheet { piece, output: file, units } => piece::sheet(&piece, &file, units.into(), output)?,
        Command::Check { piece, json } => piece::check(&piece, json.json, output)?,
        Command::Book(asked) => book::book(&asked, output)?,
        Command::Cards { file, json } => cards::cards(file.as_deref(), json.json, output)?,
    };
    Ok(Outcome::Exit(code))
}

/// Help and version go to standard output; a mistake in the arguments is one line with the way out.
fn refuse(error: &clap::Error, surroundings: &mut Surroundings<'_>) -> Outcome {
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        let _ = write!(surroundings.output, "{error}");
        return Outcome::Exit(DONE);
    }
    let text = error.to_string();
    let what = text.lines().map(str::trim).take_while(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
    let what = what.trim_start_matches("error: ");
    let _ = writeln!(surroundings.errors, "tonewright: {}; see tonewright --help", one_line(what));
    Outcome::Exit(FAILED)
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether the reader of our output has gone: `tonewright cards | head -1` is no failure.
fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.downcast_ref::<std::io::Error>().is_some_and(|error| error.kind() == std::io::ErrorKind::BrokenPipe)
}
