//! Which products may be poured together. Common practice, no source; the label wins, always.

use piece::{Kind, Product};

/// What carries a product's colour, and what thins it: products of one carrier mix.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Carrier {
    base: Base,
    reducer: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Base {
    Dye,
    WipingStain,
    Gel,
    Toner,
    Glaze,
}

/// Solvents by all their names (British and American words for one thing).
const SOLVENTS: [&[&str]; 3] = [
    &["white spirit", "mineral spirits", "mineral spirit"],
    &["meths", "methylated spirit", "methylated spirits", "denatured alcohol", "alcohol", "ethanol"],
    &["water", "clean water", "distilled water"],
];

/// The carrier of a product; None where it is not known what thins it, or for a filler: such a product is not mixed.
///
/// A dye's solvent follows from its kind where nothing else is said. Pigment, and dye with pigment, are both wiping stains;
/// a gel is mixed with gels only.
pub fn carrier(product: &Product) -> Option<Carrier> {
    let (base, usual) = match product.kind {
        Kind::WaterDye => (Base::Dye, "water"),
        Kind::AlcoholDye => (Base::Dye, "meths"),
        Kind::Pigment | Kind::DyeAndPigment => (Base::WipingStain, ""),
        Kind::Gel => (Base::Gel, ""),
        Kind::Toner => (Base::Toner, ""),
        Kind::Glaze => (Base::Glaze, ""),
        Kind::Filler => return None,
    };
    let said = product.reducer.trim().to_lowercase();
    let said = if said.is_empty() { usual } else { said.as_str() };
    // 'Its own reducer' says of no two products that it is the same.
    if said.is_empty() || said.starts_with("its own") {
        return None;
    }
    let solvent = SOLVENTS.iter().find(|names| names.contains(&said)).map_or(said, |names| names[0]);
    Some(Carrier { base, reducer: solvent.to_owned() })
}

/// Whether two products may be poured together: of one carrier, thinned by the same.
pub fn miscible(a: &Product, b: &Product) -> bool {
    carrier(a).is_some_and(|of_a| Some(of_a) == carrier(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use piece::ProductId;

    fn product(kind: Kind, reducer: &str) -> Product {
        Product { reducer: reducer.into(), ..Product::new(ProductId(1), "product", kind) }
    }

    /// Common practice, no source: oil and water do not mix, nor a powder for one solvent with one for another.
    #[test]
    fn only_what_one_thing_thins_is_poured_together() {
        let mixes = |a: (Kind, &str), b: (Kind, &str)| miscible(&product(a.0, a.1), &product(b.0, b.1));
        assert!(mixes((Kind::Pigment, "white spirit"), (Kind::Pigment, "Mineral spirits")));
        assert!(mixes((Kind::Pigment, "white spirit"), (Kind::DyeAndPigment, "white spirit")));
        assert!(mixes((Kind::AlcoholDye, ""), (Kind::AlcoholDye, "denatured alcohol")));
        assert!(!mixes((Kind::WaterDye, ""), (Kind::AlcoholDye, "")));
        assert!(!mixes((Kind::Pigment, "white spirit"), (Kind::Pigment, "water")));
        assert!(!mixes((Kind::Pigment, "water"), (Kind::WaterDye, "water")));
        assert!(!mixes((Kind::Gel, "white spirit"), (Kind::Pigment, "white spirit")));
        assert!(!mixes((Kind::Pigment, ""), (Kind::Pigment, "")));
        assert!(!mixes((Kind::Toner, "its own reducer"), (Kind::Toner, "its own reducer")));
        assert!(!mixes((Kind::Filler, "water"), (Kind::Filler, "water")));
    }
}
