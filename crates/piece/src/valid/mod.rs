//! What the values of each element must keep to. Edits refuse what does not; [`check`](crate::check()) reports it in a
//! piece that came from a file.

mod reading;
mod target;
mod things;
mod trial;

pub(crate) use reading::{covariance, reading, reading_numbers};
pub(crate) use target::{plan, tolerances};
pub(crate) use things::{part, photo, product};
pub(crate) use trial::{numbers, past_use, product_of, trial};

use crate::{Error, Piece, Surface, number::said};

type Checked = Result<(), Error>;

/// A number within a range, or the sentence that says otherwise.
fn within(at: &str, what: &str, value: f64, low: f64, high: f64) -> Checked {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(Error::invalid(at, format!("{what} is {}: expected {low} to {high}", said(value))))
    }
}

/// A number above zero, up to a bound.
fn above_zero(at: &str, what: &str, value: f64, high: f64) -> Checked {
    if value > 0.0 && value <= high {
        Ok(())
    } else {
        Err(Error::invalid(at, format!("{what} is {}: expected more than 0, up to {high}", said(value))))
    }
}

/// A grit, from coarse paper for paint to fine paper for polishing (common practice, no source).
fn grit(at: &str, grit: u32) -> Checked {
    within(at, "the grit", f64::from(grit), 16.0, 5000.0)
}

/// A name that can be shown and typed: not blank, on one line.
pub(crate) fn name(at: &str, name: &str) -> Checked {
    if name.trim().is_empty() {
        return Err(Error::invalid(at, "the name is empty: give it one"));
    }
    if name.chars().any(char::is_control) {
        return Err(Error::invalid(at, "the name has a line break or other control character: keep it on one line"));
    }
    Ok(())
}

/// A date and time, with or without an offset from UTC.
pub(crate) fn is_time(text: &str) -> bool {
    text.parse::<jiff::civil::DateTime>().is_ok() || text.parse::<jiff::Timestamp>().is_ok()
}

/// A part or board that is there.
pub(crate) fn surface(piece: &Piece, surface: Surface) -> Checked {
    let (there, kind, id) = match surface {
        Surface::Part(id) => (piece.part(id).is_some(), "part", id.to_string()),
        Surface::Board(id) => (piece.board(id).is_some(), "board", id.to_string()),
    };
    if there { Ok(()) } else { Err(Error::NoSuch { kind, id }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_local_or_with_an_offset() {
        for text in ["2026-03-14T09:30:00", "2026-03-14T09:30:00+01:00", "2026-03-14T09:30:00Z"] {
            assert!(is_time(text), "{text}");
        }
        for text in ["yesterday", "14.3.2026", "2026-13-01T00:00:00"] {
            assert!(!is_time(text), "{text}");
        }
    }
}
