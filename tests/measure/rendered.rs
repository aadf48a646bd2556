//! Rendered photos of wood beside the chart, read end to end, against the truth known.
//!
//! `cargo run --release -p acceptance --bin measure-rendered [FIRST_SEED [COUNT]]`: by default the final seeds, from
//! 700 001 on, 120 photos. Seeds 1 to 400 were used while building.

use std::io::{self, Write};

use acceptance::rendered::{CHI2_3_AT_90, Outcome, outcome, quantile};
use rayon::prelude::*;

fn main() -> io::Result<()> {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|argument| argument.parse().ok()).collect();
    let first = numbers.first().copied().unwrap_or(700_001);
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
    let share = |held: usize, all: usize| 100.0 * held as f64 / all.max(1) as f64;
    writeln!(out, "cards found, right way round: {found} of {photos}")?;
    let left_out = outcomes.iter().filter(|outcome| outcome.found).map(|outcome| outcome.left_out_de00);
    writeln!(out, "mean left-out error of a photo: median {:.2} ΔE2000", quantile(left_out, 0.5))?;
    writeln!(
        out,
        "regions read: {} of {wanted}; error ΔE2000 median {:.2}, 90th percentile {:.2}",
        panels.len(),
        quantile(panels.iter().map(|panel| panel.de00), 0.5),
        quantile(panels.iter().map(|panel| panel.de00), 0.9),
    )?;
    let held = panels.iter().filter(|panel| panel.holds()).count();
    writeln!(
        out,
        "stated 90 % ellipsoids hold {held} of {} truths ({:.1} %); median half width {:.2} CIELAB; squared distance at \
         90 %: {:.2} (a normal error has {CHI2_3_AT_90})",
        panels.len(),
        share(held, panels.len()),
        quantile(panels.iter().map(|panel| panel.half_width), 0.5),
        quantile(panels.iter().map(|panel| panel.distance2), 0.9),
    )?;
    let held = pairs.iter().filter(|pair| pair.holds()).count();
    writeln!(
        out,
        "differences within one photo: {}; error median {:.2} CIELAB; ellipsoids hold {:.1} %; median half width {:.2}; squared \
         distance at 90 %: {:.2}",
        pairs.len(),
        quantile(pairs.iter().map(|pair| pair.error), 0.5),
        share(held, pairs.len()),
        quantile(pairs.iter().map(|pair| pair.half_width), 0.5),
        quantile(pairs.iter().map(|pair| pair.distance2), 0.9),
    )
}
