//! Tables of published values: CSV with the citation in lines that begin with '#'.

use std::path::Path;

/// The rows of tests/data/`name`, by column name.
pub(crate) struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of a table.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    head: &'a [String],
    cells: &'a [String],
}

impl Table {
    /// Reads a table and fails unless it has the number of rows that was published, so that no test runs over nothing.
    pub(crate) fn read(name: &str, rows: usize) -> Table {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name);
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).unwrap();
        let head = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let found: Vec<Vec<String>> =
            reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(found.len(), rows, "{name} is not whole");
        Table { head, rows: found }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { head: &self.head, cells })
    }

    pub(crate) fn head(&self) -> &[String] {
        &self.head
    }
}

impl Row<'_> {
    pub(crate) fn text(&self, column: &str) -> &str {
        let at = self.head.iter().position(|name| name == column);
        &self.cells[at.unwrap_or_else(|| panic!("no column {column}"))]
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("{text} in {column} is no number"))
    }

    pub(crate) fn numbers<const N: usize>(&self, columns: [&str; N]) -> [f64; N] {
        columns.map(|column| self.number(column))
    }
}

/// Fails unless every number is within `tolerance` of the expected one.
#[track_caller]
pub(crate) fn close<const N: usize>(found: [f64; N], expected: [f64; N], tolerance: f64, what: &str) {
    for (f, e) in found.iter().zip(expected) {
        assert!((f - e).abs() <= tolerance, "{what}: {found:?}, expected {expected:?} within {tolerance}");
    }
}
