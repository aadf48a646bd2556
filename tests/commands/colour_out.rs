//! `colour-out` on a demo piece (invented data): which sticks to mix for a spot.

use std::fs;

use colour::{Lab, de2000};

use crate::{demo_folder, refused, run, schema::keeps_to};

/// Invented sticks.
const STICKS: [&str; 4] = ["amber=56/24/45", "umber=28/7/10", "light oak=72/9/30", "black=12/0/0"];

fn with_sticks<'a>(folder: &'a str, spot: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let sticks = STICKS.iter().flat_map(|stick| ["--stick", stick]);
    ["colour-out", folder, "--spot", spot].into_iter().chain(sticks).chain(more.iter().copied()).collect()
}

/// The mean of the stated difference is the published formula (ISO/CIE 11664-6) between the two stated colours; parts are
/// whole, twelve at most, of three sticks at most.
#[test]
fn mixes_are_whole_parts_with_their_difference() {
    let chest = demo_folder("oak-chest");
    let ran = run(&with_sticks(&chest, "front four", &["--json"]), "");
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let record = keeps_to("colour-out", &ran.output);
    assert_eq!(record["of"], "front four");
    let lab = |value: &serde_json::Value| {
        let at = |n: usize| value[n].as_f64().expect("a number");
        Lab::new(at(0), at(1), at(2))
    };
    let mixes = record["mixes"].as_array().expect("mixes");
    assert_eq!(mixes.len(), 3, "one for one stick, two and three");
    for mix in mixes {
        let stated = mix["de00"]["mean"].as_f64().expect("a number");
        assert!((stated - de2000(lab(&record["lab"]), lab(&mix["lab"]))).abs() < 0.3, "{mix}");
        let parts: u64 = mix["parts"].as_array().expect("parts").iter().filter_map(|one| one["parts"].as_u64()).sum();
        assert!(parts <= 12, "{mix}");
    }
    let expected: Vec<f64> = mixes.iter().filter_map(|mix| mix["expected_de00"].as_f64()).collect();
    assert!(expected.windows(2).all(|pair| pair[0] <= pair[1]), "{expected:?}");
    assert!(record["cautions"].as_array().is_some_and(|all| !all.is_empty()));
    let plain = run(&with_sticks(&chest, "front four", &[]), "").output;
    assert!(plain.contains(mixes[0]["words"].as_str().expect("words")), "{plain}");
    assert!(plain.contains("caution: "), "{plain}");
    let id = record["spot"].as_str().expect("an id");
    assert_eq!(run(&with_sticks(&chest, id, &[]), "").output, plain);
}

#[test]
fn sticks_come_from_a_file_as_well() {
    let chest = demo_folder("oak-chest");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("sticks.csv").display().to_string();
    fs::write(&file, "name,L,a,b\namber,56,24,45\number,28,7,10\nlight oak,72,9,30\nblack,12,0,0\n").unwrap();
    let of_file = run(&["colour-out", &chest, "--spot", "front four", "--sticks", &file], "");
    assert_eq!((of_file.code, of_file.output), (0, run(&with_sticks(&chest, "front four", &[]), "").output));
    fs::write(&file, "name,L,a,b\namber,56,24\n").unwrap();
    refused(&run(&["colour-out", &chest, "--spot", "front four", "--sticks", &file], ""), &["sticks.csv", "line 2"]);
}

/// A wetted spot fades as it dries (common practice, no source): where no other state was read, that is said.
#[test]
fn a_spot_read_wet_is_warned_of() {
    let chest = demo_folder("oak-chest");
    let text = fs::read_to_string(format!("{chest}/piece.json")).unwrap();
    let piece: serde_json::Value = serde_json::from_str(&text).unwrap();
    let readings = piece["readings"].as_array().unwrap();
    let wet = readings.iter().find(|reading| reading["state"]["spirit_wet"].is_object()).expect("a wet reading");
    let dry = readings.iter().find(|reading| reading["state"] == "sealed" || reading["state"] == "bare_dry").unwrap();
    let told = |reading: &serde_json::Value| {
        run(&with_sticks(&chest, reading["id"].as_str().unwrap(), &[]), "").output.contains("fades as it dries")
    };
    assert!(told(wet) && !told(dry));
}

#[test]
fn mistakes_are_one_line() {
    let chest = demo_folder("oak-chest");
    refused(&run(&["colour-out", &chest, "--spot", "front four"], ""), &["--stick"]);
    refused(&run(&with_sticks(&chest, "drawer", &[]), ""), &["drawer", "front four"]);
    refused(&run(&with_sticks(&chest, "r99999", &[]), ""), &["r99999", "name one of"]);
    refused(&run(&["colour-out", &chest, "--spot", "front four", "--stick", "amber"], ""), &["amber", "L*/a*/b*"]);
    let twice = with_sticks(&chest, "front four", &["--stick", "clay=20/2/3", "--stick", "Clay=58/8/26"]);
    refused(&run(&twice, ""), &["two sticks of one name"]);
    refused(&run(&["colour-out", "nowhere", "--spot", "top", "--stick", "amber=56/24/45"], ""), &["nowhere"]);
}
