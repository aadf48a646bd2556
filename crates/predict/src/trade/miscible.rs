//! Which products may be poured together. Common practice, no source; the label wins, always.

use piece::{Kind, Product};

use super::solvent::solvent;

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

/// The carrier of a product; None where it is not known what thins it, or for a filler: such a product is not mixed.
///
/// A dye's solvent follows from its kind where nothing else is said. Pigment, and dye with pigment, are both wiping stains;
/// a gel is mixed with gels only.
pub fn carrier(product: &Product) -> Option<Carrier> {
    Some(Carrier { base: base(product.kind)?, reducer: reducer(product)? })
}

fn base(kind: Kind) -> Option<Base> {
    Some(match kind {
        Kind::WaterDye | Kind::AlcoholDye => Base::Dye,
        Kind::Pigment | Kind::DyeAndPigment => Base::WipingStain,
        Kind::Gel => Base::Gel,
        Kind::Toner => Base::Toner,
        Kind::Glaze => Base::Glaze,
        Kind::Filler => return None,
    })
}

/// What thins a product, where that is known.
fn reducer(product: &Product) -> Option<String> {
    let usual = match product.kind {
        Kind::WaterDye => "water",
        Kind::AlcoholDye => "meths",
        _ => "",
    };
    let said = product.reducer.trim().to_lowercase();
    let said = if said.is_empty() { usual } else { said.as_str() };
    // 'Its own reducer' says of no two products that it is the same.
    (!said.is_empty() && !said.starts_with("its own")).then(|| solvent(said))
}

/// Whether two products surely do not pour together: of other bases, or thinned by other things.
pub fn immiscible(a: &Product, b: &Product) -> bool {
    let thinned = reducer(a).zip(reducer(b));
    base(a.kind) != base(b.kind) || thinned.is_some_and(|(of_a, of_b)| of_a != of_b)
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

    /// What is not known of two products does not say that they do not pour together (common practice, no source).
    #[test]
    fn what_surely_does_not_pour_together_is_known() {
        let apart = |a: (Kind, &str), b: (Kind, &str)| immiscible(&product(a.0, a.1), &product(b.0, b.1));
        assert!(apart((Kind::Pigment, "white spirit"), (Kind::AlcoholDye, "")));
        assert!(apart((Kind::WaterDye, ""), (Kind::AlcoholDye, "")));
        assert!(apart((Kind::Gel, ""), (Kind::Pigment, "")));
        assert!(apart((Kind::Pigment, "warm water"), (Kind::Pigment, "white spirit")));
        assert!(!apart((Kind::Pigment, "warm water"), (Kind::Pigment, "water")));
        assert!(!apart((Kind::Pigment, ""), (Kind::DyeAndPigment, "white spirit")));
        assert!(!apart((Kind::Toner, "its own reducer"), (Kind::Toner, "its own reducer")));
    }
}
