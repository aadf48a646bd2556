//! A product added from the log line: `new amber dye, alcohol dye`.

use piece::{Kind, Product, ProductId};

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

/// The product that a line adds; None where the line does not begin with `new `.
///
/// # Errors
/// One line saying how it is written, where the name or the kind is missing.
pub fn new_product(line: &str) -> Option<Result<Product, String>> {
    let rest = line.trim().strip_prefix("new ")?;
    let kinds: Vec<&str> = KINDS.iter().map(|(word, ..)| *word).collect();
    let how = || {
        format!("Write new, its name, a comma and its kind: {}. As in: new amber dye, alcohol dye.", kinds.join(", "))
    };
    let Some((name, kind)) = rest.rsplit_once(',') else { return Some(Err(how())) };
    let kind = kind.trim().to_lowercase();
    let found = KINDS.iter().find(|(word, ..)| *word == kind);
    let (Some((_, kind, reducer)), false) = (found, name.trim().is_empty()) else { return Some(Err(how())) };
    Some(Ok(Product {
        id: ProductId(0),
        name: name.trim().to_owned(),
        kind: *kind,
        reducer: (*reducer).to_owned(),
        coverage_m2_per_l: None,
        drying_hours: None,
        lot: String::new(),
        mix: Vec::new(),
        cautions: Vec::new(),
        note: String::new(),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_begins_with_new_names_a_product_and_its_kind() {
        let product = new_product("new walnut stain, Pigment").unwrap().unwrap();
        assert_eq!((product.name.as_str(), product.kind), ("walnut stain", Kind::Pigment));
        assert!(new_product("board 1 chlorine x2").is_none());
    }

    #[test]
    fn what_is_missing_is_said_with_an_example() {
        for line in ["new walnut stain", "new walnut stain, paint", "new , gel"] {
            let complaint = new_product(line).unwrap().unwrap_err();
            assert!(complaint.contains("alcohol dye"), "{line}: {complaint}");
        }
    }

    #[test]
    fn a_product_typed_in_can_be_used_in_the_next_line() {
        use crate::{Action, SamplesAction, Workbench};
        let mut bench = Workbench::default();
        bench.put(crate::sample::oak_chest());
        let before = bench.piece().unwrap().products.len();
        bench.apply(Action::Samples(SamplesAction::Log("new nut stain, pigment".into())));
        assert_eq!(bench.piece().unwrap().products.len(), before + 1);
        let trials = bench.piece().unwrap().trials.len();
        let board = bench.piece().unwrap().boards[0].name.clone();
        bench.apply(Action::Samples(SamplesAction::Log(format!("{board} nut stain 1:2 topcoat"))));
        assert_eq!(bench.piece().unwrap().trials.len(), trials + 1, "{:?}", bench.status);
    }
}
