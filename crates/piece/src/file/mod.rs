//! The text of a piece file: reading it, and writing it again.
//!
//! The records with their keys are in [`v1`], apart from the model. Fields that this version does not know are kept as
//! [`Extras`] and written back where they stood.

mod extras;
mod text;
pub mod v1;

pub use extras::Extras;

use serde_json::Value;

use crate::{Book, Error, Piece};

/// The version written, and the newest that is read.
pub const VERSION: u64 = 1;

/// The piece in this text, and the fields that this version does not know.
///
/// # Errors
/// Where it is not JSON, of a newer version, or does not say what it should: with the path in the JSON.
pub fn read(text: &str) -> Result<(Piece, Extras), Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let original: Value =
        serde_json::from_str(text).map_err(|error| file_error("", &format!("not JSON ({error}): mend it there")))?;
    match original.get("version").and_then(Value::as_u64) {
        Some(VERSION) => {}
        Some(found) if found > VERSION => return Err(Error::Newer { found, known: VERSION }),
        _ => {
            return Err(file_error(
                "version: ",
                "expected the number 1: this is not the file of a piece, or is damaged",
            ));
        }
    }
    let piece = v1::read(&original)?;
    let known = v1::write(&piece)?;
    within_reason(&known, "")?;
    let extras = Extras::beside(&original, &known);
    Ok((piece, extras))
}

/// The text of this piece, with the fields that this version does not know.
///
/// # Errors
/// Where the piece holds what could not be read back, such as a number that is not finite.
pub fn write(piece: &Piece, extras: &Extras) -> Result<String, Error> {
    let mut value = v1::write(piece)?;
    // Nothing is ever written that this program would then refuse to open.
    v1::read(&value)?;
    within_reason(&value, "")?;
    extras.put_back(&mut value);
    Ok(text::pretty(&value))
}

/// No number of a piece is as large: one that is was mistyped, and nothing can be reckoned with it.
const LARGEST: f64 = 1e12;

/// Refuses a number that cannot have been meant, with its path.
fn within_reason(value: &Value, at: &str) -> Result<(), Error> {
    match value {
        Value::Number(number) if number.as_f64().is_some_and(|number| number.abs() > LARGEST) => {
            let problem = format!("the number {number} is too large to have been meant; mend it there");
            Err(file_error(&format!("{at}: "), &problem))
        }
        Value::Array(elements) => {
            elements.iter().enumerate().try_for_each(|(index, one)| within_reason(one, &format!("{at}[{index}]")))
        }
        Value::Object(fields) => fields.iter().try_for_each(|(key, one)| {
            let dot = if at.is_empty() { "" } else { "." };
            within_reason(one, &format!("{at}{dot}{key}"))
        }),
        _ => Ok(()),
    }
}

/// The shop book in this text.
///
/// # Errors
/// Where it is not JSON, of a newer version, or does not say what it should.
pub fn read_book(text: &str) -> Result<Book, Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let value: Value = serde_json::from_str(text).map_err(|error| file_error("", &format!("not JSON ({error})")))?;
    v1::book::read(&value)
}

/// The text of a shop book.
///
/// # Errors
/// Where it holds what could not be read back.
pub fn write_book(book: &Book) -> Result<String, Error> {
    let value = v1::book::write(book)?;
    v1::book::read(&value)?;
    Ok(text::pretty(&value))
}

fn file_error(at: &str, problem: &str) -> Error {
    Error::File { at: at.into(), problem: problem.into() }
}

#[cfg(test)]
mod tests;
