use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::{Edit, PartEdit, PartId, ReadingEdit, ReadingId, apply, sample};

fn text_of(piece: &Piece) -> String {
    write(piece, &Extras::default()).unwrap()
}

#[test]
fn a_piece_with_everything_in_it_reads_back_equal_and_writes_the_same_bytes() {
    let piece = sample::piece();
    let text = text_of(&piece);
    let (again, extras) = read(&text).unwrap();
    assert_eq!(again, piece);
    assert!(extras.is_empty());
    assert_eq!(write(&again, &extras).unwrap(), text);
}

#[test]
fn the_file_is_as_its_schema_says() {
    let schema = include_str!("../../../../assets/schema/piece.schema.json");
    let schema = jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap();
    let check = |value: &Value| schema.iter_errors(value).map(|error| error.to_string()).collect::<Vec<_>>();
    let full: Value = serde_json::from_str(&text_of(&sample::piece())).unwrap();
    assert_eq!(check(&full), [] as [String; 0]);
    let new: Value = serde_json::from_str(&text_of(&Piece { name: "new".into(), ..Piece::default() })).unwrap();
    assert_eq!(check(&new), [] as [String; 0]);
    // The schema refuses what the reader refuses.
    for pointer in ["/readings/0/lab/2", "/parts/0/construction", "/trials/0/stages/1/step/bleach/kind", "/joints/0/a"]
    {
        let mut wrong = full.clone();
        *wrong.pointer_mut(pointer).unwrap() = json!("nonsense");
        assert!(!check(&wrong).is_empty(), "schema: {pointer}");
        assert!(read(&wrong.to_string()).is_err(), "reader: {pointer}");
    }
}

#[test]
fn the_keys_and_words_of_version_1_stay_as_they_are() {
    let text = text_of(&sample::piece());
    for line in [
        r#"  "version": 1,"#,
        r#"    { "a": "p1", "b": "p2", "meeting": "same_plane" },"#,
        r#"  "match_sample": "p1","#,
        r#"      "construction": { "veneer": { "thickness_mm": 0.6, "glue": "hide" } },"#,
        r#"      "state": { "spirit_wet": { "liquid": "white spirit", "seconds": 20.0 } },"#,
        r#"      "lab": [50.1, 8.25, 17.0],"#,
        r#"        { "step": { "dye": { "product": "c9", "grams_per_litre": 8.0, "coats": 1 } }, "readings": ["r3", "r4"] },"#,
        r#"        { "step": { "stain": { "product": "c3", "reducer_parts": 2.0, "coats": 1 } }, "readings": [] },"#,
        r#"          "step": { "stain": { "product": "c3", "reducer_parts": 4.0, "coats": 1, "wipe_minutes": 7.5 } },"#,
        r#"  "last_ids": { "parts": 3, "boards": 1, "products": 9, "photos": 1, "readings": 8, "trials": 2 }"#,
    ] {
        assert!(text.lines().any(|found| found == line), "{line}\nnot in\n{text}");
    }
}

/// Puts an unknown field into every object of the file; says how many.
fn sow(value: &mut Value, count: &mut usize) {
    match value {
        Value::Object(fields) => {
            fields.values_mut().for_each(|field| sow(field, count));
            // The object around a choice holds that choice alone.
            let lone = fields.len() == 1 && fields.values().all(Value::is_object);
            if !lone {
                *count += 1;
                fields.insert("later".into(), json!({ "number": *count, "of": [1.5, null, "text"] }));
            }
        }
        Value::Array(elements) => elements.iter_mut().for_each(|element| sow(element, count)),
        _ => {}
    }
}

fn count_later(text: &str) -> usize {
    text.matches("\"later\"").count()
}

#[test]
fn unknown_fields_survive_at_every_level() {
    let mut value: Value = serde_json::from_str(&text_of(&sample::piece())).unwrap();
    let mut sown = 0;
    sow(&mut value, &mut sown);
    assert!(sown > 60, "{sown}");
    let (piece, extras) = read(&value.to_string()).unwrap();
    assert_eq!(piece, sample::piece());
    let written = write(&piece, &extras).unwrap();
    assert_eq!(serde_json::from_str::<Value>(&written).unwrap(), value);
    // And once more: the file of this program with unknown fields in it is written byte for byte.
    let (piece, extras) = read(&written).unwrap();
    assert_eq!(write(&piece, &extras).unwrap(), written);

    // An edit leaves them where they are; what is removed takes its own along, and gets it back when that is undone.
    let moved = apply(&piece, &Edit::Part(PartEdit::Move(PartId(3), 0))).unwrap();
    let value: Value = serde_json::from_str(&write(&moved, &extras).unwrap()).unwrap();
    let original: Value = serde_json::from_str(&written).unwrap();
    assert_eq!(value["parts"][0], original["parts"][2]);
    assert_eq!(count_later(&value.to_string()), sown);
    let removed = apply(&piece, &Edit::Reading(ReadingEdit::Remove(ReadingId(8)))).unwrap();
    let text = write(&removed, &extras).unwrap();
    assert_eq!(count_later(&text), sown - 1);
    assert_eq!(write(&piece, &extras).unwrap(), written);
}

/// A text that cannot be read gives exactly this line.
#[track_caller]
fn check(text: &str, expected: &str) {
    assert_eq!(read(text).unwrap_err().to_string(), expected);
}

#[test]
fn errors_say_where_what_and_what_to_do() {
    const MEND: &str = "; mend it there";
    check("", "piece.json: not JSON (EOF while parsing a value at line 1 column 0): mend it there");
    check("[1]", "piece.json: version: expected the number 1: this is not the file of a piece, or is damaged");
    check(
        r#"{"version": "1"}"#,
        "piece.json: version: expected the number 1: this is not the file of a piece, or is damaged",
    );
    check(
        r#"{"version": 2, "anything": 0}"#,
        "piece.json: written as version 2 by a newer Tonewright; this one reads up to version 1: update Tonewright",
    );
    check(r#"{"version": 1}"#, &format!("piece.json: 'name' is missing{MEND}"));
    let with = |pointer: &str, to: Value| {
        let mut value: Value = serde_json::from_str(&text_of(&sample::piece())).unwrap();
        *value.pointer_mut(pointer).unwrap() = to;
        value.to_string()
    };
    check(
        &with("/readings/3/lab", json!([1, 2])),
        &format!("piece.json: readings[3].lab: expected three numbers{MEND}"),
    );
    check(
        &with("/readings/3/covariance_lab2/1", json!([1, 2])),
        &format!("piece.json: readings[3].covariance_lab2[1]: expected three numbers{MEND}"),
    );
    check(
        &with("/readings/3/covariance_lab2", json!([[1, 0, 0], [0, 1, 0]])),
        &format!("piece.json: readings[3].covariance_lab2: expected three rows of three numbers{MEND}"),
    );
    check(
        &with("/trials/0/stages/1/step/bleach/times", json!("two")),
        &format!(
            "piece.json: trials[0].stages[1].step.bleach.times: expected a whole number from 0 on, found the text \"two\"{MEND}"
        ),
    );
    check(
        &with("/readings/0/of", json!("x4")),
        &format!(
            "piece.json: readings[0].of: 'x4' is neither a part nor a board: expected p1, p2, … or b1, b2, …{MEND}"
        ),
    );
    check(
        &with("/parts/2/id", json!("p1")),
        "piece.json: parts[2].id: p1 is already the id of parts[0]: give one of them a number of its own",
    );
}

#[test]
fn a_number_that_is_not_finite_is_not_written() {
    let mut piece = sample::piece();
    sample::changed(&mut piece.readings, 3, |reading| reading.lab.l = f64::NAN);
    let error = write(&piece, &Extras::default()).unwrap_err().to_string();
    assert!(error.starts_with("piece.json: readings[3].lab[0]: expected three numbers"), "{error}");
}

#[test]
fn ids_added_by_hand_are_counted() {
    let text = text_of(&sample::piece()).replace(r#""parts": 3,"#, r#""parts": 1,"#);
    assert_eq!(read(&text).unwrap().0.ids.parts, 3);
    let text = text_of(&sample::piece()).replace(r#""parts": 3,"#, r#""parts": 40,"#);
    assert_eq!(read(&text).unwrap().0.ids.parts, 40);
}

/// Every place in a value, as a JSON pointer.
fn pointers(value: &Value, at: &str, out: &mut Vec<String>) {
    out.push(at.into());
    match value {
        Value::Object(fields) => fields.iter().for_each(|(key, field)| pointers(field, &format!("{at}/{key}"), out)),
        Value::Array(elements) => {
            elements.iter().enumerate().for_each(|(index, element)| pointers(element, &format!("{at}/{index}"), out));
        }
        _ => {}
    }
}

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "[a-z0-9]{0,4}".prop_map(Value::from),
        Just(json!("p4294967295")),
        Just(json!(1e308)),
    ];
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::btree_map("[a-z_]{1,6}", inner, 0..4)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        stands(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn bytes_changed_in_a_file_never_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6)) {
        let mut bytes = text_of(&sample::piece()).into_bytes();
        for (index, byte) in changes {
            let at = index.index(bytes.len());
            bytes[at] = byte;
        }
        stands(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn values_changed_in_a_file_never_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any_json()), 1..4)) {
        let mut value: Value = serde_json::from_str(&text_of(&sample::piece())).unwrap();
        for (index, to) in changes {
            let mut places = Vec::new();
            pointers(&value, "", &mut places);
            if let Some(place) = value.pointer_mut(index.get::<String>(&places)) {
                *place = to;
            }
        }
        stands(&value.to_string())?;
    }
}

/// What can be read can be checked, and written and read again as the same.
fn stands(text: &str) -> Result<(), TestCaseError> {
    match read(text) {
        Ok((piece, extras)) => {
            let _ = crate::check(&piece);
            let written = write(&piece, &extras).map_err(|error| TestCaseError::fail(error.to_string()))?;
            let (again, extras_again) = read(&written).map_err(|error| TestCaseError::fail(error.to_string()))?;
            prop_assert_eq!(&again, &piece);
            prop_assert_eq!(write(&again, &extras_again).ok(), Some(written));
        }
        Err(error) => {
            let told = error.to_string();
            prop_assert!(told.starts_with("piece.json: ") && told.lines().count() == 1, "{told}");
        }
    }
    Ok(())
}
