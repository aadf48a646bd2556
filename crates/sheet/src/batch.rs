//! The mixes of a job as they stand on the sheet, with what they were reckoned from.

use piece::{Part, Piece, Step};

use crate::{
    Block, Mix,
    amount::Units,
    mixing::{SPARE_WORDS, Strength, mixing},
    work_sheet::capitalised,
};

/// What is said where liquids are in ounces: a quarter of an ounce is more than most batches take.
///
/// # Source
/// NIST Special Publication 811, Appendix B: 1 oz (avoirdupois) = 28.349 52 g.
const POWDER_IN_GRAMS: &str = " Powder is weighed in grams: an ounce is 28.35 g.";

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
    let mut spare = format!("{}, as reckoned here. The product's label wins.", capitalised(SPARE_WORDS));
    let is_powder = |mix: &Mix| matches!(mix.strength, Strength::GramsPerLitre(_));
    if units == Units::UsCustomary && mixes.iter().any(is_powder) {
        spare.push_str(POWDER_IN_GRAMS);
    }
    let head = Block::Heading { level: 1, text: "Mix first, one batch for the whole job".to_owned() };
    let reckoned = mixes.iter().map(|mix| Block::Text(reckoned(mix, units)));
    [head, table, Block::Text(spare)].into_iter().chain(reckoned).collect()
}

fn reckoned(mix: &Mix, units: Units) -> String {
    let parts = mix.reckoned(units).into_iter().map(|(names, words)| {
        let each = if names.len() > 1 { ", each" } else { "" };
        format!("{}{each}: {words}", names.join(", "))
    });
    let parts = parts.collect::<Vec<_>>().join("; ");
    let set_by = mix.batch(units).and_then(|batch| mix.set_by(units, &batch));
    let set_by = set_by.map(|words| format!(" {}.", capitalised(&words)));
    format!("{} for {parts}.{}", mix.what, set_by.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use piece::{Kind, PartId, Product, ProductId};

    use super::*;

    /// Grams beside fluid ounces are said to be meant; where there is no powder, or nothing but metric, they need no word.
    #[test]
    fn grams_beside_ounces_are_explained() {
        let mut piece = Piece::default();
        piece.products.push(Product::new(ProductId(1), "amber dye", Kind::AlcoholDye).into());
        piece.products.push(Product::new(ProductId(2), "oak stain", Kind::Pigment).into());
        let top = Part { area_m2: Some(1.0), ..Part::new(PartId(1), "top", "oak") };
        let dye = Step::Dye { product: ProductId(1), grams_per_litre: 4.0, coats: 1 };
        let stain = Step::Stain { product: ProductId(2), reducer_parts: 1.0, coats: 1, wipe_minutes: None };
        for (step, units, is_said) in
            [(&dye, Units::UsCustomary, true), (&dye, Units::Metric, false), (&stain, Units::UsCustomary, false)]
        {
            let job = [(&top, std::slice::from_ref(step))];
            let said = blocks(&piece, job.into_iter(), units).iter().any(|block| match block {
                Block::Text(text) => text.contains(POWDER_IN_GRAMS),
                _ => false,
            });
            assert_eq!(said, is_said, "{step:?} {units:?}");
        }
    }
}
