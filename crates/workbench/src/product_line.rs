//! A product added or changed from the log line: `new amber dye, alcohol dye, covers 9`, `change amber dye, lot 47`.

use piece::{Kind, Piece, Product, ProductId, edit::ProductEdit};

/// What a product may be called by kind, as it is typed.
const KINDS: [(&str, Kind, &str); 8] = [
    ("water dye", Kind::WaterDye, "water"),
    ("alcohol dye", Kind::AlcoholDye, "meths"),
    ("pigment", Kind::Pigment, "white spirit"),
    ("gel", Kind::Gel, "neutral base"),
    ("dye and pigment", Kind::DyeAndPigment, "white spirit"),
    ("toner", Kind::Toner, "its own reducer"),
    ("glaze", Kind::Glaze, "glaze base"),
    ("filler", Kind::Filler, "its own reducer"),
];
/// What may be said of a product behind its name and kind.
const SAYS: &str = "covers 9 (m² to the litre), dries 2 (hours), reducer meths, lot 47";

/// The edit that a line asks for; none where it begins with neither `new ` nor `change `.
///
/// # Errors
/// One line saying how it is written, where the name or the kind is missing, what is said is not understood, or no
/// product has this name.
pub fn product_line(line: &str, piece: &Piece) -> Option<Result<ProductEdit, String>> {
    let line = line.trim();
    let added = line.strip_prefix("new ").map(|rest| added(rest).map(ProductEdit::Add));
    added.or_else(|| Some(changed(line.strip_prefix("change ")?, piece).map(ProductEdit::Change)))
}

fn added(rest: &str) -> Result<Product, String> {
    let clauses: Vec<&str> = rest.split(',').map(str::trim).collect();
    let kind_of = |clause: &str| KINDS.iter().find(|(word, ..)| *word == clause.to_lowercase());
    let kind = clauses.iter().enumerate().skip(1).find_map(|(at, clause)| Some((at, kind_of(clause)?)));
    let name = kind.map(|(at, _)| clauses[..at].join(", ")).filter(|name| !name.trim().is_empty());
    let (Some((at, (_, kind, reducer))), Some(name)) = (kind, name) else {
        let kinds: Vec<&str> = KINDS.iter().map(|(word, ..)| *word).collect();
        return Err(format!(
            "Write new, its name, a comma and its kind: {}. As in: new amber dye, alcohol dye. Behind it may stand {SAYS}.",
            kinds.join(", ")
        ));
    };
    let product = Product { reducer: (*reducer).to_owned(), ..Product::new(ProductId(0), name, *kind) };
    said_of(product, &clauses[at + 1..])
}

fn changed(rest: &str, piece: &Piece) -> Result<Product, String> {
    let mut clauses = rest.split(',').map(str::trim);
    let name = clauses.next().unwrap_or_default().to_lowercase();
    let Some(product) = piece.products.iter().find(|product| product.name.to_lowercase() == name) else {
        let known: Vec<&str> = piece.products.iter().map(|product| product.name.as_str()).collect();
        return Err(format!("‘{name}’ is no product of this piece. Known: {}.", known.join(", ")));
    };
    let clauses: Vec<&str> = clauses.collect();
    if clauses.is_empty() {
        return Err(format!("Say what is to change, after a comma: {SAYS}."));
    }
    said_of((**product).clone(), &clauses)
}

/// The product with what these clauses say of it.
fn said_of(mut product: Product, clauses: &[&str]) -> Result<Product, String> {
    for clause in clauses {
        let unknown = || format!("‘{clause}’ is not understood of a product: it may be {SAYS}.");
        let (word, rest) = clause.split_once(' ').ok_or_else(unknown)?;
        let number = || {
            let first = rest.split_whitespace().next()?.replace(',', ".");
            first.parse::<f64>().ok().filter(|number| number.is_finite() && *number > 0.0)
        };
        match word.to_lowercase().as_str() {
            "covers" => product.coverage_m2_per_l = Some(number().ok_or_else(unknown)?),
            "dries" => product.drying_hours = Some(number().ok_or_else(unknown)?),
            "reducer" => product.reducer = rest.trim().to_owned(),
            "lot" => product.lot = rest.trim().to_owned(),
            _ => return Err(unknown()),
        }
    }
    Ok(product)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::oak_chest;

    fn typed(line: &str) -> Result<Product, String> {
        match product_line(line, &oak_chest()).expect(line) {
            Ok(ProductEdit::Add(product) | ProductEdit::Change(product)) => Ok(product),
            Ok(other) => panic!("{line}: {other:?}"),
            Err(line) => Err(line),
        }
    }

    #[test]
    fn a_line_that_begins_with_new_names_a_product_and_its_kind() {
        let product = typed("new walnut stain, Pigment").unwrap();
        assert_eq!((product.name.as_str(), product.kind), ("walnut stain", Kind::Pigment));
        assert!(product_line("board 1 chlorine x2", &oak_chest()).is_none());
    }

    #[test]
    fn what_its_label_says_may_stand_behind() {
        let product = typed("new nut stain, gel, covers 12.5 m²/L, dries 9 h, reducer mineral base, lot 47 b").unwrap();
        assert_eq!((product.coverage_m2_per_l, product.drying_hours), (Some(12.5), Some(9.0)));
        assert_eq!((product.reducer.as_str(), product.lot.as_str()), ("mineral base", "47 b"));
        let changed = typed("change Amber dye, lot 48").unwrap();
        assert_eq!((changed.id, changed.lot.as_str()), (oak_chest().products[0].id, "48"));
    }

    #[test]
    fn what_is_missing_is_said_with_an_example() {
        for line in ["new walnut stain", "new walnut stain, paint", "new , gel"] {
            let complaint = typed(line).unwrap_err();
            assert!(complaint.contains("alcohol dye"), "{line}: {complaint}");
        }
        for line in [
            "new nut stain, gel, covers",
            "change amber dye, covers much",
            "change amber dye, heavy",
            "change amber dye",
        ] {
            let complaint = typed(line).unwrap_err();
            assert!(complaint.contains("covers 9"), "{line}: {complaint}");
        }
        assert!(typed("change beetroot, lot 1").unwrap_err().contains("amber dye"));
    }

    #[test]
    fn a_product_typed_in_can_be_used_in_the_next_line() {
        use crate::{Action, SamplesAction, Workbench};
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        let before = bench.piece().unwrap().products.len();
        bench.apply(Action::Samples(SamplesAction::Log("new nut stain, pigment".into())));
        assert_eq!(bench.piece().unwrap().products.len(), before + 1);
        let trials = bench.piece().unwrap().trials.len();
        let board = bench.piece().unwrap().boards[0].name.clone();
        bench.apply(Action::Samples(SamplesAction::Log(format!("{board} nut stain 1:2 topcoat"))));
        assert_eq!(bench.piece().unwrap().trials.len(), trials + 1, "{:?}", bench.status);
    }
}
