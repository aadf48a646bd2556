//! Makes `piece.json` of the two demo pieces in `demo-projects/`: `cargo run -p piece --example make-demo-pieces`.
//!
//! All data are invented. The colours are those the photos were rendered from, moved by small made-up errors within the
//! covariances that the readings state; the regions are the panels of the rendered photos.

mod bureau;
mod chest;
mod studio;

use std::{error::Error, fs, path::Path};

use piece::{Piece, store};

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    for (name, make) in
        [("oak-chest", chest::piece as fn(&str) -> studio::Made<Piece>), ("cherry-bureau", bureau::piece)]
    {
        let truth = fs::read_to_string(root.join("crates/scene/demo").join(format!("{name}.truth.json")))?;
        let piece = make(&truth)?;
        let path = root.join("demo-projects").join(name);
        if path.join(store::PIECE_FILE).exists() {
            fs::remove_file(path.join(store::PIECE_FILE))?;
        }
        let folder = store::create(&path, &piece)?;
        let problems = folder.check(&piece);
        if let Some(problem) = problems.first() {
            return Err(format!("{name}: {problem} (and {} more)", problems.len() - 1).into());
        }
    }
    Ok(())
}
