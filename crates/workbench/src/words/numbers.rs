//! Numbers, intervals, odds, work and days in words; hours as [`predict::time`] tells them.

use predict::{Interval, time::hours};

/// A signed or unsigned number to one decimal, with a real minus.
pub fn number(value: f64) -> String {
    decimals(value, 1)
}

/// A number to so many decimals, with a real minus and no negative zero.
pub fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.into(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A range of sizes: `15.1–16.2`; a lower bound under 0.05 is written `0`.
pub fn range(interval: Interval) -> String {
    interval.range()
}

/// Half the width of an interval: `± 0.5`.
pub fn plus_minus(interval: Interval) -> String {
    format!("± {}", number((interval.high - interval.low).abs() / 2.0))
}

/// Days that work and waiting take at the bench: eight hours' work to the day, waits running through the night.
pub fn days(hours: f64, wait_hours: f64) -> u32 {
    if hours < 0.05 {
        return 0;
    }
    let by_work = (hours / 8.0).ceil();
    let by_waits = ((hours + wait_hours) / 24.0).ceil();
    by_work.max(by_waits).max(1.0) as u32
}

/// `3 h over 3 days`; `no work`.
pub fn work(hours_of_work: f64, wait_hours: f64) -> String {
    match days(hours_of_work, wait_hours) {
        0 => "no work".into(),
        1 => format!("{} in a day", hours(hours_of_work)),
        n => format!("{} over {n} days", hours(hours_of_work)),
    }
}

/// The short form for a table: `3 h, 3 d`.
pub fn work_short(hours_of_work: f64, wait_hours: f64) -> String {
    match days(hours_of_work, wait_hours) {
        0 => "none".into(),
        n => format!("{}, {n} d", hours(hours_of_work)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::odds;

    fn interval(low: f64, high: f64) -> Interval {
        Interval { mean: (low + high) / 2.0, low, high }
    }

    /// The wording of the design: a real minus, ranges with an en dash, `0` for what reaches zero, odds in tenths.
    #[test]
    fn numbers_as_they_are_written() {
        assert_eq!(number(-15.42), "−15.4");
        assert_eq!(number(-0.04), "0.0");
        assert_eq!(range(interval(0.04, 1.7)), "0–1.7");
        assert_eq!(range(interval(15.1, 16.2)), "15.1–16.2");
        assert_eq!(plus_minus(interval(-15.9, -14.9)), "± 0.5");
        assert_eq!(odds(0.91), "9 in 10");
        assert_eq!(odds(0.04), "hardly any");
        assert_eq!(odds(0.001), "hardly any");
        assert_eq!(work_short(2.5, 60.0), "2½ h, 3 d");
        assert_eq!(work(3.0, 60.0), "3 h over 3 days");
        assert_eq!(work(0.0, 0.0), "no work");
    }
}
