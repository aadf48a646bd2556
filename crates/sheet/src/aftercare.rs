//! What must follow a step before the next one: rinsing, neutralising, de-nibbing. Common practice, no source; the
//! product's label and data sheet win, always.

use piece::{Bleach, Step};

/// The lines that follow a step, each to be ticked off: what, and how.
pub(crate) fn after(step: &Step) -> &'static [(&'static str, &'static str)] {
    match step {
        Step::Bleach { kind: Bleach::TwoPart | Bleach::CausticAlone, .. } => &[
            ("Let it finish and dry", "do not hurry it with heat; only A and B of one kit"),
            ("Neutralise", "vinegar and water 1:1, then clean water"),
            ("Dry", "24–72 h, until within 1 % moisture of untouched wood"),
            ("De-nib by hand only", "fine paper, no machine; P3/P100 against the residue"),
        ],
        Step::Bleach { kind: Bleach::Oxalic, .. } => &[
            ("Rinse several times", "clean water, then weak borax or bicarbonate, then clean water"),
            ("Dry", "24–48 h; sand only then, with P3/P100"),
        ],
        Step::Bleach { kind: Bleach::Chlorine, .. } => &[
            ("Rinse", "clean water; no vinegar, no acid, no oxalic, no ammonia"),
            ("Sodium thiosulphate", "in water, then rinse again"),
            ("Dry", "24–48 h"),
            ("De-nib by hand", "fine paper, lightly"),
        ],
        Step::DampDown => &[("Dry, then de-nib", "fine paper, along the grain")],
        Step::Stain { .. } | Step::Glaze { .. } => RAGS,
        Step::Topcoat { topcoat, .. } if topcoat.to_lowercase().contains("oil") => RAGS,
        _ => &[],
    }
}

/// Oil heats up by itself as it dries.
const RAGS: &[(&str, &str)] = &[("Lay the rags flat outdoors", "single layer, or under water in a closed metal can")];

#[cfg(test)]
mod tests {
    use super::after;
    use piece::{Bleach, Piece, Step};
    use predict::trade;

    fn lines(step: &Step) -> String {
        after(step).iter().map(|(what, how)| format!("{what}: {how}. ")).collect::<String>().to_lowercase()
    }

    // Common practice, no source: an acid sets chlorine gas free; lye is neutralised with vinegar, oxalic acid with a
    // weak alkali.
    #[test]
    fn each_bleach_is_neutralised_by_what_fits_it() {
        let bleach = |kind| lines(&Step::Bleach { kind, times: 1 });
        assert!(bleach(Bleach::Chlorine).contains("thiosulphate"));
        assert!(bleach(Bleach::Chlorine).contains("no vinegar"));
        assert!(!bleach(Bleach::Chlorine).replace("no vinegar", "").contains("vinegar"));
        assert!(bleach(Bleach::TwoPart).contains("vinegar and water 1:1"));
        assert!(bleach(Bleach::Oxalic).contains("bicarbonate"));
        assert!(!bleach(Bleach::Oxalic).contains("vinegar"));
    }

    /// Acid sets chlorine gas free from chlorine bleach (Centers for Disease Control, MMWR 40(36), 619–621, 1991): whatever is an
    /// acid, or is followed by one here, never stands beside chlorine in one schedule, in either order.
    #[test]
    fn no_acid_stands_beside_chlorine() {
        let bleach = |kind| Step::Bleach { kind, times: 1 };
        let chlorine = bleach(Bleach::Chlorine);
        for kind in [Bleach::TwoPart, Bleach::CausticAlone, Bleach::Oxalic] {
            let acid = bleach(kind);
            assert!(kind == Bleach::Oxalic || lines(&acid).contains("vinegar"), "{kind:?}");
            for steps in [[chlorine.clone(), acid.clone()], [acid, chlorine.clone()]] {
                let objection = trade::order_objection(&Piece::default(), &steps).unwrap_or_default();
                assert!(objection.contains("chlorine gas"), "{steps:?}: {objection}");
            }
        }
        assert_eq!(trade::order_objection(&Piece::default(), &[chlorine]), None);
    }

    #[test]
    fn oily_rags_are_laid_out_after_oil_varnish_too() {
        let coat = |name: &str| lines(&Step::Topcoat { topcoat: name.to_owned(), sheen: "satin".to_owned() });
        assert!(coat("oil varnish").contains("rags"));
        assert_eq!(coat("shellac"), "");
    }
}
