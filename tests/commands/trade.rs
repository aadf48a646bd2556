//! What the trade does not allow is said alike by `check`, `routes` and the sheet, and never printed as steps to tick (common
//! practice, no source, but for chlorine and acid: Centers for Disease Control, MMWR 40(36), 619–621, 1991).

use serde_json::{Value, json};

use crate::{
    assumed::{demo_value, folder_with},
    run,
    schema::keeps_to,
};

/// The sheet of a piece.
fn sheet_of(piece: &str) -> String {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("sheet.html").display().to_string();
    let ran = run(&["sheet", piece, "-o", &file], "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    std::fs::read_to_string(&file).expect("the sheet")
}

/// A demo whose plan gives one part these steps and another a toner over the sealer.
fn planned(demo: &str, part: &str, steps: Value) -> Value {
    let mut value = demo_value(demo);
    let other = json!({ "part": "p2", "steps": [{ "sand": { "grit": 180 } }] });
    value["plan"] = json!({ "name": "as agreed", "schedules": [{ "part": part, "steps": steps }, other] });
    value
}

/// The problem that `check` finds with a plan, once.
fn found_by_check(path: &str, at: &str) -> String {
    let ran = run(&["check", path, "--json"], "");
    let check = keeps_to("check", &ran.output);
    assert_eq!(ran.code, 1, "{}", ran.output);
    let problems: Vec<&Value> = check["problems"].as_array().unwrap().iter().filter(|one| one["at"] == at).collect();
    assert_eq!(problems.len(), 1, "{check}");
    problems[0]["text"].as_str().unwrap().to_owned()
}

/// A plan was chosen, and how the part is built was corrected afterwards: nothing of its steps is printed, the reason is.
#[test]
fn a_plan_that_the_trade_bars_is_not_printed_as_steps() {
    let bleach = |kind: &str| json!({ "bleach": { "kind": kind, "times": 1 } });
    let stain = json!({ "stain": { "product": "c2", "reducer_parts": 1.0, "coats": 1 } });
    for (demo, part, name, steps, why, step) in [
        ("cherry-bureau", "p1", "fall front", json!([bleach("two_part")]), "bleach is barred on", "two-part bleach"),
        ("oak-chest", "p5", "front four", json!(["seal", stain]), "over a sealer it hardly takes", "dark oak"),
        ("oak-chest", "p5", "front four", json!([bleach("chlorine"), bleach("two_part")]), "chlorine gas", "two-part"),
        ("oak-chest", "p5", "front four", json!([bleach("two_part"), bleach("chlorine")]), "chlorine gas", "two-part"),
        ("oak-chest", "p5", "front four", json!([bleach("oxalic"), bleach("chlorine")]), "chlorine gas", "oxalic"),
    ] {
        let (_folder, path) = folder_with(&planned(demo, part, steps));
        let text = found_by_check(&path, &format!("plan for {name}"));
        assert!(text.contains(why) && text.contains("choose another schedule"), "{text}");
        let told = format!("to put right: plan for {name}: {text}");
        let routes = run(&["routes", &path], "").output;
        assert!(routes.lines().any(|line| line == told), "{routes}");
        let html = sheet_of(&path);
        assert!(html.matches(why).count() >= 2, "the reason stands at the head and with the part: {html}");
        assert!(!html.contains(&format!("<strong>{step}")), "{step} is there to tick: {html}");
        for barred in ["Neutralise", "Rinse", "Mix first"] {
            assert!(!html.contains(barred), "{barred}: {html}");
        }
        assert!(html.contains("<strong>sand to 180</strong>"), "what may be done stays: {html}");
    }
}

/// A plan for one part alone is no route, and no other part's steps are printed for it: those that have none yet are named.
#[test]
fn a_plan_for_one_part_prints_that_part_and_names_the_others() {
    let mut value = demo_value("cherry-bureau");
    // What the first route gives the sides.
    let steps = json!([
        { "dye": { "product": "c2", "grams_per_litre": 8.0, "coats": 1 } },
        "seal",
        { "toner": { "product": "c3", "passes": 3 } },
        { "topcoat": { "topcoat": "shellac", "sheen": "satin" } },
    ]);
    let routes = run(&["routes", &crate::demo_folder("cherry-bureau")], "").output;
    assert!(
        routes.contains("\n  sides: red-brown alcohol dye 8 g/L, then seal, then red-brown toner, 3 passes\n"),
        "{routes}"
    );
    value["plan"] = json!({ "name": "as tried", "schedules": [{ "part": "p2", "steps": steps }] });
    let (_folder, path) = folder_with(&value);
    let html = sheet_of(&path);
    assert!(html.contains("it is none of the routes found from the trials"), "{html}");
    let named =
        "For fall front, drawer one, drawer two, drawer three, top edge nothing is planned yet, so nothing is printed";
    assert!(html.contains(named), "{html}");
    assert!(html.contains("<h2>Sides</h2>") && !html.contains("<h2>Drawer one</h2>"), "{html}");
}

/// End grain takes more (common practice, no source): the sheet says so where its steps are ticked off.
#[test]
fn the_sheet_says_what_end_grain_wants() {
    let html = sheet_of(&crate::demo_folder("cherry-bureau"));
    assert!(html.contains("sand it one or two grits finer, or washcoat it first"), "{html}");
}

/// What is only doubtful in its strength is printed: the same plan in an order that the trade allows.
#[test]
fn a_plan_that_nothing_speaks_against_is_printed() {
    let steps = json!([{ "bleach": { "kind": "two_part", "times": 1 } }]);
    let (_folder, path) = folder_with(&planned("oak-chest", "p5", steps));
    assert_eq!(run(&["check", &path], "").code, 0);
    let html = sheet_of(&path);
    assert!(html.contains("<strong>two-part bleach</strong>") && !html.contains("Not to be done"), "{html}");
}

/// Every row that is printed can be chosen, so the cautions of every one are printed, and no other's.
#[test]
fn the_cautions_are_those_of_all_that_is_printed() {
    let cautions = |text: &str| -> Vec<String> {
        text.lines().filter_map(|line| line.strip_prefix("  caution: ")).map(str::to_owned).collect()
    };
    let mut of_later_rows_only = Vec::new();
    let mut check = |arguments: &[&str], printed: usize| {
        let told = cautions(&run(arguments, "").output);
        let record = keeps_to(arguments[0], &run(&[arguments, &["--json"]].concat(), "").output);
        // Plain `next` lists the trials that save two and a half minutes or more, and stopping.
        let listed =
            |row: &Value| row["saves_hours"].as_f64().is_none_or(|saves| saves >= 2.5 / 60.0) || row["on"].is_null();
        let rows: Vec<Value> = record["rows"].as_array().unwrap().iter().filter(|row| listed(row)).cloned().collect();
        let of = |rows: &[Value]| -> Vec<String> {
            let mut all: Vec<String> = Vec::new();
            for one in rows.iter().flat_map(|row| row["cautions"].as_array().unwrap()).filter_map(Value::as_str) {
                if !all.contains(&one.to_owned()) {
                    all.push(one.to_owned());
                }
            }
            all
        };
        let expected = of(&rows[..printed.min(rows.len())]);
        assert_eq!(told, expected, "{arguments:?}");
        let first = of(&rows[..3.min(rows.len())]);
        of_later_rows_only.extend(expected.into_iter().filter(|one| !first.contains(one)));
    };
    let [chest, bureau] = ["oak-chest", "cherry-bureau"].map(crate::demo_folder);
    // Leaving natural, which needs no caution, is printed wherever it stands.
    check(&["rank", &chest, "--part", "front four"], 12);
    check(&["rank", &bureau, "--part", "sides"], 12);
    check(&["rank", &bureau, "--part", "sides", "--all"], usize::MAX);
    check(&["next", &chest], usize::MAX);
    check(&["next", &bureau], usize::MAX);
    assert!(of_later_rows_only.iter().any(|one| one.starts_with("Caustic soda")), "{of_later_rows_only:?}");
}

/// Odds are of what was read: a part that was not is named by whatever tells them, and 'every pair' is not claimed.
#[test]
fn a_part_that_was_not_read_is_named_beside_the_odds() {
    let mut value = demo_value("oak-chest");
    let own = |id: &str| {
        value["trials"].as_array().unwrap().iter().any(|trial| trial.to_string().contains(&format!("\"{id}\"")))
    };
    let kept: Vec<Value> = value["readings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|reading| reading["of"] != "p4" || own(reading["id"].as_str().unwrap()))
        .cloned()
        .collect();
    value["readings"] = kept.into();
    let (_folder, path) = folder_with(&value);
    let claims =
        |text: &str| text.replace("every pair that can be judged, without front three,", "").contains("every pair");
    let reason = "no reading of front three";
    for command in ["routes", "next"] {
        let plain = run(&[command, &path], "").output;
        assert!(plain.contains("every pair that can be judged, without front three, is within tolerance"), "{plain}");
        assert!(plain.contains(&format!("left out: front three: {reason}")) && !claims(&plain), "{plain}");
        let record = keeps_to(command, &run(&[command, &path, "--json"], "").output);
        assert_eq!(record["left_out"][0]["parts"], json!(["front three"]), "{command}");
        let sound = keeps_to(command, &run(&[command, &crate::demo_folder("oak-chest"), "--json"], "").output);
        assert_eq!(sound["left_out"], json!([]), "{command}");
    }
    let html = sheet_of(&path);
    assert!(html.contains("every pair that can be judged, without front three, is within tolerance"), "{html}");
    assert!(html.contains(&format!("Left out: {reason}")) && !claims(&html), "{html}");
    assert!(sheet_of(&crate::demo_folder("oak-chest")).contains("Odds that every pair is within tolerance at once"));
}
