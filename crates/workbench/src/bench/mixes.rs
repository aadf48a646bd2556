//! Entering mixes that were looked for, at the moment at which a schedule with them is taken over.

use std::{borrow::Cow, collections::BTreeMap};

use piece::{Edit, Piece, Product, ProductId, Step, edit::ProductEdit};

use super::Workbench;

/// The edits that enter the mixes that steps name, and by what ids the steps name them then. A mix that is in the piece by
/// now is not entered again.
pub(super) fn entering<'s>(
    piece: &Piece,
    mixes: &[Product],
    steps: impl IntoIterator<Item = &'s Step>,
) -> (Vec<Edit>, Renamed) {
    let named: Vec<ProductId> = steps.into_iter().filter_map(product_of).collect();
    let (mut edits, mut renamed) = (Vec::new(), BTreeMap::new());
    for mix in mixes.iter().filter(|mix| named.contains(&mix.id)) {
        let same = |other: &Product| other.mix == mix.mix && other.kind == mix.kind;
        let id = match piece.products.iter().find(|other| same(other)) {
            Some(there) => there.id,
            None => {
                let id = piece.ids.ahead(edits.len() as u32);
                edits.push(Edit::Product(ProductEdit::Add(mix.clone())));
                id
            }
        };
        renamed.insert(mix.id, id);
    }
    (edits, Renamed(renamed))
}

/// Ids of mixes once they are entered.
pub(super) struct Renamed(BTreeMap<ProductId, ProductId>);

impl Renamed {
    /// The step with the product as it is called in the piece.
    pub(super) fn step(&self, step: &Step) -> Step {
        let mut step = step.clone();
        match &mut step {
            Step::Dye { product, .. }
            | Step::Stain { product, .. }
            | Step::Glaze { product, .. }
            | Step::Toner { product, .. } => *product = self.0.get(product).copied().unwrap_or(*product),
            _ => {}
        }
        step
    }
}

fn product_of(step: &Step) -> Option<ProductId> {
    match step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => Some(*product),
        _ => None,
    }
}

impl Workbench {
    /// The mixes that were found for the piece as it is now: a line may name them.
    pub(super) fn offered_mixes(&self) -> Vec<Product> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let next = self.results.next.as_ref().filter(|tagged| tagged.is_current(piece));
        let rankings = self.results.rankings.values().filter(|tagged| tagged.is_current(piece));
        let of_next = next.and_then(|tagged| tagged.value.as_ref().ok()).into_iter();
        let of_next = of_next.flat_map(|next| next.rows.iter().flat_map(|row| &row.mixes));
        let of_rankings = rankings.filter_map(|tagged| tagged.value.as_ref().ok()).flat_map(|ranking| &ranking.mixes);
        let mut mixes: Vec<Product> = Vec::new();
        for mix in of_next.chain(of_rankings) {
            if mixes.iter().all(|other| other.id != mix.id) {
                mixes.push(mix.clone());
            }
        }
        mixes
    }

    /// The piece as a line may speak of it: with the mixes that were found.
    pub(super) fn piece_with_mixes<'p>(&self, piece: &'p Piece) -> Cow<'p, Piece> {
        predict::with_mixes(piece, &self.offered_mixes())
    }
}
