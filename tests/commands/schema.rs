//! Every `--json` output keeps to its schema in `assets/schema/`.

use serde_json::Value;

/// The output of a command as JSON, held against the schema of that name.
pub(crate) fn keeps_to(name: &str, text: &str) -> Value {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/schema");
    let schema = std::fs::read_to_string(folder.join(format!("{name}.schema.json"))).expect("the schema is there");
    let schema: Value = serde_json::from_str(&schema).expect("the schema is JSON");
    let value: Value = serde_json::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}: {text}"));
    let validator = jsonschema::validator_for(&schema).expect("the schema is a schema");
    let problems: Vec<String> =
        validator.iter_errors(&value).map(|error| format!("{}: {error}", error.instance_path)).collect();
    assert!(problems.is_empty(), "{name}: {problems:#?}");
    value
}

#[test]
fn a_schema_refuses_what_it_should() {
    let schema: Value = serde_json::from_str(include_str!("../../assets/schema/differ.schema.json")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    assert!(!validator.is_valid(&serde_json::json!([{ "lab1": [50, 0], "de00": -1 }])));
}

#[test]
fn differ_and_cards_keep_to_their_schemas() {
    let ran = crate::run(&["differ", "--json"], "L1,a1,b1,L2,a2,b2\n50,0,0,50,-1,2\n");
    keeps_to("differ", &ran.output);
    let ran = crate::run(&["cards", "--json"], "");
    let cards = keeps_to("cards", &ran.output);
    // The 24-patch colour-rendition chart of McCamy, Marcus, Davidson (1976) has 6 columns and 4 rows.
    assert_eq!((cards["cards"][0]["columns"].as_u64(), cards["cards"][0]["rows"].as_u64()), (Some(6), Some(4)));
}

/// A file of `assets/schema`.
fn asset(name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/schema");
    std::fs::read_to_string(folder.join(name)).expect("the file is there")
}

/// Rows of the table under a heading of read.md, without its head.
fn rows(text: &str, heading: &str) -> Vec<String> {
    let under = text.split_once(&format!("## {heading}\n")).expect("the heading").1;
    let under = under.split("\n## ").next().unwrap_or_default();
    under.lines().filter(|line| line.starts_with("| `")).map(str::to_owned).collect()
}

/// The codes of warnings that the schema and its text list are those of the program, in its order, with its words.
#[test]
fn every_code_of_a_warning_is_listed() {
    let schema: Value = serde_json::from_str(&asset("read.schema.json")).expect("JSON");
    let codes = &schema["properties"]["warnings"]["items"]["properties"]["code"]["oneOf"];
    let listed: Vec<(&str, &str)> = codes
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| (one["const"].as_str().expect("a code"), one["description"].as_str().expect("words")))
        .collect();
    let known = card::warning::CODES.map(|known| (known.code, format!("{}; {}", known.says, known.remedy)));
    assert_eq!(listed, known.iter().map(|(code, words)| (*code, words.as_str())).collect::<Vec<_>>());
    let wanted = card::warning::CODES.map(|known| format!("| `{}` | {} | {} |", known.code, known.says, known.remedy));
    assert_eq!(rows(&asset("read.md"), "Warnings"), wanted);
}

/// Every kind of shared error, one after the other: a new one does not compile until it stands here.
fn factors() -> Vec<card::Factor> {
    use card::{Along, Factor};
    let next = |factor: &Factor| match factor {
        Factor::Card(_) => Some(Factor::PhotoLight),
        Factor::PhotoLight => Some(Factor::PhotoFit { lightness: 66 }),
        Factor::PhotoFit { .. } => Some(Factor::PhotoSlope(Along::Rows)),
        Factor::PhotoSlope(Along::Rows) => Some(Factor::PhotoSlope(Along::Columns)),
        Factor::PhotoSlope(Along::Columns) => Some(Factor::PhotoCast),
        Factor::PhotoCast => Some(Factor::Drift),
        Factor::Drift => None,
    };
    std::iter::successors(Some(Factor::Card("chart24".into())), next).collect()
}

/// The schema's names of shared errors are those of the program: each fits one, and none is left over.
#[test]
fn every_shared_error_is_listed() {
    let schema: Value = serde_json::from_str(&asset("read.schema.json")).expect("JSON");
    let region = &schema["properties"]["regions"]["items"]["properties"];
    let names = region["shared"]["items"]["properties"]["factor"]["oneOf"].as_array().expect("a list");
    let fits = |name: &Value, factor: &str| {
        jsonschema::validator_for(name).expect("a schema").is_valid(&Value::String(factor.to_owned()))
    };
    let written: Vec<String> = factors().iter().map(card::Factor::to_string).collect();
    assert_eq!(written.len(), names.len(), "{written:?}");
    for (factor, name) in written.iter().zip(names) {
        assert!(fits(name, factor), "{factor} is not {name}");
        assert_eq!(names.iter().filter(|name| fits(name, factor)).count(), 1, "{factor}");
    }
    assert!(!names.iter().any(|name| fits(name, "photo:glow")));
    let text = |name: &Value, key: &str| name[key].as_str().expect("words").to_owned();
    let wanted: Vec<String> =
        names.iter().map(|name| format!("| `{}` | {} |", text(name, "title"), text(name, "description"))).collect();
    assert_eq!(rows(&asset("read.md"), "Shared errors"), wanted);
    // 1.645 standard deviations hold nine in ten: `corners_by_hand_win_and_the_plain_table_names_its_interval` holds that to be true.
    assert!(
        text(&region["covariance"], "description").contains("1σ², one standard deviation squared, not scaled to 90 %")
    );
}
