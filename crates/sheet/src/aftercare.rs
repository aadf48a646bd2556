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
        Step::Stain { .. } => &[("Lay the rags flat outdoors", "single layer, or under water in a closed metal can")],
        _ => &[],
    }
}
