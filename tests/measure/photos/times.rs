//! Where the time goes.

use std::io::{self, Write};

use acceptance::figures::median;
use card::Seconds;

use crate::photo::Photo;

/// A stage's name, and its seconds.
type Stage = (&'static str, fn(&Seconds) -> f64);

const STAGES: [Stage; 6] = [
    ("decode", |s| s.decode),
    ("find", |s| s.find),
    ("fit", |s| s.fit - s.left_out),
    ("each patch left out", |s| s.left_out),
    ("four regions", |s| s.regions),
    ("total", |s| s.total),
];

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let read: Vec<(&str, Seconds)> = photos
        .iter()
        .filter_map(|photo| Some((photo.listed.file.as_str(), photo.outcome.as_ref().ok()?.seconds)))
        .collect();
    writeln!(out, "\nSeconds over {} photos read, one after the other: median, worst", read.len())?;
    for (name, seconds) in STAGES {
        let worst = read.iter().max_by(|a, b| seconds(&a.1).total_cmp(&seconds(&b.1)));
        let middle = median(read.iter().map(|(_, s)| seconds(s)));
        if let Some((file, worst)) = worst {
            writeln!(out, "  {name:<20} {middle:.3}  {:.3} ({file})", seconds(worst))?;
        }
    }
    Ok(())
}
