//! Stable ids: given once, never reused, kept in the file.

use std::{fmt, str::FromStr};

/// An id as it stands in the file: a letter for the kind and a number, `p3`.
pub trait Id: Copy + Ord + fmt::Display + FromStr<Err = String> {
    /// The letter of this kind of id.
    const LETTER: char;
    /// What carries such an id, in words: 'part'.
    const KIND: &'static str;
    /// The id with this number.
    fn from_number(number: u32) -> Self;
    /// The number within the kind.
    fn number(self) -> u32;
    /// Where the numbers of this kind are counted.
    fn count(ids: &Ids) -> &u32;
    /// The same, to count on.
    fn count_mut(ids: &mut Ids) -> &mut u32;
}

/// The highest number given so far for each kind of id. It only grows: a number outlives what it was given to, so that
/// nothing kept elsewhere under an id can come to mean something else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Ids {
    /// Of parts.
    pub parts: u32,
    /// Of boards.
    pub boards: u32,
    /// Of products.
    pub products: u32,
    /// Of photos.
    pub photos: u32,
    /// Of readings.
    pub readings: u32,
    /// Of trials.
    pub trials: u32,
}

impl Ids {
    /// The id that the next element of this kind will get.
    pub fn next<I: Id>(&self) -> I {
        self.ahead(0)
    }

    /// The id that will be given after `others` more of this kind: for an edit that adds several at once.
    pub fn ahead<I: Id>(&self, others: u32) -> I {
        I::from_number(I::count(self).saturating_add(1).saturating_add(others))
    }

    /// Gives the next id of this kind for good; none once four thousand million are used up.
    pub(crate) fn give<I: Id>(&mut self) -> Option<I> {
        let count = I::count_mut(self);
        *count = count.checked_add(1)?;
        Some(I::from_number(*count))
    }

    /// Takes note that this id is in use.
    pub fn note<I: Id>(&mut self, id: I) {
        let count = I::count_mut(self);
        *count = (*count).max(id.number());
    }

    /// For each kind the higher of both.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self {
            parts: self.parts.max(other.parts),
            boards: self.boards.max(other.boards),
            products: self.products.max(other.products),
            photos: self.photos.max(other.photos),
            readings: self.readings.max(other.readings),
            trials: self.trials.max(other.trials),
        }
    }
}

macro_rules! id {
    ($name:ident, $letter:literal, $kind:literal, $count:ident, $doc:literal) => {
        #[doc = $doc]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl Id for $name {
            const LETTER: char = $letter;
            const KIND: &'static str = $kind;
            fn from_number(number: u32) -> Self {
                Self(number)
            }
            fn number(self) -> u32 {
                self.0
            }
            fn count(ids: &Ids) -> &u32 {
                &ids.$count
            }
            fn count_mut(ids: &mut Ids) -> &mut u32 {
                &mut ids.$count
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}{}", $letter, self.0)
            }
        }

        impl FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, String> {
                let plain =
                    |number: &&str| number.bytes().all(|byte| byte.is_ascii_digit()) && !number.starts_with('0');
                let number = text.strip_prefix($letter).filter(plain).and_then(|number| number.parse().ok());
                number.map(Self).ok_or_else(|| {
                    format!("'{text}' is not the id of a {}: expected {}1, {}2, …", $kind, $letter, $letter)
                })
            }
        }
    };
}

id!(PartId, 'p', "part", parts, "A part of the piece.");
id!(BoardId, 'b', "board", boards, "A sample board or step panel.");
id!(ProductId, 'c', "product", products, "A product: what is in the can.");
id!(PhotoId, 'f', "photo", photos, "A photo in the piece's folder.");
id!(ReadingId, 'r', "reading", readings, "A reading of colour.");
id!(TrialId, 't', "trial", trials, "A trial on a board or part.");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_reads_back_as_written_and_nothing_else_reads_as_one() {
        for number in [1, 2, 10, u32::MAX] {
            assert_eq!(PartId(number).to_string().parse(), Ok(PartId(number)));
        }
        for text in ["", "p", "p0", "p01", "p+1", "p-1", "P1", "r1", "p1 ", "p4294967296", "p１"] {
            assert!(text.parse::<PartId>().is_err(), "{text:?}");
        }
    }

    #[test]
    fn numbers_grow_and_run_out_without_wrapping() {
        let mut ids = Ids { parts: u32::MAX - 1, ..Ids::default() };
        assert_eq!(ids.next::<PartId>(), PartId(u32::MAX));
        assert_eq!(ids.give::<PartId>(), Some(PartId(u32::MAX)));
        assert_eq!(ids.give::<PartId>(), None);
        assert_eq!(ids.give::<BoardId>(), Some(BoardId(1)));
    }
}
