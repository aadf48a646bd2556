//! How often each warning is given.

use std::collections::BTreeMap;
use std::io::{self, Write};

use acceptance::figures::percent;

use crate::manifest::Chart;
use crate::photo::Photo;

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let whole: Vec<&Photo> = photos.iter().filter(|photo| photo.is(Chart::Whole) && photo.right().is_some()).collect();
    let mut given: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for photo in &whole {
        for warning in photo.outcome.iter().flat_map(|outcome| &outcome.warnings) {
            given.entry(warning).or_default().push(&photo.listed.file);
        }
    }
    let silent = whole.iter().filter(|photo| photo.outcome.as_ref().is_ok_and(|o| o.warnings.is_empty())).count();
    writeln!(out, "\nWarnings on {} whole charts found right; none at all on {silent}", whole.len())?;
    for (code, files) in &given {
        let named = if files.len() <= 12 { files.join(" ") } else { String::new() };
        writeln!(out, "  {code:<18} {:>2} ({:>4.1} %)  {named}", files.len(), percent(files.len(), whole.len()))?;
    }
    Ok(())
}
