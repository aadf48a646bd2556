//! A document as plain blocks: the window draws them, [`html`](crate::html()) prints them.

use colour::Lab;

/// A document to read on paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// Title, at the head of the page.
    pub title: String,
    /// What it contains, in order.
    pub blocks: Vec<Block>,
}

/// One block of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading; level 1 for a section, 2 below it.
    Heading {
        /// 1 or 2.
        level: u8,
        /// The words.
        text: String,
    },
    /// A paragraph.
    Text(String),
    /// Swatches butted edge to edge, each with its name.
    Swatches(Vec<Swatch>),
    /// A table: header and rows of the same length.
    Table {
        /// Column heads.
        head: Vec<String>,
        /// Rows.
        rows: Vec<Vec<String>>,
    },
    /// Steps to tick off, in order.
    Steps(Vec<Line>),
    /// A caution: its first clause stands out.
    Caution {
        /// The first clause.
        lead: String,
        /// Do and don't.
        text: String,
    },
}

/// One step to tick off.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What to do.
    pub what: String,
    /// How much, how long, how dry: may be empty.
    pub how: String,
}

/// A colour with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Swatch {
    /// Name under it.
    pub name: String,
    /// The colour.
    pub lab: Lab,
}
