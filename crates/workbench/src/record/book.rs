//! `book --json`.

use std::collections::BTreeSet;

use piece::{Book, Step, book::Merged};
use serde::Serialize;

/// What a shop book knows.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BookRecord {
    /// Its products, in the order in which they came in; then bleaches.
    pub products: Vec<BookProductRecord>,
}

/// What it knows of one product, or of the bleaches.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BookProductRecord {
    /// The product's name; 'bleaches' for these.
    pub name: String,
    /// How often it was used.
    pub uses: usize,
    /// On which woods.
    pub woods: Vec<String>,
    /// On which pieces.
    pub pieces: Vec<String>,
    /// Its lots, where they were noted.
    pub lots: Vec<String>,
}

/// What entering a piece, or merging a book, brought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct MergedRecord {
    /// Uses that were new.
    pub uses: usize,
    /// Uses of which a newer account now stands.
    pub renewed: usize,
    /// Products that were new.
    pub products: usize,
}

impl From<Merged> for MergedRecord {
    fn from(merged: Merged) -> Self {
        Self { uses: merged.uses, renewed: merged.renewed, products: merged.products }
    }
}

impl BookRecord {
    /// The record of a book.
    pub fn new(book: &Book) -> Self {
        let of_product = book.products.iter().map(|product| {
            row(book, product.name.clone(), |step| match step {
                Step::Dye { product: id, .. }
                | Step::Stain { product: id, .. }
                | Step::Glaze { product: id, .. }
                | Step::Toner { product: id, .. } => *id == product.id,
                _ => false,
            })
        });
        let bleaches = row(book, "bleaches".to_owned(), |step| matches!(step, Step::Bleach { .. }));
        Self { products: of_product.chain((bleaches.uses > 0).then_some(bleaches)).collect() }
    }
}

fn row(book: &Book, name: String, of_it: impl Fn(&Step) -> bool) -> BookProductRecord {
    let uses: Vec<_> = book.uses.iter().filter(|one| of_it(&one.step)).collect();
    let distinct = |text: fn(&piece::PastUse) -> &str| -> Vec<String> {
        let all: BTreeSet<&str> = uses.iter().map(|one| text(one)).filter(|text| !text.is_empty()).collect();
        all.into_iter().map(str::to_owned).collect()
    };
    BookProductRecord {
        name,
        uses: uses.len(),
        woods: distinct(|one| &one.wood),
        pieces: distinct(|one| &one.source.piece),
        lots: distinct(|one| &one.lot),
    }
}
