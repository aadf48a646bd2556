//! A line per group: photos of one source.

use std::collections::BTreeMap;
use std::io::{self, Write};

use acceptance::figures::{mean, median};

use crate::manifest::Chart;
use crate::photo::{Found, Photo};

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let mut groups: BTreeMap<&str, Vec<&Photo>> = BTreeMap::new();
    for photo in photos {
        groups.entry(&photo.listed.group).or_default().push(photo);
    }
    writeln!(
        out,
        "\nPer group, {} of them. Errors and shares held are over all whole charts found right, processed and copied ones too\n\
         group photos whole right  mean of means  wood   held   other photos, finds",
        groups.len()
    )?;
    groups.iter().try_for_each(|(name, photos)| writeln!(out, "{}", line(name, photos)))
}

fn line(name: &str, photos: &[&Photo]) -> String {
    let (whole, rest): (Vec<&Photo>, Vec<&Photo>) = photos.iter().copied().partition(|photo| photo.is(Chart::Whole));
    let right: Vec<&Found> = whole.iter().filter_map(|photo| photo.right()).collect();
    let figure = |value: f64| if value.is_nan() { "-".to_owned() } else { format!("{value:.2}") };
    format!(
        "{name:<5} {:>6} {:>5} {:>5} {:>14} {:>5} {:>6} {:>14}, {}",
        photos.len(),
        whole.len(),
        right.len(),
        figure(mean(right.iter().map(|card| card.mean()))),
        figure(median(right.iter().map(|card| card.wood()))),
        figure(mean(right.iter().map(|card| card.held()))),
        rest.len(),
        rest.iter().filter(|photo| photo.card().is_some()).count()
    )
}
