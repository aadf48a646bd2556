//! Cautions, by step.
//!
//! The texts travel in `assets/cautions.json`. The label, the safety data sheet, local codes and licensed practice come
//! first, and the last caution says so.

use piece::{Bleach, Kind, Piece, ProductId, Step};
use serde::Deserialize;

const FILE: &str = include_str!("../../../assets/cautions.json");

/// A caution: its first clause stands out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// First clause, to be set bold.
    pub lead: String,
    /// The rest.
    pub text: String,
}

#[derive(Deserialize)]
struct Entry {
    on: Vec<String>,
    lead: String,
    text: String,
}

#[derive(Deserialize)]
struct File {
    cautions: Vec<Entry>,
}

/// The cautions that belong to these steps, each once, in the order of the steps; the products' own after them and the
/// general one last. None for steps that need none.
pub fn for_steps(steps: &[Step], piece: &Piece) -> Vec<Caution> {
    let entries = entries();
    let mut cautions: Vec<Caution> = Vec::new();
    let mut add = |lead: &str, text: &str| {
        let caution = Caution { lead: lead.to_owned(), text: text.to_owned() };
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    };
    for step in steps {
        let tags = tags(step, piece);
        for entry in entries.iter().filter(|entry| entry.on.iter().any(|on| tags.contains(&on.as_str()))) {
            add(&entry.lead, &entry.text);
        }
    }
    for product in steps.iter().filter_map(product_of).filter_map(|id| piece.product(id)) {
        for own in &product.cautions {
            add(&format!("{}, from its label:", product.name), own);
        }
    }
    let any = steps.iter().any(|step| !matches!(step, Step::LeaveNatural));
    for entry in entries.iter().filter(|entry| any && entry.on.iter().any(|on| on == "all")) {
        add(&entry.lead, &entry.text);
    }
    cautions
}

fn entries() -> Vec<Entry> {
    serde_json::from_str::<File>(FILE).map(|file| file.cautions).unwrap_or_default()
}

fn product_of(step: &Step) -> Option<ProductId> {
    match step {
        Step::Dye { product, .. } | Step::Stain { product, .. } | Step::Glaze { product, .. } => Some(*product),
        Step::Toner { product, .. } => Some(*product),
        Step::Fill { product } => *product,
        _ => None,
    }
}

/// What a step brings with it, as the file names it.
fn tags(step: &Step, piece: &Piece) -> Vec<&'static str> {
    let kind = product_of(step).and_then(|id| piece.product(id)).map(|product| product.kind);
    match step {
        Step::LeaveNatural | Step::DampDown => vec![],
        Step::Sand { .. } => vec!["sanding"],
        Step::PreWet => vec!["solvent", "rags"],
        Step::Dye { .. } => match kind {
            Some(Kind::WaterDye) => vec!["water_dye"],
            _ => vec!["solvent"],
        },
        Step::Stain { .. } | Step::Glaze { .. } | Step::Fill { .. } => vec!["solvent", "rags"],
        // Topcoats that dry by oil heat up in rags; a name that does not say counts as one of them.
        Step::Topcoat { topcoat, .. } => {
            let rags = (!is_free_of_oil(topcoat)).then_some("rags");
            let isocyanate = is_two_part(topcoat).then_some("isocyanate");
            ["solvent"].into_iter().chain(rags).chain(isocyanate).collect()
        }
        Step::Toner { product, .. } if piece.product(*product).is_some_and(|one| is_two_part(&one.name)) => {
            vec!["solvent", "isocyanate"]
        }
        Step::Washcoat | Step::Seal | Step::Toner { .. } => vec!["solvent"],
        Step::Bleach { kind, .. } => match kind {
            Bleach::TwoPart => vec!["two_part", "bleached"],
            Bleach::CausticAlone => vec!["two_part", "bleached"],
            Bleach::Oxalic => vec!["oxalic", "bleached"],
            Bleach::Chlorine => vec!["chlorine", "bleached"],
        },
    }
}

/// Whether a product by its name is hardened by a second part, as a rule an isocyanate (common practice, no source).
fn is_two_part(name: &str) -> bool {
    let name = name.to_lowercase();
    let words =
        ["isocyanate", "two-part", "two part", "two-pack", "two pack", "two-component", "two component", "hardener"];
    let short = ["2k", "2-k", "2c", "2-pack", "2-part", "2-component"];
    let is_short = |word: &str| short.contains(&word.trim_matches(|letter: char| !letter.is_alphanumeric()));
    words.iter().any(|word| name.contains(word)) || name.split_whitespace().any(is_short)
}

/// Whether a topcoat by its name certainly holds no drying oil.
fn is_free_of_oil(topcoat: &str) -> bool {
    let name = topcoat.to_lowercase();
    ["shellac", "lacquer", "nitrocellulose", "water", "acrylic"].iter().any(|kind| name.contains(kind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chlorine_is_never_offered_without_its_warning() {
        let steps = [Step::Bleach { kind: Bleach::Chlorine, times: 2 }];
        let cautions = for_steps(&steps, &Piece::default());
        assert!(cautions.iter().any(|one| one.lead.contains("Chlorine") && one.text.contains("acid")));
        assert!(cautions.last().unwrap().lead.contains("label"));
    }

    /// Common practice, no source: rags with a drying oil heat up by themselves; shellac and lacquer do not.
    #[test]
    fn an_oil_topcoat_warns_of_its_rags() {
        let warns = |topcoat: &str| {
            let steps = [Step::Topcoat { topcoat: topcoat.into(), sheen: "satin".into() }];
            for_steps(&steps, &Piece::default()).iter().any(|one| one.lead.contains("Rags"))
        };
        assert!(warns("oil varnish") && warns("boiled linseed oil") && warns("my usual"));
        assert!(!warns("shellac") && !warns("water-borne lacquer"));
    }

    /// Isocyanate finishes need supplied air (common practice, no source); shellac, lacquer and oil varnish hold none.
    #[test]
    fn only_finishes_hardened_by_a_second_part_warn_of_isocyanate() {
        let warns =
            |step: Step| for_steps(&[step], &Piece::default()).iter().any(|one| one.lead.contains("Isocyanate"));
        let coat = |topcoat: &str| Step::Topcoat { topcoat: topcoat.into(), sheen: "satin".into() };
        for topcoat in ["2K polyurethane", "two-part varnish", "Lacquer with hardener (isocyanate)"] {
            assert!(warns(coat(topcoat)), "{topcoat}");
        }
        for topcoat in ["shellac", "oil varnish", "water-borne lacquer", "nitrocellulose lacquer"] {
            assert!(!warns(coat(topcoat)), "{topcoat}");
        }
        assert!(!warns(Step::Seal) && !warns(Step::Washcoat));
    }

    #[test]
    fn every_caution_belongs_to_a_step() {
        let known = [
            "sanding",
            "solvent",
            "rags",
            "water_dye",
            "isocyanate",
            "two_part",
            "oxalic",
            "chlorine",
            "bleached",
            "all",
        ];
        for entry in entries() {
            assert!(entry.on.iter().all(|on| known.contains(&on.as_str())), "{:?}", entry.on);
        }
        assert_eq!(for_steps(&[Step::LeaveNatural], &Piece::default()), []);
    }
}
