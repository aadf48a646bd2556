//! One bench photographed many times: does the same wood read the same?
//!
//! `cargo run --release -p acceptance --bin measure-repeatability [FIRST_SEED [BENCHES [VIEWS]]]`: by default the final
//! seeds, from 720 001 on, 3 benches under 5 lights each, 20 views of each at another distance, angle, exposure and noise.
//! Seeds 1 to 20 were used while building.

use std::io::{self, Write};

use acceptance::figures::{mean, percent, quantile};
use acceptance::repeat::{Series, middles, series};
use acceptance::stated::Tally;
use colour::Lab;
use scene::{Changes, LightKind};

/// Regions shall lie this near their mean in nine of ten views, ΔE2000, and differences this near theirs.
const GOAL: [f64; 2] = [0.6, 0.35];

fn main() -> io::Result<()> {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|argument| argument.parse().ok()).collect();
    let number = |k: usize, otherwise: u64| numbers.get(k).copied().unwrap_or(otherwise);
    let (first, benches, views) = (number(0, 720_001), number(1, 3), number(2, 20));
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{benches} benches (seeds {first}–{}) under {} lights, {views} views each. ΔE2000 to the mean over the views.",
        first + benches - 1,
        LightKind::ALL.len()
    )?;
    let mut all = Vec::new();
    for light in LightKind::ALL {
        let of_light: Vec<Series> = read(&mut out, first, benches, light, views, Changes::ALL)?;
        line(&mut out, light.name(), &of_light)?;
        all.push(of_light);
    }
    let flat: Vec<&Series> = all.iter().flatten().collect();
    within_goal(&mut out, &flat)?;
    writeln!(out, "\nWhat moves them (D50):")?;
    for (name, changes) in [("place", Changes::PLACE), ("exposure", Changes::EXPOSURE), ("noise", Changes::NOISE)] {
        let of_change = read(&mut out, first, benches, LightKind::D50, views, changes)?;
        line(&mut out, name, &of_change)?;
    }
    lights(&mut out, &all)
}

fn read(
    out: &mut impl Write,
    first: u64,
    benches: u64,
    light: LightKind,
    views: u64,
    changes: Changes,
) -> io::Result<Vec<Series>> {
    let mut read = Vec::new();
    for seed in first..first + benches {
        match series(seed, light, views, changes) {
            Ok(series) => read.push(series),
            Err(error) => writeln!(out, "  could not be read: {error}")?,
        }
    }
    Ok(read)
}

fn line(out: &mut impl Write, name: &str, series: &[Series]) -> io::Result<()> {
    let regions: Vec<f64> = series.iter().flat_map(Series::regions_off).collect();
    let differences: Vec<f64> = series.iter().flat_map(Series::differences_off).collect();
    let missed: usize = series.iter().map(|series| series.missed.len()).sum();
    let at = |values: &[f64], share: f64| quantile(values.iter().copied(), share);
    writeln!(
        out,
        "  {name:<9} regions {:>4}: median {:.2}, 90 % {:.2}; differences {:>4}: median {:.2}, 90 % {:.2}; cards missed {missed}",
        regions.len(),
        at(&regions, 0.5),
        at(&regions, 0.9),
        differences.len(),
        at(&differences, 0.5),
        at(&differences, 0.9),
    )
}

fn within_goal(out: &mut impl Write, series: &[&Series]) -> io::Result<()> {
    let regions: Vec<f64> = series.iter().flat_map(|series| series.regions_off()).collect();
    let differences: Vec<f64> = series.iter().flat_map(|series| series.differences_off()).collect();
    for (name, values, goal) in [("regions", regions, GOAL[0]), ("differences", differences, GOAL[1])] {
        let within = values.iter().filter(|&&value| value <= goal).count();
        writeln!(
            out,
            "  {name} within {goal}: {within} of {} ({:.1} %); 90 % lie within {:.2}",
            values.len(),
            percent(within, values.len()),
            quantile(values.iter().copied(), 0.9)
        )?;
    }
    Ok(())
}

/// The same wood under different lights, against its truth.
fn lights(out: &mut impl Write, all: &[Vec<Series>]) -> io::Result<()> {
    writeln!(out, "\nOver different lights, against the truth (D50, 2°):")?;
    for of_light in all {
        let Some(light) = of_light.first().map(|series| series.light) else { continue };
        let panels = || of_light.iter().flat_map(|series| &series.panels);
        writeln!(
            out,
            "  {:<9} error ΔE2000 of {} readings: median {:.2}, 90 % {:.2}; stated 90 % ellipsoids {}",
            light.name(),
            panels().count(),
            quantile(panels().map(|panel| panel.de00), 0.5),
            quantile(panels().map(|panel| panel.de00), 0.9),
            Tally::of(panels().map(|panel| panel.stated))
        )?;
        let pairs = of_light.iter().flat_map(|series| &series.pairs);
        writeln!(out, "  {:<9} differences: {}", "", Tally::of(pairs.map(|pair| pair.stated)))?;
    }
    let benches = all.iter().map(Vec::len).min().unwrap_or(0);
    let mut off = Vec::new();
    for bench in 0..benches {
        let of_lights: Vec<Vec<Lab>> = all.iter().map(|of_light| of_light[bench].means()).collect();
        let over_lights = middles(&of_lights);
        off.extend(of_lights.iter().flat_map(|means| {
            means.iter().zip(&over_lights).map(|(&lab, &mean)| colour::de2000(lab, mean)).collect::<Vec<_>>()
        }));
    }
    writeln!(
        out,
        "  a light's mean reading to the mean over the lights, ΔE2000 of {}: mean {:.2}, 90 % {:.2}",
        off.len(),
        mean(off.iter().copied()),
        quantile(off.iter().copied(), 0.9)
    )
}
