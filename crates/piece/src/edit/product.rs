//! Edits of products.

use std::sync::Arc;

use super::{give, name_free, place, unused};
use crate::{Error, PastUse, Piece, Product, ProductId, uses, valid};

/// A change to the products.
#[derive(Clone, Debug, PartialEq)]
pub enum ProductEdit {
    /// Adds a product or a mix; its id is given by the piece.
    Add(Product),
    /// Puts this in the place of the product with the same id.
    Change(Product),
    /// Removes a product that no trial, mix or plan uses.
    Remove(ProductId),
    /// What the shop book knows of the products and of bleaches, in the place of what was taken up before.
    TakeUp(Vec<PastUse>),
}

impl ProductEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Add(_) => "add product",
            Self::Change(_) => "change product",
            Self::Remove(_) => "remove product",
            Self::TakeUp(_) => "take up the shop book",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Add(product) => {
                fits(piece, product, None)?;
                let id = give(piece)?;
                piece.products.push(Arc::new(Product { id, name: product.name.trim().into(), ..product.clone() }));
                Ok(())
            }
            Self::Change(product) => {
                let at = place(&piece.products, |product| product.id, product.id)?;
                fits(piece, product, Some(product.id))?;
                piece.products[at] = Arc::new(Product { name: product.name.trim().into(), ..product.clone() });
                Ok(())
            }
            Self::Remove(id) => {
                let at = place(&piece.products, |product| product.id, *id)?;
                unused(|| format!("product '{}'", piece.products[at].name), &uses::of_product(piece, *id))?;
                piece.products.remove(at);
                piece.past.retain(|past| valid::product_of(&past.step) != Some(*id));
                Ok(())
            }
            Self::TakeUp(past) => {
                past.iter().try_for_each(|past| valid::past_use(piece, past))?;
                piece.past.clone_from(past);
                Ok(())
            }
        }
    }
}

fn fits(piece: &Piece, product: &Product, own: Option<ProductId>) -> Result<(), Error> {
    valid::product(piece, product, own)?;
    let mixed_elsewhere = |id| piece.products.iter().any(|other| other.mix.iter().any(|share| share.product == id));
    if !product.mix.is_empty() && own.is_some_and(mixed_elsewhere) {
        let at = format!("product '{}'", product.name);
        return Err(Error::invalid(at, "is itself in another mix: a mix is of products from the can"));
    }
    let others = piece.products.iter().filter(|other| Some(other.id) != own);
    name_free("product", &product.name, others.map(|other| other.name.as_str()))
}
