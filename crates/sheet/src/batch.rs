//! The mixes of a job as they stand on the sheet, with what they were reckoned from.

use piece::{Part, Piece, Step};

use crate::{Block, amount::Units, mixing::mixing};

/// The mixes in a table, with what each is made of, and how each amount was reckoned; nothing where nothing is mixed.
pub(crate) fn blocks<'a>(
    piece: &Piece,
    jobs: impl Iterator<Item = (&'a Part, &'a [Step])>,
    units: Units,
) -> Vec<Block> {
    let mixes = mixing(piece, jobs);
    if mixes.is_empty() {
        return Vec::new();
    }
    let made = mixes.iter().map(|mix| match mix.batch(units) {
        Some(batch) => vec![mix.what.clone(), units.liquid(batch.ml), mix.from_words(units, &batch)],
        None => vec![mix.what.clone(), "–".to_owned(), "measure the parts it goes on".to_owned()],
    });
    let reckoned = mixes
        .iter()
        .flat_map(|mix| mix.uses.iter().map(|one| vec![mix.what.clone(), one.name.clone(), one.words(units)]));
    vec![
        Block::Heading { level: 1, text: "Mix first, one batch for the whole job".to_owned() },
        Block::Table { head: ["mix", "make", "from"].map(str::to_owned).to_vec(), rows: made.collect() },
        Block::Text("A quarter more than the measured parts need. The product's label wins.".to_owned()),
        Block::Table { head: ["mix", "part", "reckoned from"].map(str::to_owned).to_vec(), rows: reckoned.collect() },
    ]
}
