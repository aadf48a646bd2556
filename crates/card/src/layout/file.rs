//! The JSON file of a card: read, checked, and what is wrong with it told in one line.

use colour::Lab;
use serde::Deserialize;

use super::{Card, Edition, FEWEST_WITHOUT_GREY, MAX_SIDE};

/// Chroma up to which a patch is a white or grey, and lightness from which on it is not too dark for one.
const GREY: (f64, f64) = (8.0, 30.0);

/// A card no two patches of which differ by more than this in CIELAB tells nothing of a photo's colours.
const ALIKE: f64 = 5.0;

/// Most characters of a name, or of a reader's words in a message.
const MOST_CHARACTERS: usize = 160;

/// A card file that cannot be used: one line saying what is wrong, where, and what was expected.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// Not JSON of the expected shape.
    #[error(
        "card file, line {line}, column {column}: {what}; write JSON with id, name, rows, columns, gap_fraction and editions"
    )]
    Shape {
        /// Line of the file, from 1.
        line: usize,
        /// Column of the line, from 1.
        column: usize,
        /// What the reader objected to.
        what: String,
    },
    /// Well-formed, but a value does not make sense.
    #[error("card file, `{place}`: {what}")]
    Value {
        /// The key, such as `editions[1].lab[3]`.
        place: String,
        /// What is wrong with it and what was expected.
        what: String,
    },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CardRecord {
    id: String,
    name: String,
    rows: usize,
    columns: usize,
    gap_fraction: f64,
    #[serde(default)]
    pitch_mm: Option<f64>,
    #[serde(default)]
    patch_ids: Vec<String>,
    editions: Vec<EditionRecord>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EditionRecord {
    id: String,
    name: String,
    source: String,
    lab: Vec<[f64; 3]>,
}

impl Card {
    /// Reads a card from the text of its JSON file and checks it.
    ///
    /// # Errors
    /// [`LayoutError`] with one line naming the place and what was expected there.
    pub fn from_json(text: &str) -> Result<Card, LayoutError> {
        let record: CardRecord = serde_json::from_str(text).map_err(|error| {
            let full = error.to_string();
            let what = full.split(" at line ").next().unwrap_or(&full).replace('\n', " ");
            let what = what.chars().take(MOST_CHARACTERS).collect();
            LayoutError::Shape { line: error.line(), column: error.column(), what }
        })?;
        record.checked()
    }
}

impl CardRecord {
    fn checked(self) -> Result<Card, LayoutError> {
        key("id", &self.id)?;
        named("name", &self.name)?;
        for (place, side) in [("rows", self.rows), ("columns", self.columns)] {
            if side == 0 || side > MAX_SIDE {
                return Err(wrong(
                    place,
                    format!("{side} is not a number of patches from 1 to {MAX_SIDE}; give it as counted on the card"),
                ));
            }
        }
        let count = self.rows * self.columns;
        if !(0.0..0.6).contains(&self.gap_fraction) {
            let what = format!("{} is not within 0 to 0.6 of the pitch; give gap over pitch", self.gap_fraction);
            return Err(wrong("gap_fraction", what));
        }
        if let Some(pitch) = self.pitch_mm
            && !(pitch.is_finite() && pitch > 0.0)
        {
            return Err(wrong("pitch_mm", format!("{pitch} is not a length above 0; give millimetres, or null")));
        }
        let patch_ids = checked_ids(self.patch_ids, self.columns, count)?;
        if self.editions.is_empty() {
            return Err(wrong("editions", "at least one edition with its colours is needed".to_owned()));
        }
        let mut editions: Vec<Edition> = Vec::with_capacity(self.editions.len());
        for (k, record) in self.editions.into_iter().enumerate() {
            let edition = record.checked(k, count)?;
            if editions.iter().any(|other| other.id == edition.id) {
                return Err(wrong(&format!("editions[{k}].id"), twice(&edition.id)));
            }
            editions.push(edition);
        }
        Ok(Card {
            id: self.id,
            name: self.name,
            rows: self.rows,
            columns: self.columns,
            gap_fraction: self.gap_fraction,
            pitch_mm: self.pitch_mm,
            patch_ids,
            editions,
        })
    }
}

impl EditionRecord {
    fn checked(self, k: usize, count: usize) -> Result<Edition, LayoutError> {
        key(&format!("editions[{k}].id"), &self.id)?;
        named(&format!("editions[{k}].name"), &self.name)?;
        if self.lab.len() != count {
            let what = format!("{} colours for {count} patches; give one per patch, row by row", self.lab.len());
            return Err(wrong(&format!("editions[{k}].lab"), what));
        }
        for (n, lab) in self.lab.iter().enumerate() {
            let sound = (0.0..=110.0).contains(&lab[0]) && lab[1].abs() <= 200.0 && lab[2].abs() <= 200.0;
            if !sound {
                let what = format!("{lab:?} is not a CIELAB colour; give L* 0 to 100, a* and b* within 200");
                return Err(wrong(&format!("editions[{k}].lab[{n}]"), what));
            }
        }
        let near = |a: &[f64; 3], b: &[f64; 3]| (0..3).map(|c| (a[c] - b[c]).powi(2)).sum::<f64>().sqrt() < ALIKE;
        let grey = |lab: &[f64; 3]| lab[1].hypot(lab[2]) < GREY.0 && lab[0] > GREY.1;
        if count < FEWEST_WITHOUT_GREY && !self.lab.iter().any(grey) {
            let what = format!(
                "fewer than {FEWEST_WITHOUT_GREY} patches must have a white or grey; give a card of more patches"
            );
            return Err(wrong(&format!("editions[{k}].lab"), what));
        }
        if count > 1 && self.lab.iter().all(|lab| near(lab, &self.lab[0])) {
            let what = "all patches have one colour; give the colours published for each".to_owned();
            return Err(wrong(&format!("editions[{k}].lab"), what));
        }
        let lab = self.lab.iter().map(|lab| Lab::new(lab[0], lab[1], lab[2])).collect();
        Ok(Edition { id: self.id, name: self.name, source: self.source, lab })
    }
}

fn checked_ids(ids: Vec<String>, columns: usize, count: usize) -> Result<Vec<String>, LayoutError> {
    if ids.is_empty() {
        return Ok((0..count).map(|k| format!("{}-{}", k / columns + 1, k % columns + 1)).collect());
    }
    if ids.len() != count {
        return Err(wrong("patch_ids", format!("{} names for {count} patches; give one per patch or none", ids.len())));
    }
    for (k, id) in ids.iter().enumerate() {
        named(&format!("patch_ids[{k}]"), id)?;
        if ids[..k].contains(id) {
            return Err(wrong(&format!("patch_ids[{k}]"), twice(id)));
        }
    }
    Ok(ids)
}

fn named(place: &str, text: &str) -> Result<(), LayoutError> {
    if text.trim().is_empty() || text.contains(char::is_control) || text.chars().count() > MOST_CHARACTERS {
        return Err(wrong(place, format!("a name of one line is needed, of at most {MOST_CHARACTERS} characters")));
    }
    Ok(())
}

/// A name that is written on the command line, where a stroke parts the card from its edition.
fn key(place: &str, text: &str) -> Result<(), LayoutError> {
    named(place, text)?;
    if text.contains('/') {
        return Err(wrong(place, "give it a name without '/'".to_owned()));
    }
    Ok(())
}

fn twice(id: &str) -> String {
    format!("`{id}` is used twice; give each its own")
}

fn wrong(place: &str, what: String) -> LayoutError {
    LayoutError::Value { place: place.to_owned(), what }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(rows: &str, rest: &str, lab: &str) -> String {
        format!(
            r#"{{"id": "own", "name": "own card", "rows": {rows}, "columns": 2, "gap_fraction": 0.1{rest},
                "editions": [{{"id": "a", "name": "a", "source": "invented", "lab": {lab}}}]}}"#
        )
    }

    const LAB: &str = "[[90, 0, 0], [50, 60, 30], [40, -40, 20], [10, 0, 0]]";

    #[test]
    fn a_small_card_is_read_and_its_patches_are_numbered() {
        let card = Card::from_json(&file("2", "", LAB)).unwrap();
        assert_eq!(card.patch_ids, ["1-1", "1-2", "2-1", "2-2"]);
        assert_eq!((card.len(), card.pitch_mm), (4, None));
        assert_eq!(card.editions[0].lab[2], Lab::new(40.0, -40.0, 20.0));
    }

    #[test]
    fn a_wrong_card_file_is_told_in_one_line() {
        let check = |text: &str, expected: &str| {
            let told = Card::from_json(text).unwrap_err().to_string();
            assert!(told.contains(expected) && !told.contains('\n'), "{told:?} does not say {expected:?}");
        };
        check("", "line 1, column 0: EOF while parsing a value");
        check("{\"id\": \"x\",\n \"rows\": 4}", "line 2, column 11: missing field `name`");
        check(&file("2.5", "", LAB), "line 1, column 45: invalid type: floating point `2.5`, expected usize");
        check(&file("2", ", \"brand\": 1", LAB), "unknown field `brand`");
        check(&file("0", "", LAB), "`rows`: 0 is not a number of patches from 1 to 40");
        check(&file("41", "", LAB), "`rows`: 41 is not a number of patches from 1 to 40");
        check(
            &file("1", "", "[[50, 60, 30], [20, 0, 0]]"),
            "`editions[0].lab`: fewer than 4 patches must have a white or grey",
        );
        check(&file("3", "", LAB), "`editions[0].lab`: 4 colours for 6 patches");
        check(&file("2", ", \"pitch_mm\": -3", LAB), "`pitch_mm`: -3 is not a length above 0");
        check(&file("2", ", \"patch_ids\": [\"a\", \"b\"]", LAB), "`patch_ids`: 2 names for 4 patches");
        check(&file("2", ", \"patch_ids\": [\"a\", \"b\", \"a\", \"c\"]", LAB), "`patch_ids[2]`: `a` is used twice");
        check(&file("2", "", "[[90, 0, 0], [50, 60, 30], [140, -40, 20], [10, 0, 0]]"), "`editions[0].lab[2]`");
        check(&file("2", "", LAB).replace("0.1", "0.9"), "`gap_fraction`: 0.9 is not within 0 to 0.6");
        check(&file("2", "", LAB).replace("\"own\"", "\" \""), "`id`: a name of one line is needed");
        check(
            r#"{"id":"x","name":"x","rows":2,"columns":2,"gap_fraction":0.1,"editions":[]}"#,
            "`editions`: at least one",
        );
        check(&"[".repeat(100_000), "line 1");
    }
}
