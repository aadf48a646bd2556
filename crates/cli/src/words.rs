//! Numbers as they are written in tables.

/// So many of something: '1 reading', '2 readings'.
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// A signed number with a real minus.
pub(crate) fn signed(value: f64) -> String {
    format!("{value:.1}").replace('-', "−")
}
