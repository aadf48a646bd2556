//! `check`, `compare`, `rank`, `routes`, `next` and `sheet` on the demo pieces (invented data, figures of the trade).

use std::collections::BTreeSet;

use workbench::words::{hours, wait};

use crate::{demo_folder, run, schema::keeps_to};

const DEMOS: [&str; 2] = ["oak-chest", "cherry-bureau"];

#[test]
fn nothing_is_wrong_with_the_demos() {
    for demo in DEMOS {
        let ran = run(&["check", &demo_folder(demo), "--json"], "");
        let check = keeps_to("check", &ran.output);
        assert_eq!((ran.code, &check["problems"]), (0, &serde_json::json!([])), "{demo}");
    }
}

/// A misspelt key is not passed over in silence; one that says nothing is no matter.
#[test]
fn what_a_file_says_that_is_not_understood_is_named() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("piece.json");
    let text = std::fs::read_to_string(format!("{}/piece.json", demo_folder("oak-chest"))).expect("a demo");
    let mut value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    value["photos"] = serde_json::json!([]);
    value["readings"] = serde_json::json!([]);
    value["trials"] = serde_json::json!([]);
    value["parts"][0]["wod"] = "oak".into();
    value["parts"][0]["empty"] = "".into();
    std::fs::write(&file, value.to_string()).expect("a temporary file");
    let ran = run(&["check", &folder.path().display().to_string()], "");
    assert_eq!(ran.code, 1, "{}{}", ran.output, ran.errors);
    assert!(ran.output.contains("piece.json, parts p1: 'wod' is not known"), "{}", ran.output);
    assert!(!ran.output.contains("'empty'"), "{}", ran.output);
}

#[test]
fn the_demos_do_not_match_yet_and_compare_says_so_with_its_exit_code() {
    for demo in DEMOS {
        let ran = run(&["compare", &demo_folder(demo), "--json"], "");
        let compare = keeps_to("compare", &ran.output);
        assert_eq!(ran.code, 1, "{demo}");
        assert_eq!(compare["invented"], true);
        for pair in compare["pairs"].as_array().expect("pairs") {
            let de00 = &pair["de00"];
            let [low, mean, high] = ["low", "mean", "high"].map(|key| de00[key].as_f64().expect("a number"));
            assert!(low <= mean && mean <= high, "{demo}: {pair}");
        }
        let plain = run(&["compare", &demo_folder(demo)], "");
        assert!(plain.output.starts_with("All data of this piece are invented.\n"), "{}", plain.output);
    }
}

#[test]
fn a_ranking_is_in_order_and_always_offers_to_leave_natural() {
    for (demo, part) in [("oak-chest", "front four"), ("cherry-bureau", "sides")] {
        let ran = run(&["rank", &demo_folder(demo), "--part", part, "--json"], "");
        assert_eq!(ran.code, 0, "{}", ran.errors);
        let rank = keeps_to("rank", &ran.output);
        let rows = rank["rows"].as_array().expect("rows");
        // In tenths: smaller differences of the odds are no reason.
        let tenths = |row: &serde_json::Value| (10.0 * row["chance_within"].as_f64().expect("a number")).round();
        let chances: Vec<f64> = rows.iter().map(tenths).collect();
        assert!(chances.windows(2).all(|pair| pair[0] >= pair[1]), "{demo}: {chances:?}");
        // Of equal odds by the ΔE2000 to be expected, which is printed; published figures only stand last, in an order of their own.
        let expected = |row: &serde_json::Value| row["expected_de00"].as_f64().expect("a number");
        let published = |row: &serde_json::Value| row["evidence"]["kind"] == "published figures only";
        let alike = |pair: &&[serde_json::Value]| {
            tenths(&pair[0]) == tenths(&pair[1]) && published(&pair[0]) == published(&pair[1])
        };
        let pairs: Vec<&[serde_json::Value]> = rows.windows(2).filter(alike).collect();
        assert!(pairs.len() > 3, "{demo}: {rows:?}");
        assert!(pairs.iter().all(|pair| expected(&pair[0]) <= expected(&pair[1])), "{demo}: {rows:?}");
        let plain = run(&["rank", &demo_folder(demo), "--part", part], "").output;
        let column = plain.lines().find(|line| line.starts_with("schedule ")).expect("a head");
        assert!(column.contains("  expected  "), "{column}");
        for row in &rows[..3] {
            let told = format!("  {:.1}  ", expected(row));
            let schedule = row["schedule"].as_str().expect("words");
            let line = plain.lines().find(|line| line.starts_with(&format!("{schedule}  "))).expect("its row");
            let interval = line.find(')').expect("the interval");
            assert!(line[interval..].contains(&told), "{line}: {told}");
        }
        assert!(rows.iter().any(|row| row["evidence"]["kind"] == "nothing done"), "{demo}: leave natural is missing");
    }
}

#[test]
fn the_same_piece_gives_the_same_bytes() {
    let chest = demo_folder("oak-chest");
    let [first, second] = [0, 1].map(|_| run(&["routes", &chest, "--json"], "").output);
    assert!(first.len() > 1000);
    assert_eq!(first, second);
}

/// The two demos are made so that lightening wins in one and darkening in the other.
#[test]
fn the_best_route_is_the_one_that_the_demo_was_made_for() {
    for (demo, wins) in [("oak-chest", "Lighten front four"), ("cherry-bureau", "Darken the rest")] {
        let ran = run(&["routes", &demo_folder(demo), "--json"], "");
        assert_eq!(ran.code, 0, "{}", ran.errors);
        let routes = keeps_to("routes", &ran.output);
        let names: Vec<&str> =
            routes["routes"].as_array().expect("routes").iter().filter_map(|route| route["name"].as_str()).collect();
        assert_eq!(names.first(), Some(&wins), "{demo}: {names:?}");
        assert!(names.contains(&"Leave natural"), "{demo}: {names:?}");
    }
}

/// Stopping is always weighed; rows are in order of what they save beyond their cost.
#[test]
fn what_to_try_next_is_in_order_and_stopping_is_always_weighed() {
    for demo in DEMOS {
        let ran = run(&["next", &demo_folder(demo), "--json"], "");
        assert_eq!(ran.code, 0, "{}", ran.errors);
        let next = keeps_to("next", &ran.output);
        let rows = next["rows"].as_array().expect("rows");
        let number = |row: &serde_json::Value, key: &str| row[key].as_f64().expect("a number");
        let worth: Vec<f64> = rows.iter().map(|row| number(row, "saves_hours") - number(row, "costs_hours")).collect();
        assert!(worth.windows(2).all(|pair| pair[0] >= pair[1]), "{demo}: {worth:?}");
        assert_eq!(rows.iter().filter(|row| row["on"].is_null()).count(), 1, "{demo}");
        assert!(rows.len() > 3, "{demo}: {rows:?}");
        assert!(
            rows.iter()
                .filter(|row| !row["on"].is_null())
                .all(|row| { row["why"].as_str().is_some_and(|why| why.contains("because")) })
        );
        for why in rows.iter().filter_map(|row| row["why"].as_str()).filter(|why| why.starts_with("makes surer")) {
            let (_, odds) = why.split_once("the odds would go from ").expect("from which odds");
            let numbers = odds.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse::<u32>().ok());
            let odds: Vec<u32> = numbers.take(2).collect();
            assert!(odds[1] > odds[0], "{why}");
        }
        let plain = run(&["next", &demo_folder(demo)], "");
        let first = rows[0]["what"].as_str().expect("words");
        let told = format!("All data of this piece are invented.\n{first}\n  ");
        assert!(plain.output.starts_with(&told), "{}", plain.output);
        assert_eq!(plain.output.lines().filter(|line| line.starts_with("trial ")).count(), 1, "{}", plain.output);
    }
}

/// Cautions and order of work are common practice, no source.
#[test]
fn the_sheet_warns_of_what_can_hurt() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("sheet.html");
    let ran = run(&["sheet", &demo_folder("oak-chest"), "-o", &file.display().to_string()], "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    let html = std::fs::read_to_string(&file).expect("the sheet");
    for words in
        ["invented", "<h2>Front four</h2>", "hlorine", "acid", "thiosulphate", "safety data sheet", " ml", "rags"]
    {
        assert!(html.contains(words), "'{words}' is not on the sheet");
    }
    // Common practice, no source: rinsed and neutralised first, dried after; one batch for the whole job.
    let at = |words: &str| html.find(words).unwrap_or_else(|| panic!("'{words}' is not on the sheet"));
    assert!(at("Mix first") < at("<h2>Carcass</h2>"));
    assert!(at("<strong>Rinse</strong>") < at("<strong>Sodium thiosulphate</strong>"));
    assert!(at("<strong>Sodium thiosulphate</strong>") < at("<strong>Dry</strong>"));
    assert!(at("<strong>Dry</strong>") < at("<strong>amber alcohol dye 4 g/L</strong>"));
    assert!(!html.contains("http") && !html.contains("<script"), "the sheet needs nothing from outside");
}

/// What a part forbids stands on the sheet where the work is done: water and alkali lift hide-glued veneer, end grain drinks
/// (common practice, no source).
#[test]
fn the_sheet_says_how_a_part_is_built_and_what_may_not_be_done_to_it() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("sheet.html");
    let ran = run(&["sheet", &demo_folder("cherry-bureau"), "-o", &file.display().to_string()], "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    let html = std::fs::read_to_string(&file).expect("the sheet");
    for words in ["0.6 mm veneer on hide glue; no sanding; no water; no bleach.", "; end grain, which takes more:"] {
        assert!(html.contains(words), "'{words}' is not on the sheet");
    }
}

/// A bleach that the part forbids is not left standing as one that only wants a trial.
#[test]
fn an_untried_bleach_is_said_to_be_barred_where_it_is() {
    let path = demo_folder("cherry-bureau");
    let told = |part: &str| run(&["rank", &path, "--part", part], "").output;
    let fall = told("fall front");
    assert!(fall.contains("oxalic acid: not to be tried: bleach is barred on fall front"), "{fall}");
    assert!(told("sides").contains("oxalic acid: takes out iron stain and greying only"));
}

/// Of trials written down as they cannot have been each command says so: a strength below nothing, and
/// chlorine after an acid, which gives off chlorine gas (common practice, no source).
#[test]
fn a_trial_that_cannot_be_is_set_aside_with_its_reason() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let whole = std::fs::read_to_string(format!("{}/piece.json", demo_folder("oak-chest"))).expect("the demo");
    let with_acid = r#"{ "step": { "bleach": { "kind": "oxalic", "times": 1 } }, "readings": [] },
        { "step": { "bleach": { "kind": "chlorine", "times": 1 } }, "readings": ["r31"] }"#;
    for (from, to, words, learned) in [
        (r#""grams_per_litre": 4.0"#, r#""grams_per_litre": -4.0"#, "the dye's strength", "nothing is learned"),
        (
            r#"{ "step": { "bleach": { "kind": "chlorine", "times": 1 } }, "readings": ["r31"] }"#,
            with_acid,
            "chlorine gas",
            "is doubtful",
        ),
    ] {
        assert!(whole.contains(from), "{from}");
        std::fs::write(folder.path().join("piece.json"), whole.replacen(from, to, 1)).expect("a piece");
        let path = folder.path().display().to_string();
        for arguments in [vec!["routes", &path], vec!["next", &path], vec!["rank", &path, "--part", "front four"]] {
            let plain = run(&arguments, "");
            assert_eq!(plain.code, 0, "{}", plain.errors);
            let aside: Vec<&str> =
                plain.output.lines().filter(|line| line.starts_with("trial t") && line.contains(learned)).collect();
            assert!(aside.len() == 1 && aside[0].contains(words), "{arguments:?}: {aside:?}");
            assert!(!plain.output.contains("NaN"), "{}", plain.output);
            let json = run(&[arguments.clone(), vec!["--json"]].concat(), "");
            let record = keeps_to(arguments[0], &json.output);
            let why = record["set_aside"][0]["why"].as_str().expect("a reason");
            assert!(why.contains(words), "{why}");
        }
    }
}

/// A trial that the others contradict, and one whose reading before is missing, are no silent guess: routes and next say so.
#[test]
fn what_a_trial_lacks_or_contradicts_is_said_beside_routes_and_next() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let whole = std::fs::read_to_string(format!("{}/piece.json", demo_folder("oak-chest"))).expect("the demo");
    let mut value: serde_json::Value = serde_json::from_str(&whole).expect("JSON");
    for reading in value["readings"].as_array_mut().unwrap() {
        if ["r51", "r52"].contains(&reading["id"].as_str().unwrap()) {
            let lightness = reading["lab"][0].as_f64().unwrap();
            reading["lab"][0] = (lightness + 25.0).into();
        }
    }
    let before =
        value["trials"].as_array_mut().unwrap().iter_mut().find(|trial| trial["before"] != serde_json::json!([]));
    let before = before.expect("a trial with a reading before it");
    before["before"] = serde_json::json!([]);
    let lacking = before["id"].as_str().unwrap().to_owned();
    std::fs::write(folder.path().join("piece.json"), value.to_string()).expect("a piece");
    let path = folder.path().display().to_string();
    for command in ["routes", "next"] {
        let record = keeps_to(command, &run(&[command, &path, "--json"], "").output);
        let notes: Vec<&str> = record["notes"].as_array().unwrap().iter().filter_map(|note| note.as_str()).collect();
        assert!(notes.iter().any(|note| note.contains("trial t9") && note.contains("ΔE2000 off")), "{notes:?}");
        let stands_in = format!("trial {lacking}:");
        assert!(notes.iter().any(|note| note.starts_with(&stands_in) && note.contains("stands in")), "{notes:?}");
        let plain = run(&[command, &path], "").output;
        assert!(notes.iter().all(|note| plain.contains(&format!("\nnote: {note}\n"))), "{plain}");
        let sound = keeps_to(command, &run(&[command, &demo_folder("oak-chest"), "--json"], "").output);
        let left: Vec<&str> = sound["notes"].as_array().unwrap().iter().filter_map(|note| note.as_str()).collect();
        assert!(left.len() == 1 && left[0].starts_with("the parts and trials "), "{left:?}");
    }
}

/// What `check` finds beside trials is said by whatever reckons from the piece: two parts of one name, and a tolerance below
/// nothing.
#[test]
fn what_is_wrong_with_a_piece_is_said_wherever_it_is_reckoned_from() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let whole = std::fs::read_to_string(format!("{}/piece.json", demo_folder("oak-chest"))).expect("the demo");
    let mut value: serde_json::Value = serde_json::from_str(&whole).expect("JSON");
    value["parts"][1]["name"] = "carcass".into();
    value["tolerances"]["match_sample_de00"] = (-2.0).into();
    std::fs::write(folder.path().join("piece.json"), value.to_string()).expect("a piece");
    let path = folder.path().display().to_string();
    let check = keeps_to("check", &run(&["check", &path, "--json"], "").output);
    let found: Vec<&serde_json::Value> = check["problems"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| !one["text"].as_str().unwrap().contains("photos/"))
        .collect();
    assert_eq!(found.len(), 2, "{check}");
    for arguments in [
        vec!["compare", &path],
        vec!["routes", &path],
        vec!["next", &path],
        vec!["rank", &path, "--part", "front four"],
    ] {
        let plain = run(&arguments, "").output;
        let record = keeps_to(arguments[0], &run(&[arguments.clone(), vec!["--json"]].concat(), "").output);
        for problem in &found {
            let told =
                format!("to put right: {}: {}", problem["at"].as_str().unwrap(), problem["text"].as_str().unwrap());
            assert!(plain.lines().any(|line| line == told), "{arguments:?}: {told}");
            assert!(record["problems"].as_array().unwrap().contains(problem), "{arguments:?}: {problem}");
        }
    }
}

/// The cautions of the steps stand in plain text too (common practice, no source: lye, peroxide and chlorine burn).
#[test]
fn plain_routes_and_rankings_tell_the_cautions() {
    // Chlorine bleach is in the first route, two-part bleach stands second in the ranking: they burn, and set gas free.
    let routes = (vec!["routes"], "caution: Chlorine bleach never with acid");
    let ranking = (vec!["rank", "--part", "front four"], "caution: Caustic soda and peroxide burn");
    for (mut arguments, caution) in [routes, ranking] {
        let path = demo_folder("oak-chest");
        arguments.insert(1, &path);
        let plain = run(&arguments, "");
        assert!(plain.output.lines().any(|line| line.trim_start().starts_with("caution: ")), "{}", plain.output);
        assert!(plain.output.starts_with("All data of this piece are invented."), "{}", plain.output);
        assert!(plain.output.contains(caution), "{}", plain.output);
    }
}

/// The first twelve and leaving natural, with the evidence of the first in words; all of them where asked for.
#[test]
fn a_plain_ranking_is_short_and_says_why() {
    let path = demo_folder("oak-chest");
    let rank = |more: &[&str]| run(&[&["rank", &path, "--part", "front four"], more].concat(), "").output;
    let record = keeps_to("rank", &rank(&["--json"]));
    let rows = record["rows"].as_array().expect("rows");
    let schedules: Vec<&str> = rows.iter().filter_map(|row| row["schedule"].as_str()).collect();
    let (short, all) = (rank(&[]), rank(&["--all"]));
    let count = |text: &str| text.lines().filter(|line| line.contains(" %  ")).count();
    assert_eq!((count(&short), count(&all)), (13, schedules.len()), "{short}");
    assert!(short.contains(&format!("… and {} more (tonewright rank with --all or --json)", schedules.len() - 13)));
    for row in &rows[..3] {
        let told = format!("  {}: {}", row["schedule"].as_str().unwrap(), row["because"].as_str().unwrap());
        assert!(short.contains(&told), "{told}");
    }
}

#[test]
fn plain_next_says_what_the_best_route_counts_for_and_why_of_the_first_rows() {
    let path = demo_folder("cherry-bureau");
    let record = keeps_to("next", &run(&["next", &path, "--json"], "").output);
    let plain = run(&["next", &path], "").output;
    let [all, failing] = ["expected_hours", "failing_hours"].map(|key| record[key].as_f64().unwrap());
    assert!(0.0 < failing && failing < all, "{failing} of {all}");
    assert!(plain.contains(&format!("{}: its work", hours(all))), "{plain}");
    assert!(plain.contains(&format!("and {} of it for the chance of failing", hours(failing))), "{plain}");
    let rows = record["rows"].as_array().expect("rows");
    let told: Vec<_> = rows.iter().filter(|row| row["on"].is_null() || saves(row)).collect();
    assert!(told.len() > 2, "{rows:?}");
    for row in told.iter().take(4).chain(told.iter().filter(|row| row["on"].is_null())) {
        assert!(plain.contains(row["why"].as_str().unwrap()), "{row}");
    }
}

/// What becomes of patchiness, and of the colour in a year with where that is known from, stands wherever a plan is read: plain `routes`
/// and the sheet. That oak and cherry darken is common practice, no source.
#[test]
fn routes_and_the_sheet_tell_of_patchiness_and_of_the_colour_in_a_year() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (demo, wood) in [("oak-chest", "oak darkens a little"), ("cherry-bureau", "cherry darkens and reddens")] {
        let path = demo_folder(demo);
        let record = keeps_to("routes", &run(&["routes", &path, "--json"], "").output);
        let plain = run(&["routes", &path], "").output;
        let file = folder.path().join("sheet.html").display().to_string();
        assert_eq!(run(&["sheet", &path, "-o", &file], "").code, 0);
        let sheet = std::fs::read_to_string(&file).expect("the sheet");
        let routes = record["routes"].as_array().expect("routes");
        let mut patchy = 0;
        for (at, route) in routes.iter().enumerate() {
            for row in route["schedules"].as_array().expect("schedules") {
                // Of a part left natural there is nothing to say.
                let words = row["patchiness"]["words"].as_str().filter(|_| row["evidence"]["kind"] != "nothing done");
                let line = words.map(|words| format!("  patchiness of {}: {words}", row["part"].as_str().unwrap()));
                assert!(line.iter().all(|line| plain.lines().any(|one| one == line)), "{line:?}: {plain}");
                patchy += usize::from(line.is_some());
                for note in row["ageing"].as_array().expect("ageing") {
                    let told = format!("{} ({})", note["text"].as_str().unwrap(), note["source"].as_str().unwrap());
                    assert!(plain.contains(&format!(": {told}\n")), "{told}: {plain}");
                    assert!(at > 0 || sheet.contains(&format!("In a year: {told}.")), "{told}: {sheet}");
                }
                assert!(at > 0 || words.is_none_or(|words| sheet.contains(&format!("This {words}."))), "{words:?}");
            }
        }
        assert!(patchy > 0, "{demo}: no part is known to be uneven");
        let in_a_year = |line: &&str| line.starts_with("  in a year: ") && line.contains(wood);
        let told = plain.lines().filter(in_a_year).count();
        assert_eq!(told, routes.len(), "once in each route: {plain}");
        assert!(sheet.contains(&format!("In a year: {wood}")) && sheet.contains("(common practice, no source)"));
    }
}

/// Less than half of five minutes is nothing to speak of (our own judgement).
fn saves(row: &serde_json::Value) -> bool {
    row["saves_hours"].as_f64().expect("a number") * 60.0 >= 2.5
}

/// A table of trials that save nothing is no help: they are counted in one line, and `--json` has them all.
#[test]
fn plain_next_lists_only_trials_that_save_something() {
    for demo in DEMOS {
        let rows = keeps_to("next", &run(&["next", &demo_folder(demo), "--json"], "").output)["rows"].clone();
        let rows = rows.as_array().expect("rows");
        let plain = run(&["next", &demo_folder(demo)], "").output;
        let (_, table) = plain.split_once("\ntrial ").expect("a table");
        let trials = rows.iter().filter(|row| !row["on"].is_null());
        let (saving, idle): (Vec<_>, Vec<_>) = trials.partition(|row| saves(row));
        let listed = |row: &serde_json::Value| {
            let what = row["what"].as_str().expect("words");
            table.lines().any(|line| line.strip_prefix(what).is_some_and(|rest| rest.starts_with("  ")))
        };
        assert!(!idle.is_empty(), "{demo}: {rows:?}");
        assert!(saving.iter().all(|row| listed(row)) && !idle.iter().any(|row| listed(row)), "{demo}: {plain}");
        let line = if saving.is_empty() {
            format!("  none of the {} trials that were weighed is expected to save anything\n", idle.len())
        } else {
            format!("  {} more were weighed, and are expected to save nothing\n", idle.len())
        };
        assert!(table.contains(&line), "{demo}: {plain}");
    }
}

/// How long a route takes is told in the same words by the command and on the sheet: of 1.7 h not '1.7 h' here and '1½ h' there.
#[test]
fn hours_read_the_same_wherever_they_stand() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for demo in DEMOS {
        let path = demo_folder(demo);
        let routes = keeps_to("routes", &run(&["routes", &path, "--json"], "").output);
        let plain = run(&["routes", &path], "").output;
        let told = |route: &serde_json::Value| {
            let [work, waits] = ["hours", "wait_hours"].map(|key| route[key].as_f64().expect("a number"));
            (hours(work), wait(waits))
        };
        let all = routes["routes"].as_array().expect("routes");
        for route in all.iter().filter(|route| route["hours"].as_f64() > Some(0.0)) {
            let (work, waits) = told(route);
            assert!(plain.contains(&format!("; {work} of work and {waits} of drying before")), "{work}: {plain}");
        }
        let file = folder.path().join("sheet.html").display().to_string();
        assert_eq!(run(&["sheet", &path, "-o", &file], "").code, 0);
        let (sheet, (work, waits)) = (std::fs::read_to_string(file).expect("the sheet"), told(&all[0]));
        assert!(sheet.contains(&format!("Work {work}, and {waits} of waiting, before")), "{work}: {sheet}");
        // What was said of the worst pair is said with the same figures.
        let worst = |text: &str| {
            let (_, from) = text.split_once("orst pair expected to be ").expect("the worst pair");
            from.split_once(" is a match").expect("its end").0.to_owned()
        };
        assert_eq!(worst(&plain), worst(&sheet), "{demo}");
    }
}

/// What the table of `compare` says of a part that differs from all others is said of it, not of each of the others; and what
/// is held against the match sample is said to be.
#[test]
fn a_comparison_speaks_of_the_odd_part_and_names_the_match_sample() {
    let pairs = |demo: &str, key: &str| {
        let compare = keeps_to("compare", &run(&["compare", &demo_folder(demo), "--json"], "").output);
        compare[key].as_array().expect("rows").clone()
    };
    // The chest's front four was dyed by an earlier shop; all else is one oak.
    let of_four = |pair: &serde_json::Value| pair["a"] == "front four" || pair["b"] == "front four";
    let about_four: Vec<_> = pairs("oak-chest", "pairs").into_iter().filter(of_four).collect();
    assert_eq!(about_four.len(), 6);
    for pair in about_four {
        let words = pair["words"].as_str().expect("words");
        assert!(words.starts_with("clear: front four much darker"), "{words}");
        let dl = pair["dl"]["mean"].as_f64().expect("a number");
        assert!(pair["b"] == "front four" && dl < 0.0, "{pair}");
    }
    // The fall front is the bureau's match sample.
    let of_fall = |pair: &serde_json::Value| pair["a"] == "fall front" || pair["b"] == "fall front";
    for pair in pairs("cherry-bureau", "pairs").iter().filter(|pair| of_fall(pair)) {
        let words = pair["words"].as_str().expect("words");
        assert!(pair["a"] == "fall front" && words.ends_with("than fall front (the match sample)"), "{words}");
    }
    let to_match = pairs("cherry-bureau", "to_match");
    assert!(!to_match.is_empty());
    for row in to_match {
        let words = row["words"].as_str().expect("words");
        assert!(words.ends_with("than the match sample") && row["against"] == "fall front", "{words}");
    }
}

/// No honest comparison carries a colour across in silence: plain text names every one that JSON names, of parts held against the match
/// sample too.
#[test]
fn what_is_carried_across_is_said() {
    let json = keeps_to("compare", &run(&["compare", &demo_folder("cherry-bureau"), "--json"], "").output);
    let plain = run(&["compare", &demo_folder("cherry-bureau")], "").output;
    let carried: BTreeSet<&str> =
        json["to_match"].as_array().expect("rows").iter().filter_map(|row| row["carried"].as_str()).collect();
    assert!(carried.len() > 1, "{json}");
    for how in carried {
        assert_eq!(plain.matches(&format!("\n  {how}\n")).count(), 1, "{how}: {plain}");
    }
}

/// A match sample that was read only as what no part is compared in: the line says so, and names no part that it is not about.
#[test]
fn a_match_sample_that_cannot_be_used_is_no_nameless_part() {
    let mut value = crate::assumed::demo_value("oak-chest");
    for reading in value["readings"].as_array_mut().expect("readings") {
        if reading["of"] == "p1" {
            reading["state"] = "colour_wet".into();
        }
    }
    let (_folder, path) = crate::assumed::folder_with(&value);
    let plain = run(&["compare", &path], "").output;
    assert!(
        plain.contains("\n  not compared: carcass: no reading shows carcass by itself, dry, spirit-wet or coated"),
        "{plain}"
    );
    assert!(!plain.contains("not compared: :"), "{plain}");
}

/// No one is sent to a board whose own note says otherwise: it stands beside every trial that is told of there.
#[test]
fn next_says_what_was_noted_where_a_trial_would_be_made() {
    let whole = std::fs::read_to_string(format!("{}/piece.json", demo_folder("cherry-bureau"))).expect("the demo");
    let mut value: serde_json::Value = serde_json::from_str(&whole).expect("JSON");
    let mut next_with = |note: &str| {
        for key in ["boards", "parts"] {
            for one in value[key].as_array_mut().unwrap() {
                one["note"] = note.into();
            }
        }
        let folder = tempfile::tempdir().expect("a temporary folder");
        std::fs::write(folder.path().join("piece.json"), value.to_string()).expect("a piece");
        let path = folder.path().display().to_string();
        (keeps_to("next", &run(&["next", &path, "--json"], "").output), run(&["next", &path], "").output)
    };
    let (record, plain) = next_with("veneer lifted,\nspoiled");
    let rows = record["rows"].as_array().expect("rows");
    let places: BTreeSet<&str> = rows.iter().filter(|row| saves(row)).filter_map(|row| row["on"].as_str()).collect();
    assert!(!places.is_empty());
    for row in rows {
        let noted = row["on"].as_str().map(|_| "veneer lifted, spoiled");
        assert_eq!(row["on_note"].as_str(), noted, "{row}");
    }
    for on in places {
        assert_eq!(plain.matches(&format!("  noted on {on}: veneer lifted, spoiled\n")).count(), 1, "{plain}");
    }
    let (record, plain) = next_with("");
    assert!(record["rows"].as_array().unwrap().iter().all(|row| row["on_note"].is_null()));
    assert!(!plain.contains("noted on"), "{plain}");
}
