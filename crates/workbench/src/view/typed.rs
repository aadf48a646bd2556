//! Samples: the line for the log while it is typed.

use piece::Step;

use crate::{Workbench, log_line, words};

/// What is typed so far, before anything is logged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedView {
    /// Its steps: name and how.
    pub steps: Vec<(String, String)>,
    /// Why the steps harm, or cannot be in this order; none where nothing speaks against them.
    pub against: Option<String>,
    /// Cautions: first clause, and the rest. They are told before the step is done.
    pub cautions: Vec<(String, String)>,
}

impl Workbench {
    /// The steps of a line as far as they are understood; none where there are none yet.
    pub fn typed_view(&self, line: &str) -> Option<TypedView> {
        let piece = self.piece_with_mixes(self.piece()?);
        let steps: Vec<Step> = log_line::so_far(line, &piece);
        let cautions = predict::caution::for_steps(&steps, &piece);
        (!steps.is_empty()).then(|| TypedView {
            steps: steps.iter().map(|step| words::step_parts(&piece, step)).collect(),
            against: predict::trade::order_objection(&piece, &steps).map(|why| words::sentence(&why)),
            cautions: cautions.into_iter().map(|caution| (caution.lead, caution.text)).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::oak_chest;

    /// Common practice, no source: two-part bleach is lye and strong peroxide; an acid after chlorine gives off chlorine gas.
    #[test]
    fn a_dangerous_step_is_cautioned_against_as_soon_as_it_is_typed() {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        for line in ["", "board", "board 2", "board 2 two", "new amber dye, alcohol dye"] {
            assert_eq!(bench.typed_view(line), None, "{line}");
        }
        // What follows may be half typed, or nothing that is understood.
        for line in
            ["board 2 two-part", "board 2 two-part x", "board 2 two-part then walnut sta", "board 2 varnsh two-part"]
        {
            let view = bench.typed_view(line).unwrap();
            assert_eq!(view.steps[0].0, "two-part", "{line}");
            assert!(!view.cautions.is_empty() && view.against.is_none(), "{line}");
        }
        let view = bench.typed_view("board 1 chlorine oxalic").unwrap();
        assert!(view.against.is_some_and(|why| why.contains("chlorine gas")));
    }
}
