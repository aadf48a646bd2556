//! Help, and where the window opens.

use cli::Outcome;

use crate::{demo_folder, refused, run, run_with};

#[test]
fn help_goes_to_standard_output() {
    let ran = run(&["--help"], "");
    assert_eq!(ran.code, 0);
    for command in ["open", "demo", "read", "differ", "compare", "rank", "routes", "sheet", "check", "cards"] {
        assert!(ran.output.contains(&format!("  {command}")), "{command} is not in the help");
    }
    assert_eq!(ran.errors, "");
}

#[test]
fn a_wrong_option_is_one_line_with_the_way_out() {
    refused(&run(&["compare", "--colour", "x"], ""), &["--colour", "see tonewright --help"]);
    refused(&run(&["rank", "x"], ""), &["--part", "see tonewright --help"]);
}

#[test]
fn the_window_opens_where_it_is_wanted() {
    let chest = demo_folder("oak-chest");
    let (outcome, ..) = run_with(&[], "", true);
    assert_eq!(outcome, Outcome::OpenWindow(Vec::new()));
    let (outcome, ..) = run_with(&[&chest], "", true);
    assert_eq!(outcome, Outcome::OpenWindow(vec![chest.clone().into()]));
    let (outcome, ..) = run_with(&["open", &chest], "", true);
    assert_eq!(outcome, Outcome::OpenWindow(vec![chest.into()]));
    let (outcome, ..) = run_with(&["demo", "cherry-bureau"], "", true);
    assert_eq!(outcome, Outcome::OpenDemo("cherry-bureau".into()));
}

#[test]
fn what_is_neither_a_command_nor_there_opens_no_window() {
    for has_display in [true, false] {
        let (outcome, output, errors) = run_with(&["compair"], "", has_display);
        assert_eq!((outcome, output.as_str()), (Outcome::Exit(2), ""));
        assert!(errors.contains("compair: is no command") && errors.contains("tonewright --help"), "{errors}");
    }
}

#[test]
fn a_piece_that_cannot_be_opened_opens_no_window() {
    let empty = tempfile::tempdir().expect("a temporary folder");
    let (outcome, output, errors) = run_with(&["open", &empty.path().display().to_string()], "", true);
    assert_eq!((outcome, output.as_str()), (Outcome::Exit(2), ""));
    assert!(errors.contains("no piece.json"), "{errors}");
}
