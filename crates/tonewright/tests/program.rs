//! The built program, run as a person runs it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str], input: &str) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_tonewright"))
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("RUST_LOG")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that does not read its input may close it before all is written.
    let _ = program.stdin.take().unwrap().write_all(input.as_bytes());
    program.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

/// One line on standard error, nothing on standard output, exit code 2.
fn refused(output: &Output) -> String {
    let errors = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{errors}");
    assert_eq!(text(&output.stdout), "");
    assert!(errors.starts_with("tonewright: ") && errors.ends_with('\n'), "{errors}");
    assert_eq!(errors.lines().count(), 1, "{errors}");
    assert!(!errors.contains("panicked"), "{errors}");
    errors.to_owned()
}

#[test]
fn it_says_its_version() {
    let output = run(&["--version"], "");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(text(&output.stdout), concat!("tonewright ", env!("CARGO_PKG_VERSION"), "\n"));
    assert_eq!(text(&output.stderr), "");
}

/// Source of the value: Sharma, Wu, Dalal 2005, table 1, pair 1.
#[test]
fn it_reads_standard_input_and_writes_standard_output() {
    let output = run(&["differ"], "L1,a1,b1,L2,a2,b2\n50,2.6772,-79.7751,50,0,-82.7485\n");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let row = text(&output.stdout).lines().nth(1).unwrap();
    assert!(row.starts_with("50,2.6772,-79.7751,50,0,-82.7485,2.0425,"), "{row}");
    assert_eq!(text(&output.stderr), "");
}

#[test]
fn a_photo_that_is_not_there_is_one_line() {
    assert!(refused(&run(&["read", "no-such-photo.jpg"], "")).contains("no-such-photo.jpg"));
}

#[test]
fn without_a_display_it_says_so_in_one_line() {
    assert!(refused(&run(&[], "")).contains("display"));
}
