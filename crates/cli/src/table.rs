//! Plain tables for the terminal.

use std::fmt::Write;

/// Rows under a head, columns as wide as their widest cell, two blanks between; numbers (cells that start with a digit or
/// a sign before a digit) flush right.
pub(crate) fn table(head: &[&str], rows: &[Vec<String>]) -> String {
    let width = |column: usize| {
        let cells = rows.iter().map(|row| row[column].chars().count());
        cells.chain([head[column].chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..head.len()).map(width).collect();
    let numeric: Vec<bool> =
        (0..head.len()).map(|column| rows.iter().all(|row| is_number(&row[column])) && !rows.is_empty()).collect();
    let mut text = String::new();
    let head_row: Vec<String> = head.iter().map(|cell| (*cell).to_owned()).collect();
    for row in std::iter::once(&head_row).chain(rows) {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let pad = " ".repeat(widths[column].saturating_sub(cell.chars().count()));
            let gap = if column == 0 { "" } else { "  " };
            let _ = if numeric[column] { write!(line, "{gap}{pad}{cell}") } else { write!(line, "{gap}{cell}{pad}") };
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn is_number(cell: &str) -> bool {
    let bare = cell.trim_start_matches(['−', '-', '+']);
    cell == "–" || bare.starts_with(|character: char| character.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::table;

    #[test]
    fn columns_line_up_and_numbers_stand_right() {
        let rows = vec![vec!["front four".to_owned(), "17.2".to_owned()], vec!["rail".to_owned(), "0.3".to_owned()]];
        assert_eq!(table(&["part", "ΔE2000"], &rows), "part        ΔE2000\nfront four    17.2\nrail           0.3\n");
    }

    #[test]
    fn a_table_without_rows_is_its_head() {
        assert_eq!(table(&["part"], &[]), "part\n");
    }
}
