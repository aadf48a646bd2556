//! `demo` without a display: says so, prints the answers, writes the sheet.

use std::path::Path;

use crate::{refused, run};

#[test]
fn without_a_display_a_demo_prints_its_answers_and_writes_its_sheet() {
    let ran = run(&["demo", "oak-chest"], "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    for words in [
        "no display",
        "COMPARISON",
        "RANKING",
        "ROUTES",
        "NEXT TRIAL",
        "Lighten front four",
        "Leave natural",
        "invented",
    ] {
        assert!(ran.output.contains(words), "'{words}' is missing in:\n{}", ran.output);
    }
    let last = ran.output.lines().last().expect("a last line");
    let sheet = last.trim_start_matches("The work sheet is ").trim_end_matches('.');
    let html = std::fs::read_to_string(sheet).expect("the sheet was written");
    assert!(html.contains("Work sheet"));
    std::fs::remove_dir_all(Path::new(sheet).parent().expect("in a folder")).expect("the copy can go");
}

#[test]
fn a_demo_that_is_none() {
    refused(&run(&["demo", "oak-table"], ""), &["oak-table", "oak-chest", "cherry-bureau"]);
}
