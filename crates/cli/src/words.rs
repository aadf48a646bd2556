//! Numbers as they are written in tables.

use workbench::record::IntervalRecord;

/// A ΔE2000 with its interval: `1.0 (0–1.9)`.
pub(crate) fn de00(interval: IntervalRecord) -> String {
    let low = if interval.low < 0.05 { "0".to_owned() } else { format!("{:.1}", interval.low) };
    format!("{:.1} ({low}–{:.1})", interval.mean, interval.high)
}

/// So many of something: '1 reading', '2 readings'.
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// A chance in per cent.
pub(crate) fn chance(chance: f64) -> String {
    match chance * 100.0 {
        per_cent if per_cent > 0.0 && per_cent < 0.5 => "<1 %".to_owned(),
        per_cent => format!("{per_cent:.0} %"),
    }
}

/// A signed number with a real minus.
pub(crate) fn signed(value: f64) -> String {
    format!("{value:.1}").replace('-', "−")
}

/// Hours with at most one decimal.
pub(crate) fn hours(hours: f64) -> String {
    format!("{hours:.1} h")
}
