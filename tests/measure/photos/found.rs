//! What was found, and what was found that is not there.

use std::io::{self, Write};

use crate::manifest::Chart;
use crate::photo::Photo;

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let of = |chart: Chart| photos.iter().filter(move |photo| photo.is(chart)).collect::<Vec<_>>();
    let (whole, none, other, cut) = (of(Chart::Whole), of(Chart::None), of(Chart::Other), of(Chart::Cut));
    let found = |photo: &Photo| photo.card().is_some();
    let right = |photo: &Photo| photo.right().is_some();
    let unread = photos.iter().filter(|photo| photo.outcome.is_err()).count();
    writeln!(
        out,
        "\nFound. Right: all 24 patch centres lie in their own patches of the known grid\n{} photos, {unread} of them not read",
        photos.len()
    )?;
    writeln!(
        out,
        "whole chart: {}; found {}, right {}; misread {}; missed {}; said to be mirrored {}",
        whole.len(),
        count(&whole, found),
        count(&whole, right),
        named(&whole, |photo| found(photo) && !right(photo)),
        named(&whole, |photo| !found(photo)),
        named(&whole, |photo| photo.card().is_some_and(|card| card.mirrored)),
    )?;
    writeln!(out, "without a chart: {}; false finds {}", none.len(), named(&none, found))?;
    writeln!(out, "another card: {}; finds {}", other.len(), named(&other, found))?;
    writeln!(out, "cut by the frame: {}; found {}, right {}", cut.len(), named(&cut, found), named(&cut, right))
}

fn count(photos: &[&Photo], is: impl Fn(&Photo) -> bool) -> usize {
    photos.iter().filter(|photo| is(photo)).count()
}

/// How many, and which.
pub(crate) fn named(photos: &[&Photo], is: impl Fn(&Photo) -> bool) -> String {
    let names: Vec<&str> = photos.iter().filter(|photo| is(photo)).map(|photo| photo.listed.file.as_str()).collect();
    if names.is_empty() { "0".into() } else { format!("{} [{}]", names.len(), names.join(" ")) }
}
