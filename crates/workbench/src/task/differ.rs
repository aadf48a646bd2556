//! ΔE2000 of pairs given as CSV text.

use super::{Error, Result};
use crate::record::DifferRecord;

/// The columns wanted, in order.
const HEAD: &str = "L1,a1,b1,L2,a2,b2";
/// No surface colour has a* or b* beyond; card files are held to the same.
const FARTHEST: f64 = 200.0;

/// The differences of the pairs in a CSV text with the header `L1,a1,b1,L2,a2,b2`. Blank lines are passed over.
///
/// # Errors
/// A wrong header, a row that has not six numbers, a number that is not finite, L* outside 0 to 100, or a* or b*
/// beyond 200; with its line.
pub fn differ(text: &str) -> Result<Vec<DifferRecord>> {
    let mut lines = text.trim_start_matches('\u{feff}').lines().enumerate().map(|(at, line)| (at + 1, line.trim()));
    let lines = lines.by_ref().filter(|(_, line)| !line.is_empty());
    let mut lines = lines.peekable();
    match lines.next() {
        None => return Err(wrong(1, format!("nothing on standard input: give CSV with the header {HEAD}"))),
        Some((_, head)) if head.replace(' ', "") == HEAD => {}
        Some((at, head)) => return Err(wrong(at, format!("the header is '{head}': it must be {HEAD}"))),
    }
    lines.map(|(at, line)| pair(at, line)).collect()
}

fn pair(at: usize, line: &str) -> Result<DifferRecord> {
    let cells: Vec<&str> = line.split(',').map(str::trim).collect();
    if cells.len() != 6 {
        return Err(wrong(at, format!("expected six values, {HEAD}, not {}", cells.len())));
    }
    let mut values = [0.0; 6];
    for (value, cell) in values.iter_mut().zip(&cells) {
        *value = cell
            .parse()
            .ok()
            .filter(|number: &f64| number.is_finite())
            .ok_or_else(|| wrong(at, format!("'{cell}' is not a number: write it like 52.3")))?;
    }
    let [l1, a1, b1, l2, a2, b2] = values;
    if let Some(l) = [l1, l2].into_iter().find(|l| !(0.0..=100.0).contains(l)) {
        return Err(wrong(at, format!("L* is {}: it must lie between 0 and 100", piece::number::said(l))));
    }
    let axes = [("a*", a1), ("b*", b1), ("a*", a2), ("b*", b2)];
    if let Some((axis, value)) = axes.into_iter().find(|(_, value)| value.abs() > FARTHEST) {
        let said = piece::number::said(value);
        return Err(wrong(at, format!("{axis} is {said}: it must lie between -{FARTHEST} and {FARTHEST}")));
    }
    Ok(DifferRecord::new([l1, a1, b1], [l2, a2, b2]))
}

fn wrong(line: usize, problem: String) -> Error {
    Error::Input { at: format!("standard input, line {line}"), problem }
}
