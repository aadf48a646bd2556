//! Means and quantiles, by one definition for every table.

/// The mean; not a number for none.
pub fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let (sum, count) = values.into_iter().fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

/// The median; not a number for none.
pub fn median(values: impl IntoIterator<Item = f64>) -> f64 {
    quantile(values, 0.5)
}

/// The value below which this share of the values lies, straight between neighbours; not a number for none.
///
/// # Source
/// Hyndman, Fan 1996, Sample quantiles in statistical packages, definition 7 (numpy's own).
pub fn quantile(values: impl IntoIterator<Item = f64>, share: f64) -> f64 {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    let Some(last) = values.len().checked_sub(1) else { return f64::NAN };
    let at = share * last as f64;
    let (low, part) = (at.floor() as usize, at.fract());
    values[low] * (1.0 - part) + values[(low + 1).min(last)] * part
}

/// Share of the whole in per cent; not a number of none.
pub fn percent(part: usize, whole: usize) -> f64 {
    if whole == 0 { f64::NAN } else { 100.0 * part as f64 / whole as f64 }
}
