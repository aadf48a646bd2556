//! The mixes of a job: one batch of each for all parts, so that they get their colour from one pot. Common practice, no
//! source: a quarter more than the parts need; dye is weighed for no less than a quarter litre.

use piece::{Part, Piece, ProductId, Step};
use predict::trade;

use crate::{Block, amount};

/// What a batch holds beyond the need.
const SPARE: f64 = 1.25;
/// The least dye solution worth weighing powder for, ml.
const LEAST_DYE_ML: f64 = 250.0;

/// How strong a mix is.
#[derive(Clone, Copy, PartialEq)]
enum Strength {
    /// Powder, grams to the litre.
    GramsPerLitre(f64),
    /// Parts of reducer to one part from the can.
    Reduced(f64),
}

struct Batch {
    product: ProductId,
    strength: Strength,
    name: String,
    ml: f64,
}

/// The mixes in a table, with what each is made of; nothing where nothing is mixed.
pub(crate) fn blocks<'a>(piece: &Piece, jobs: impl Iterator<Item = (&'a Part, &'a [Step])>) -> Vec<Block> {
    let mut batches: Vec<Batch> = Vec::new();
    for (part, steps) in jobs {
        for step in steps {
            let Some((product, strength)) = mixed(step) else { continue };
            let ml = part.area_m2.and_then(|area| trade::millilitres(piece, step, area)).unwrap_or(0.0) * SPARE;
            match batches.iter_mut().find(|batch| batch.product == product && batch.strength == strength) {
                Some(batch) => batch.ml += ml,
                None => batches.push(Batch { product, strength, name: trade::step_words(piece, step), ml }),
            }
        }
    }
    let rows: Vec<Vec<String>> = batches.iter().filter(|batch| batch.ml > 0.0).map(|batch| row(piece, batch)).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading { level: 1, text: "Mix first, one batch for the whole job".to_owned() },
        Block::Table { head: ["mix", "make", "from"].map(str::to_owned).to_vec(), rows },
        Block::Text("A quarter more than the measured parts need.".to_owned()),
    ]
}

fn mixed(step: &Step) -> Option<(ProductId, Strength)> {
    match step {
        Step::Dye { product, grams_per_litre, .. } => Some((*product, Strength::GramsPerLitre(*grams_per_litre))),
        Step::Stain { product, reducer_parts, .. } | Step::Glaze { product, reducer_parts } => {
            Some((*product, Strength::Reduced(*reducer_parts)))
        }
        _ => None,
    }
}

fn row(piece: &Piece, batch: &Batch) -> Vec<String> {
    let product = piece.product(batch.product);
    let reducer = product.map(|product| product.reducer.as_str()).filter(|name| !name.is_empty()).unwrap_or("reducer");
    let (ml, from) = match batch.strength {
        Strength::GramsPerLitre(strength) => {
            let ml = amount::rounded_up(batch.ml.max(LEAST_DYE_ML));
            (ml, format!("{:.1} g of powder in {reducer}", strength * ml / 1000.0))
        }
        Strength::Reduced(parts) if parts > 0.0 => {
            let can = amount::rounded_up(batch.ml / (1.0 + parts));
            (can * (1.0 + parts), format!("{can:.0} ml from the can, {:.0} ml of {reducer}", can * parts))
        }
        Strength::Reduced(_) => (amount::rounded_up(batch.ml), "from the can, stirred to the bottom".to_owned()),
    };
    vec![batch.name.clone(), amount::liquid(ml), from]
}

#[cfg(test)]
mod tests {
    use super::{Batch, Strength, row};
    use piece::{Piece, ProductId};

    // Common practice, no source: powder by weight to the litre, stain to reducer by volume.
    #[test]
    fn a_batch_holds_its_strength() {
        let cells = |strength, ml| {
            let batch = Batch { product: ProductId(1), strength, name: "mix".to_owned(), ml };
            row(&Piece::default(), &batch)[1..].join(": ")
        };
        assert_eq!(cells(Strength::GramsPerLitre(8.0), 30.0), "250 ml (8.5 fl oz): 2.0 g of powder in reducer");
        assert_eq!(cells(Strength::Reduced(2.0), 270.0), "270 ml (9 fl oz): 90 ml from the can, 180 ml of reducer");
        assert_eq!(cells(Strength::Reduced(0.0), 270.0), "270 ml (9 fl oz): from the can, stirred to the bottom");
    }
}
