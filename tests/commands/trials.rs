//! Trials as they cannot have been: `check` lists them, what reckons says the same of them, and nothing is learned from what cannot
//! teach. Order and state of steps: common practice, no source.

use serde_json::{Value, json};

use crate::{
    assumed::{demo_value, folder_with},
    run,
    schema::keeps_to,
};

/// The trial of this id in a piece file.
fn trial<'v>(value: &'v mut Value, id: &str) -> &'v mut Value {
    value["trials"].as_array_mut().unwrap().iter_mut().find(|trial| trial["id"] == id).expect("the trial")
}

/// The reading of this id in a piece file.
fn reading<'v>(value: &'v mut Value, id: &str) -> &'v mut Value {
    value["readings"].as_array_mut().unwrap().iter_mut().find(|reading| reading["id"] == id).expect("the reading")
}

fn checked(path: &str) -> (u8, Value) {
    let ran = run(&["check", path, "--json"], "");
    (ran.code, keeps_to("check", &ran.output))
}

fn ranked(path: &str, part: &str) -> Value {
    keeps_to("rank", &run(&["rank", path, "--part", part, "--json"], "").output)
}

/// What `check` finds wrong with a trial.
fn problems_of(check: &Value, id: &str) -> Vec<String> {
    let of_it = check["problems"].as_array().unwrap().iter().filter(|one| one["at"] == format!("trial {id}"));
    of_it.map(|one| one["text"].as_str().unwrap().to_owned()).collect()
}

/// The notes of `check`.
fn notes_of(check: &Value) -> Vec<&str> {
    check["notes"].as_array().unwrap().iter().filter_map(Value::as_str).collect()
}

/// Why the ranking sets a trial aside, and whether nothing is learned from it.
fn set_aside<'v>(rank: &'v Value, id: &str) -> (&'v str, bool) {
    let aside = rank["set_aside"].as_array().unwrap().iter().find(|one| one["trial"] == id).expect("set aside");
    (aside["why"].as_str().unwrap(), aside["left_out"].as_bool().unwrap())
}

/// Puts these steps, without a reading of their own, before the last step of the trial that stains a board of the chest.
fn with_steps(steps: &[Value]) -> Value {
    let mut value = demo_value("oak-chest");
    let stages = trial(&mut value, "t8")["stages"].as_array_mut().unwrap();
    let readings = stages.last().unwrap()["readings"].clone();
    let last = steps.len() - 1;
    let stage = |(at, step): (usize, &Value)| json!({ "step": step, "readings": if at == last { readings.clone() } else { json!([]) } });
    *stages = steps.iter().enumerate().map(stage).collect();
    value
}

fn bleach(kind: &str) -> Value {
    json!({ "bleach": { "kind": kind, "times": 1 } })
}

fn stain() -> Value {
    json!({ "stain": { "product": "c2", "reducer_parts": 1.0, "coats": 1 } })
}

fn topcoat() -> Value {
    json!({ "topcoat": { "topcoat": "oil varnish", "sheen": "satin" } })
}

#[test]
fn steps_in_an_order_that_cannot_be_are_found_by_check_in_the_words_of_the_ranking() {
    let dye = json!({ "dye": { "product": "c1", "grams_per_litre": 4.0, "coats": 1 } });
    let (seal, sand) = (json!("seal"), json!({ "sand": { "grit": 180 } }));
    for (steps, words, left_out) in [
        (vec![bleach("chlorine"), bleach("oxalic"), topcoat()], "chlorine gas", false),
        (vec![bleach("chlorine"), bleach("two_part"), topcoat()], "chlorine gas", false),
        (vec![stain(), bleach("two_part"), topcoat()], "no bleach takes out pigment", false),
        (vec![bleach("two_part"), sand, topcoat()], "no sanding after bleach", false),
        (vec![stain(), dye, topcoat()], "it comes before", false),
        (vec![seal.clone(), stain(), topcoat()], "over a sealer it hardly takes", true),
        (vec![topcoat(), stain(), topcoat()], "over a sealer it hardly takes", true),
        (vec![seal, bleach("two_part"), topcoat()], "under a sealer", true),
    ] {
        let (_folder, path) = folder_with(&with_steps(&steps));
        let (code, check) = checked(&path);
        let rank = ranked(&path, "carcass");
        let (why, is_left_out) = set_aside(&rank, "t8");
        assert!(why.contains(words), "{why}");
        assert_eq!((code, is_left_out), (1, left_out), "{steps:?}");
        assert!(problems_of(&check, "t8").contains(&why.to_owned()), "{why}: {check}");
        // Said once.
        assert!(rank["problems"].as_array().unwrap().iter().all(|one| one["text"] != why), "{rank}");
    }
}

/// A stain tried over a coat says nothing of stain on bare wood: without another trial of it, it is not predicted at all.
#[test]
fn a_step_tried_where_it_cannot_act_teaches_nothing_of_where_it_can() {
    let mut value = with_steps(&[topcoat(), stain(), topcoat()]);
    value["trials"].as_array_mut().unwrap().retain(|trial| trial["id"] != "t12");
    let (_folder, path) = folder_with(&value);
    let rank = ranked(&path, "carcass");
    let is_stained = |row: &Value| row["schedule"].as_str().unwrap().contains("dark oak");
    assert!(!rank["rows"].as_array().unwrap().iter().any(is_stained), "{rank}");
    assert!(rank["untried"].as_array().unwrap().iter().any(|one| one.as_str().unwrap().contains("dark oak")), "{rank}");
    // In its place it is.
    let (_folder, path) = folder_with(&with_steps(&[stain(), topcoat()]));
    assert!(ranked(&path, "carcass")["rows"].as_array().unwrap().iter().any(is_stained));
}

/// A toner put on what was read as sealed went over that sealer.
#[test]
fn a_toner_on_a_board_that_was_sealed_before_is_in_its_place() {
    let mut value = demo_value("cherry-bureau");
    let stages = |trial: &mut Value| -> Vec<Value> {
        trial["stages"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|stage| stage["step"].get("toner").is_some())
            .cloned()
            .collect()
    };
    let toned = trial(&mut value, "t13");
    let sealed = toned["stages"][1]["readings"].clone();
    (toned["before"], toned["stages"]) = (sealed, stages(toned).into());
    let (_folder, path) = folder_with(&value);
    assert_eq!(problems_of(&checked(&path).1, "t13"), Vec::<String>::new());
    // On bare wood it is not.
    let toned = trial(&mut value, "t13");
    toned["before"] = json!([]);
    let (_folder, path) = folder_with(&value);
    let found = problems_of(&checked(&path).1, "t13");
    assert!(found.iter().any(|text| text.contains("it belongs over a sealer or washcoat")), "{found:?}");
}

/// A gel has no grams to the litre, and nothing is lighter than white: not understood, and not learned from.
#[test]
fn what_cannot_have_been_put_on_or_read_teaches_nothing() {
    let mut gel = demo_value("oak-chest");
    gel["products"][0]["kind"] = "gel".into();
    let mut light = demo_value("oak-chest");
    let read = trial(&mut light, "t9")["stages"][1]["readings"][0].as_str().unwrap().to_owned();
    reading(&mut light, &read)["lab"][0] = 130.0.into();
    let of_light = format!("reading {read}: L* is 130: expected -5 to 105");
    for (value, words) in [(gel, "is used as a dye, in g/L, but is of another kind"), (light, of_light.as_str())] {
        let (_folder, path) = folder_with(&value);
        let (code, check) = checked(&path);
        let rank = ranked(&path, "front four");
        let (why, is_left_out) = set_aside(&rank, "t9");
        assert!(why.contains(words) && is_left_out, "{why}");
        assert_eq!(code, 1);
        let told = check["problems"].as_array().unwrap().iter();
        let told = told.filter(|one| format!("{}: {}", one["at"], one["text"]).replace('"', "").contains(words));
        assert!(told.count() > 0, "{check}");
        let rests_on_it = |row: &Value| row["evidence"]["trials"].as_array().unwrap().contains(&json!("t9"));
        assert!(!rank["rows"].as_array().unwrap().iter().any(rests_on_it), "{rank}");
    }
}

/// One measurement is one measurement, however often it is attached: five copies of a trial make nothing surer.
#[test]
fn the_readings_of_a_trial_count_once() {
    let value = demo_value("oak-chest");
    let mut copied = value.clone();
    for number in 90..95 {
        let mut copy = trial(&mut copied, "t8").clone();
        copy["id"] = format!("t{number}").into();
        copied["trials"].as_array_mut().unwrap().push(copy);
    }
    let ((_a, once), (_b, copies)) = (folder_with(&value), folder_with(&copied));
    let [once, ranked_copies] = [&once, &copies].map(|path| ranked(path, "carcass"));
    assert_eq!(once["rows"], ranked_copies["rows"]);
    let (code, check) = checked(&copies);
    assert_eq!(code, 1);
    for number in 90..95 {
        let id = format!("t{number}");
        let found = problems_of(&check, &id);
        assert!(found.len() == 1 && found[0].contains("after a step of trial t8 already"), "{found:?}");
        assert_eq!(set_aside(&ranked_copies, &id), (found[0].as_str(), true));
    }
    assert_eq!(problems_of(&check, "t8"), Vec::<String>::new());
}

/// What stands in for a reading that is missing is said, once, by all; and not that the trial teaches nothing.
#[test]
fn what_its_part_lends_a_trial_is_said_and_nothing_else() {
    let mut value = demo_value("oak-chest");
    let on = trial(&mut value, "t8")["on"].clone();
    value["trials"].as_array_mut().unwrap().retain(|trial| trial["on"] != on || trial["id"] == "t8");
    let kept = trial(&mut value, "t8")["stages"].to_string();
    trial(&mut value, "t8")["before"] = json!([]);
    let in_stage = |reading: &Value| kept.contains(&format!("\"{}\"", reading["id"].as_str().unwrap()));
    value["readings"].as_array_mut().unwrap().retain(|reading| reading["of"] != on || in_stage(reading));
    let (_folder, path) = folder_with(&value);
    let (code, check) = checked(&path);
    assert_eq!((code, &check["problems"]), (0, &json!([])));
    let notes = notes_of(&check);
    let of_it: Vec<&&str> = notes.iter().filter(|note| note.starts_with("trial t8:")).collect();
    assert!(of_it.len() == 1 && of_it[0].contains("a reading of its part stands in"), "{notes:?}");
    let rank = ranked(&path, "carcass");
    assert_eq!((&rank["notes"], &rank["set_aside"]), (&check["notes"], &json!([])));
}

/// A slip that may be none is asked about: a dye in what does not dissolve it (common practice, no source), nothing read after a step, a
/// colour that made the wood lighter, and a mix of what does not pour together is not said to be of what was not tried.
#[test]
fn what_may_be_a_slip_is_asked_about() {
    let mut unread = demo_value("oak-chest");
    for stage in trial(&mut unread, "t8")["stages"].as_array_mut().unwrap() {
        stage["readings"] = json!([]);
    }
    let mut swapped = demo_value("oak-chest");
    let (before, after) = {
        let stained = trial(&mut swapped, "t8");
        (
            stained["before"][0].as_str().unwrap().to_owned(),
            stained["stages"][0]["readings"][0].as_str().unwrap().to_owned(),
        )
    };
    let [dark, light] = [&after, &before].map(|id| reading(&mut swapped, id)["lab"][0].clone());
    assert!(dark.as_f64() < light.as_f64());
    reading(&mut swapped, &after)["lab"][0] = (light.as_f64().unwrap() + 10.0).into();
    let mut mixed = demo_value("oak-chest");
    let parts = json!([{ "product": "c1", "volume_parts": 1.0 }, { "product": "c2", "volume_parts": 1.0 }]);
    mixed["products"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "id": "c50", "name": "odd mix", "kind": "pigment", "reducer": "white spirit", "mix": parts }));
    let mut undissolved = demo_value("oak-chest");
    undissolved["products"][0]["reducer"] = "distilled water".into();
    for (value, words) in [
        (undissolved, "amber alcohol dye: an alcohol dye dissolves in meths, and water is noted"),
        (unread, "trial t8: nothing was read after dark oak wiping stain"),
        (swapped, "trial t8: lighter after dark oak wiping stain"),
        (mixed, "odd mix: its parts amber alcohol dye and dark oak wiping stain do not pour together"),
    ] {
        let (_folder, path) = folder_with(&value);
        let (_, check) = checked(&path);
        assert!(notes_of(&check).iter().any(|note| note.starts_with(words)), "{words}: {check}");
        assert_eq!(ranked(&path, "carcass")["notes"], check["notes"]);
    }
    let (_, sound) = checked(&crate::demo_folder("oak-chest"));
    let left = notes_of(&sound);
    assert!(left.len() == 1 && left[0].starts_with("the parts and trials "), "{left:?}");
}

/// A trial that was taken out by hand leaves its readings: what was read of the coloured board is none of bare wood, whatever its state. With
/// them and without them the same comes out, and they are told.
#[test]
fn readings_that_no_trial_explains_teach_nothing_and_are_told() {
    let mut left = demo_value("oak-chest");
    let taken = left["trials"].as_array_mut().unwrap().remove(7);
    assert_eq!(taken["on"], "b5");
    let of_stages: Vec<&str> = taken["stages"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|stage| stage["readings"].as_array().unwrap())
        .filter_map(|id| id.as_str())
        .collect();
    assert!(of_stages.len() > 1, "{taken}");
    let mut gone = left.clone();
    gone["readings"].as_array_mut().unwrap().retain(|reading| !of_stages.contains(&reading["id"].as_str().unwrap()));
    let (_left, left) = folder_with(&left);
    let (_gone, gone) = folder_with(&gone);
    let (with, without) = (ranked(&left, "front four"), ranked(&gone, "front four"));
    assert_eq!(with["rows"], without["rows"]);
    let (_, check) = checked(&left);
    let told: Vec<&str> =
        notes_of(&check).into_iter().filter(|note| note.starts_with("board 5: nothing says")).collect();
    assert!(told.len() == 1 && of_stages.iter().all(|id| told[0].contains(id)), "{check}");
    let (_, check) = checked(&gone);
    assert!(!notes_of(&check).iter().any(|note| note.starts_with("board 5: nothing says")), "{check}");
}
