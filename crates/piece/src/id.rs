//! Stable ids: given once, never reused, kept in the file.

use std::{fmt, str::FromStr};

/// An id as it stands in the file: a letter for the kind and a number, `p3`.
pub trait Id: Copy + Ord + fmt::Display + FromStr<Err = String> {
    /// The letter of this kind of id.
    const LETTER: char;
    /// The id with this number.
    fn from_number(number: u32) -> Self;
    /// The number within the kind.
    fn number(self) -> u32;
}

macro_rules! id {
    ($name:ident, $letter:literal, $doc:literal) => {
        #[doc = $doc]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl Id for $name {
            const LETTER: char = $letter;
            fn from_number(number: u32) -> Self {
                Self(number)
            }
            fn number(self) -> u32 {
                self.0
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
                text.strip_prefix($letter).and_then(|number| number.parse().ok()).map(Self).ok_or_else(|| {
                    format!("'{text}' is not an id of this kind: expected {}1, {}2, …", $letter, $letter)
                })
            }
        }
    };
}

id!(PartId, 'p', "A part of the piece.");
id!(BoardId, 'b', "A sample board or step panel.");
id!(ProductId, 'c', "A product: what is in the can.");
id!(PhotoId, 'f', "A photo in the piece's folder.");
id!(ReadingId, 'r', "A reading of colour.");
id!(TrialId, 't', "A trial on a board or part.");
