//! Numbers as they are said.

/// A number that may be anything, in few digits: as it is from a ten-thousandth to ten million, else as '1e300'.
pub fn said(value: f64) -> String {
    if value == 0.0 || (1e-4..1e7).contains(&value.abs()) { format!("{value}") } else { format!("{value:e}") }
}

#[cfg(test)]
mod tests {
    use super::said;

    #[test]
    fn no_number_fills_a_line() {
        for (value, words) in [(0.0, "0"), (-4.0, "-4"), (0.25, "0.25"), (1e6, "1000000"), (1e300, "1e300")] {
            assert_eq!(said(value), words);
        }
        for value in [f64::MAX, f64::MIN_POSITIVE, -f64::MAX, f64::NAN, f64::INFINITY, 1.0 / 3.0] {
            assert!(said(value).len() < 25, "{}", said(value));
        }
    }
}
