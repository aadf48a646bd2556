//! The shop book: what a shop's products have done on its pieces, carried from one to the next.
//!
//! A [`Book`] holds products and their past uses. [`Book::merge`] takes in what a piece, or another book, has to tell; what
//! is there already is not taken twice. [`Book::uses_for`] gives what it knows of the products of a piece, matched by name
//! and kind, to be taken up there by an edit.

use std::{collections::BTreeMap, sync::Arc};

use crate::{PastUse, Piece, Product, ProductId, Step, valid};

/// Products and what they have done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Book {
    /// The products, each once by name and kind; ids are the book's own.
    pub products: Vec<Arc<Product>>,
    /// Their past uses, and those of bleaches, in order of their sources.
    pub uses: Vec<PastUse>,
}

/// What a merge brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// Products that were new.
    pub products: usize,
    /// Uses that were new.
    pub uses: usize,
    /// Uses that took the place of an older account of the same trial.
    pub renewed: usize,
}

impl Book {
    /// Takes in products and their uses. A product of the same name and kind is the same one; a use from the same place is
    /// the same one, and the new account of it stands.
    pub fn merge(&mut self, products: &[Arc<Product>], uses: &[PastUse]) -> Merged {
        let mut merged = Merged::default();
        let mut own: BTreeMap<ProductId, ProductId> = BTreeMap::new();
        let used: Vec<ProductId> = uses.iter().filter_map(|one| valid::product_of(&one.step)).collect();
        for product in products.iter().filter(|product| used.contains(&product.id)) {
            let known = self.products.iter().find(|known| same(known, product)).map(|known| known.id);
            let id = known.unwrap_or_else(|| {
                let last = self.products.iter().map(|product| product.id.0).max().unwrap_or(0);
                let id = ProductId(last + 1);
                // What a mix is made of is known where it was mixed; here it is one more product with its uses.
                self.products.push(Arc::new(Product { id, mix: Vec::new(), ..Product::clone(product) }));
                merged.products += 1;
                id
            });
            own.insert(product.id, id);
        }
        for one in uses {
            let Some(step) = with_product(&one.step, &own) else { continue };
            let one = PastUse { step, ..one.clone() };
            match self.uses.iter_mut().find(|known| known.source == one.source) {
                Some(known) => {
                    merged.renewed += usize::from(*known != one);
                    *known = one;
                }
                None => {
                    merged.uses += 1;
                    self.uses.push(one);
                }
            }
        }
        self.uses.sort_by(|a, b| a.source.cmp(&b.source));
        merged
    }

    /// The past uses of the products of this piece, and of bleaches, with the piece's own ids; without those that come
    /// from the piece itself.
    pub fn uses_for(&self, piece: &Piece) -> Vec<PastUse> {
        let pairs = self.products.iter().filter_map(|known| {
            piece.products.iter().find(|product| same(known, product)).map(|product| (known.id, product.id))
        });
        let theirs: BTreeMap<ProductId, ProductId> = pairs.collect();
        let elsewhere = self.uses.iter().filter(|one| one.source.piece != piece.name);
        elsewhere.filter_map(|one| Some(PastUse { step: with_product(&one.step, &theirs)?, ..one.clone() })).collect()
    }
}

/// Whether two entries are the same product: the same name, but for case and blanks around it, and the same kind.
fn same(a: &Product, b: &Product) -> bool {
    a.kind == b.kind && a.name.trim().to_lowercase() == b.name.trim().to_lowercase()
}

/// The step with the id of its product changed; none where that is not among them.
fn with_product(step: &Step, ids: &BTreeMap<ProductId, ProductId>) -> Option<Step> {
    let mut step = step.clone();
    match &mut step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. }
        | Step::Fill { product: Some(product) } => *product = *ids.get(product)?,
        _ => {}
    }
    Some(step)
}

#[cfg(test)]
mod tests;
