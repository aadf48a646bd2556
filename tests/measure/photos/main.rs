//! Reads every photo of a folder and holds what was read against what is known of it.
//!
//! `cargo run --release -p acceptance --bin measure-photos -- FOLDER [--by-hand]`
//!
//! FOLDER/photos.csv has a line per photo: file, group, chart (yes, no, other, partial), kind, processed (yes, no), width,
//! height, orientation, x1,y1 … x4,y4 (outer corners of the patch grid, upright pixels) and gap_fraction. With
//! `--by-hand` the cards are fitted at those corners in place of the finder's.
//!
//! Printed per photo, per group and in sum: what was found, errors of patches left out, stated 90 % regions, what a card of
//! greys or few patches would have told, warnings and times; each table with its denominator and what it leaves out, by name.

mod errors;
mod found;
mod greys;
mod grid;
mod groups;
mod intervals;
mod manifest;
mod photo;
mod quality;
mod rows;
mod times;
mod warnings;

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use photo::Photo;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let by_hand = arguments.iter().any(|argument| argument == "--by-hand");
    let Some(folder) = arguments.iter().find(|argument| !argument.starts_with("--")) else {
        eprintln!("measure-photos: name the folder that holds photos.csv");
        return ExitCode::from(2);
    };
    match run(Path::new(folder), by_hand) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("measure-photos: {error}");
            ExitCode::from(2)
        }
    }
}

fn run(folder: &Path, by_hand: bool) -> Result<(), String> {
    let listed = manifest::listed(folder)?;
    // One photo at a time, so that the times are those of a photo read alone.
    let photos: Vec<Photo> = listed.into_iter().map(|listed| Photo::read(folder, listed, by_hand)).collect();
    print(&photos).map_err(|error| error.to_string())
}

fn print(photos: &[Photo]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    rows::print(&mut out, photos)?;
    groups::print(&mut out, photos)?;
    found::print(&mut out, photos)?;
    errors::print(&mut out, photos)?;
    intervals::print(&mut out, photos)?;
    greys::print(&mut out, photos)?;
    warnings::print(&mut out, photos)?;
    times::print(&mut out, photos)?;
    out.flush()
}
