//! The mixes of a job as they stand on the sheet, with what they were reckoned from.

use piece::{Part, Piece, Step};

use crate::{Block, Mix, amount::Units, mixing::mixing};

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
    let table = Block::Table { head: ["mix", "make", "from"].map(str::to_owned).to_vec(), rows: made.collect() };
    let spare = "A quarter more than the measured parts need, as reckoned here. The product's label wins.".to_owned();
    let head = Block::Heading { level: 1, text: "Mix first, one batch for the whole job".to_owned() };
    let reckoned = mixes.iter().map(|mix| Block::Text(reckoned(mix, units)));
    [head, table, Block::Text(spare)].into_iter().chain(reckoned).collect()
}

fn reckoned(mix: &Mix, units: Units) -> String {
    let parts = mix.reckoned(units).into_iter().map(|(names, words)| {
        let each = if names.len() > 1 { ", each" } else { "" };
        format!("{}{each}: {words}", names.join(", "))
    });
    format!("{} for {}.", mix.what, parts.collect::<Vec<_>>().join("; "))
}
