//! `differ` against the pairs of Sharma, Wu, Dalal (2005), DOI 10.1002/col.20070, Table 1.

use crate::{refused, run, run_with};

/// Pairs 1, 7 and 25 of the table, with ΔE2000 as printed there.
#[test]
fn published_pairs_come_out_as_published() {
    let input = "L1,a1,b1,L2,a2,b2\n50,2.6772,-79.7751,50,0,-82.7485\n50,0,0,50,-1,2\n\n60.2574,-34.0099,36.2677,60.4626,-34.1751,39.4387\n";
    let ran = run(&["differ"], input);
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    let de00: Vec<&str> = ran.output.lines().skip(1).filter_map(|line| line.split(',').nth(6)).collect();
    assert_eq!(de00, ["2.0425", "2.3669", "1.2644"]);
    assert_eq!(ran.output.lines().next(), Some("L1,a1,b1,L2,a2,b2,dE00,dL,dC,dH"));
}

#[test]
fn spaces_a_byte_order_mark_and_windows_line_ends_are_no_obstacle() {
    let ran = run(&["differ"], "\u{feff}L1, a1, b1, L2, a2, b2\r\n50, 0, 0, 50, -1, 2\r\n");
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert!(ran.output.ends_with(",2.3669,0.0000,2.5000,0.0000\n"), "{}", ran.output);
}

#[test]
fn bad_input_is_named_with_its_line() {
    let head = "L1,a1,b1,L2,a2,b2\n";
    refused(&run(&["differ"], ""), &["nothing on standard input", "L1,a1,b1,L2,a2,b2"]);
    refused(&run(&["differ"], "L,a,b\n"), &["line 1", "L,a,b"]);
    refused(&run(&["differ"], &format!("{head}50,0,0,50,0\n")), &["line 2", "expected six values", "not 5"]);
    refused(&run(&["differ"], &format!("{head}50,0,0,50,0,0\n50,x,0,50,0,0\n")), &["line 3", "'x'"]);
    refused(&run(&["differ"], &format!("{head}50,0,NaN,50,0,0\n")), &["line 2", "NaN"]);
    refused(&run(&["differ"], &format!("{head}150,0,0,50,0,0\n")), &["line 2", "150"]);
    refused(
        &run(&["differ"], &format!("{head}50,0,0,50,0,1e308\n")),
        &["line 2", "b* is 1e308", "between -200 and 200"],
    );
    let (outcome, output, errors) = run_with(&["differ"], b"\xff\xfeL\x00", false);
    assert_eq!((outcome, output.as_str()), (cli::Outcome::Exit(2), ""));
    assert!(errors.contains("standard input") && errors.contains("UTF-8"), "{errors}");
}
