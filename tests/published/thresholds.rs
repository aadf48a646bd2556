//! Thresholds used as presets: Paravina et al. (2015), Buchelt, Wagenführ (2011).

use crate::table::Table;
use colour::thresholds::{ACCEPTABILITY, Formula, PERCEPTIBILITY, PRESETS, WITHIN_ONE_WOOD_SURFACE};

/// The presets are the published figures: equal, not near.
#[test]
fn presets_are_the_published_figures() {
    let table = Table::read("visual_thresholds.csv", 16);
    let paravina = |criterion: &str| {
        let row = table.rows().find(|row| {
            row.text("study").starts_with("Paravina")
                && row.text("criterion").starts_with(criterion)
                && row.text("metric") == "dE00"
        });
        row.unwrap().number("value")
    };
    assert_eq!(PERCEPTIBILITY.value, paravina("perceptibility"));
    assert_eq!(ACCEPTABILITY.value, paravina("acceptability"));
    assert!(PRESETS.iter().all(|preset| preset.formula == Formula::De00 && preset.source.contains("Paravina")));
    assert!(PRESETS[0].value < PRESETS[1].value);

    let wood = table.rows().find(|row| row.text("study").contains("Buchelt")).unwrap();
    assert_eq!(wood.text("value"), format!("about {}", WITHIN_ONE_WOOD_SURFACE.value));
    assert_eq!((wood.text("metric"), WITHIN_ONE_WOOD_SURFACE.formula), ("dEab", Formula::DeAb));
}
