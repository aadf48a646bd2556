//! Sheet: the document as it will print.

use sheet::{Block, Document};

use crate::{
    Workbench,
    display::{self, Shown},
};

/// A block of the page, with colours made ready for the screen.
#[derive(Clone, Debug)]
pub enum Printed {
    /// A heading; level 1 for a section, 2 below it.
    Heading(u8, String),
    /// A paragraph.
    Text(String),
    /// Swatches edge to edge.
    Swatches(Vec<(String, Shown)>),
    /// Head and rows.
    Table(Vec<String>, Vec<Vec<String>>),
    /// Steps to tick off: what, and how.
    Steps(Vec<(String, String)>),
    /// First clause, and the rest.
    Caution(String, String),
}

/// The page.
#[derive(Clone, Debug, Default)]
pub struct Page {
    /// Title.
    pub title: String,
    /// Its blocks.
    pub blocks: Vec<Printed>,
    /// Why there is no page yet, and what to do first.
    pub empty: Option<String>,
    /// Whether it was made for an older piece, or is being made.
    pub updating: bool,
}

impl Workbench {
    /// The work sheet as it will print.
    pub fn page(&self) -> Page {
        let Some(piece) = self.piece() else { return Page::default() };
        let Some(tagged) = &self.results.sheet else { return Page { updating: true, ..Page::default() } };
        let updating = !tagged.is_current(piece);
        match &tagged.value {
            Ok(document) => Page { title: document.title.clone(), blocks: printed(document), empty: None, updating },
            Err(line) => Page { empty: Some(crate::words::sentence(line)), updating, ..Page::default() },
        }
    }
}

fn printed(document: &Document) -> Vec<Printed> {
    let block = |block: &Block| match block {
        Block::Heading { level, text } => Printed::Heading(*level, text.clone()),
        Block::Text(text) => Printed::Text(text.clone()),
        Block::Swatches(swatches) => {
            Printed::Swatches(swatches.iter().map(|s| (s.name.clone(), display::shown(s.lab))).collect())
        }
        Block::Table { head, rows } => Printed::Table(head.clone(), rows.clone()),
        Block::Steps(lines) => Printed::Steps(lines.iter().map(|l| (l.what.clone(), l.how.clone())).collect()),
        Block::Caution { lead, text } => Printed::Caution(lead.clone(), text.clone()),
    };
    document.blocks.iter().map(block).collect()
}
