//! Stated 90 % regions of patches left out.

use std::io::{self, Write};

use acceptance::figures::percent;
use acceptance::stated::Tally;

use crate::manifest::Chart;
use crate::photo::{Found, Patch, Photo};
use crate::quality::{self, Quality};

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let whole: Vec<&Photo> = photos.iter().filter(|photo| photo.is(Chart::Whole)).collect();
    let all: Vec<&Found> = whole.iter().filter_map(|photo| photo.right()).collect();
    let made: Vec<&Found> = whole
        .iter()
        .filter(|photo| photo.listed.made() && !photo.listed.processed)
        .filter_map(|photo| photo.right())
        .collect();
    writeln!(
        out,
        "\nStated 90 % regions of patches left out: 3-D ellipsoids of a multivariate t. Width: geometric mean of the half axes,\n\
         CIELAB units. Interval score: half width + 10 × what the truth lies beyond it along its ray, after Gneiting, Raftery\n\
         2007, equation 43. Quality bins: {}.",
        quality::definition()
    )?;
    for (name, cards) in [("made, unprocessed", &made), ("every whole chart found right", &all)] {
        writeln!(out, "{name}")?;
        line(out, "all colours", cards, |_| true)?;
        line(out, "wood colours", cards, |patch| patch.wood)?;
        for quality in Quality::ALL {
            let of_it: Vec<&Found> = cards.iter().copied().filter(|card| card.quality == quality).collect();
            line(out, quality.name(), &of_it, |_| true)?;
        }
    }
    Ok(())
}

fn line(out: &mut impl Write, name: &str, cards: &[&Found], keep: fn(&Patch) -> bool) -> io::Result<()> {
    let patches: Vec<&Patch> = cards.iter().flat_map(|card| &card.patches).filter(|patch| keep(patch)).collect();
    let held = patches.iter().filter(|patch| patch.holds).count();
    let tally = Tally::of(patches.iter().filter_map(|patch| patch.stated));
    write!(
        out,
        "  {name:<13} photos {:>2}, patches {:>4}, held {:>5.1} %",
        cards.len(),
        patches.len(),
        percent(held, patches.len())
    )?;
    if tally.count() > 0 {
        write!(out, "; ellipsoids {tally}")?;
    }
    writeln!(out)
}
