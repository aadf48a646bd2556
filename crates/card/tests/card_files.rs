//! Card files that mean harm, or nothing: a card that is sound, or one line with its way out.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use card::Card;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use serde_json::Value;

const CHART: &str = include_str!("../../../assets/cards/chart24.json");
/// Words of which each way out has one.
const REMEDIES: [&str; 6] = ["give", "write", "take out", "needed", "name", "within"];

fn answers(text: &str) -> std::result::Result<(), TestCaseError> {
    match Card::from_json(text) {
        Ok(card) => {
            let count = card.rows * card.columns;
            prop_assert!(count >= 1 && card.patch_ids.len() == count);
            prop_assert!((0.0..0.6).contains(&card.gap_fraction) && !card.editions.is_empty());
            for edition in &card.editions {
                prop_assert!(edition.lab.len() == count && edition.lab.iter().all(|lab| lab.l.is_finite()));
                prop_assert!(edition.lab.iter().any(|lab| lab != &edition.lab[0]), "all patches alike");
            }
        }
        Err(error) => {
            let line = error.to_string();
            prop_assert!(line.starts_with("card file") && !line.contains('\n'), "{line}");
            prop_assert!(REMEDIES.iter().any(|word| line.contains(word)), "{line}");
        }
    }
    Ok(())
}

/// One value of a JSON text, counted through the tree, put in place of by another.
fn replaced(value: &mut Value, at: &mut usize, by: &Value) -> bool {
    if *at == 0 {
        *value = by.clone();
        return true;
    }
    *at -= 1;
    match value {
        Value::Array(items) => items.iter_mut().any(|item| replaced(item, at, by)),
        Value::Object(fields) => fields.values_mut().any(|field| replaced(field, at, by)),
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 2000,
        rng_seed: RngSeed::Fixed(20_261_125),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn bytes_changed_or_lost(at in prop::collection::vec((any::<prop::sample::Index>(), 32u8..127), 1..6), cut in any::<prop::sample::Index>(), cutting in any::<bool>()) {
        let mut bytes = CHART.as_bytes().to_vec();
        for (index, value) in at {
            let place = index.index(bytes.len());
            bytes[place] = value;
        }
        if cutting {
            bytes.truncate(cut.index(bytes.len()));
        }
        answers(&String::from_utf8_lossy(&bytes))?;
    }

    /// The neighbours that are sound: one colour changed is read as changed, and nothing else is.
    #[test]
    fn a_colour_changed_is_read_as_changed(edition in 0usize..2, patch in 0usize..24, l in 0.0..100.0f64, a in -60.0..60.0f64, b in -60.0..60.0f64) {
        let mut text: Value = serde_json::from_str(CHART).unwrap();
        text["editions"][edition]["lab"][patch] = vec![l, a, b].into();
        let mut expected = Card::from_json(CHART).unwrap();
        let lab = &mut expected.editions[edition].lab[patch];
        (lab.l, lab.a, lab.b) = (l, a, b);
        prop_assert_eq!(Card::from_json(&text.to_string()), Ok(expected));
    }

    #[test]
    fn values_put_in_place_of_others(at in 0usize..400, which in 0usize..11) {
        let values = [
            Value::Null, Value::Bool(true), 0.into(), (-1).into(), 1e308.into(), 0.5.into(), u64::MAX.into(),
            "".into(), "a\nb".into(), Value::Array(Vec::new()), "x".repeat(100_000).into(),
        ];
        let mut card: Value = serde_json::from_str(CHART).unwrap();
        replaced(&mut card, &mut { at }, &values[which]);
        answers(&card.to_string())?;
    }
}

/// A card of equal patches tells nothing, and an id with a stroke cannot be told from `id/edition`.
#[test]
fn cards_that_cannot_serve_are_refused() {
    let refused = |pointer: &str, value: Value, expected: &str| {
        let mut card: Value = serde_json::from_str(CHART).unwrap();
        *card.pointer_mut(pointer).unwrap() = value;
        let line = Card::from_json(&card.to_string()).unwrap_err().to_string();
        assert!(line.contains(expected), "{line:?} does not say {expected:?}");
    };
    assert!(Card::from_json(CHART).is_ok());
    refused("/id", "my/card".into(), "`id`: give it a name without '/'");
    refused("/editions/0/id", "a/b".into(), "`editions[0].id`: give it a name without '/'");
    refused("/gap_fraction", 0.7.into(), "`gap_fraction`: 0.7 is not within");
    let first: Value = serde_json::from_str(CHART).unwrap();
    refused("/editions/1/id", first["editions"][0]["id"].clone(), "`editions[1].id`");
    refused("/editions/1/lab", vec![vec![50.0, 0.0, 0.0]; 24].into(), "`editions[1].lab`: all patches have one colour");
}
