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
