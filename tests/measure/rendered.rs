//! Rendered photos of wood beside the chart, read end to end, against the truth known.
//!
//! `cargo run --release -p acceptance --bin measure-rendered [FIRST_SEED [COUNT]]`: by default the final seeds, from
//! 710 001 on, 120 photos. Seeds 1 to 400 and 500 001 to 500 040 were used while building; 120 each from 700 001, 760 001,
//! 770 001, 780 001 and 790 001 on for earlier tables.

use std::io::{self, Write};

use acceptance::figures::{median, quantile};
use acceptance::rendered::{Outcome, outcome};
use acceptance::stated::{CHI2_3_AT_90, Stated, Tally};
use rayon::prelude::*;

/// Bins of how far apart two panels are, CIELAB units.
const APART: [(f64, f64); 3] = [(0.0, 10.0), (10.0, 20.0), (20.0, f64::INFINITY)];

fn main() -> io::Result<()> {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|argument| argument.parse().ok()).collect();
    let first = numbers.first().copied().unwrap_or(710_001);
    let count = numbers.get(1).copied().unwrap_or(120);
    let mut out = io::stdout().lock();
    writeln!(out, "Rendered photos, seeds {first}–{}, each as drawn by scene::draw", first + count - 1)?;
    let results: Vec<Result<Outcome, String>> = (first..first + count).into_par_iter().map(outcome).collect();
    for failure in results.iter().filter_map(|result| result.as_ref().err()) {
        writeln!(out, "  could not be read: {failure}")?;
    }
    let outcomes: Vec<&Outcome> = results.iter().filter_map(|result| result.as_ref().ok()).collect();
    for outcome in outcomes.iter().filter(|outcome| !outcome.found) {
        writeln!(out, "  card missed: seed {} (corners {:.1} px off)", outcome.seed, outcome.corner_off_px)?;
    }
    summary(&mut out, &outcomes, count)
}

fn summary(out: &mut impl Write, outcomes: &[&Outcome], photos: u64) -> io::Result<()> {
    let found = outcomes.iter().filter(|outcome| outcome.found).count();
    let wanted: usize = outcomes.iter().map(|outcome| outcome.panels_wanted).sum();
    let panels: Vec<_> = outcomes.iter().flat_map(|outcome| &outcome.panels).collect();
    let pairs: Vec<_> = outcomes.iter().flat_map(|outcome| &outcome.pairs).collect();
    writeln!(out, "cards found, right way round: {found} of {photos}")?;
    let left_out = outcomes.iter().filter(|outcome| outcome.found).map(|outcome| outcome.left_out_de00);
    writeln!(out, "mean left-out error of a photo: median {:.2} ΔE2000", median(left_out))?;
    writeln!(
        out,
        "regions read: {} of {wanted}; error ΔE2000 median {:.2}, 90th percentile {:.2}",
        panels.len(),
        median(panels.iter().map(|panel| panel.de00)),
        quantile(panels.iter().map(|panel| panel.de00), 0.9),
    )?;
    writeln!(
        out,
        "differences within one photo: {}; error CIELAB median {:.2}, 90th percentile {:.2}",
        pairs.len(),
        median(pairs.iter().map(|pair| pair.error)),
        quantile(pairs.iter().map(|pair| pair.error), 0.9),
    )?;
    stated(out, "regions", panels.iter().map(|panel| panel.stated).collect())?;
    stated(out, "differences", pairs.iter().map(|pair| pair.stated).collect())?;
    for (from, to) in APART {
        let some = pairs.iter().filter(|pair| (from..to).contains(&pair.apart)).map(|pair| pair.stated).collect();
        stated(out, &format!("  colours {from}–{to} apart"), some)?;
    }
    Ok(())
}

fn stated(out: &mut impl Write, name: &str, stated: Vec<Stated>) -> io::Result<()> {
    let distance2 = quantile(stated.iter().map(|one| one.reach * one.reach * CHI2_3_AT_90), 0.9);
    writeln!(
        out,
        "stated 90 % ellipsoids of {name} {}; squared distance at 90 %: {distance2:.2} (a normal error has {CHI2_3_AT_90})",
        Tally::of(stated)
    )
}
