//! The transfer measurement: how well a stain learned on one wood is predicted on others and at other strengths.
//!
//! `cargo run --release -p acceptance --bin measure-transfer [building]`: the final table on seeds from 950 001 on, or
//! the table on the seeds used while building (from 1 on). Every constant of the laws was fixed on the building seeds; the
//! three physics outside the family were only looked at.

mod bands;
mod carry;
// Its mixes are for the tests.
#[allow(dead_code)]
mod truths;

use carry::{Outcome, TRIALS, case, single_laws};
use rayon::prelude::*;
use std::io::Write;
use truths::{Physics, Table};

/// Cases for each generator.
const CASES: u64 = 150;

/// A number of a case.
type Value<'a> = &'a dyn Fn(&Outcome) -> f64;

fn main() -> std::io::Result<()> {
    let building = std::env::args().any(|argument| argument == "building");
    let first_seed = if building { 1 } else { 950_001 };
    let table = Table::load();
    let every: Vec<Physics> = Physics::ALL.into_iter().chain(Physics::OUTSIDE).collect();
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "Transfer: {} woods, {CASES} cases a generator, seeds {first_seed}–{} (the last {} outside the family, on other \
         woods){}.\nReading sd 0.3 an axis, strength sd 12 %. ΔE2000 to the noise-free truth on another wood at 0.5–1.5 \
         of full strength: median / 90th percentile. Held: share of truths in the stated 90 % region of the mean, and of \
         one use in that of one use; width and score of the 90 % interval, mean of L*, a*, b* (width: median over cases; \
         score: mean; lower is better).",
        table.woods.len(),
        first_seed + every.len() as u64 * CASES - 1,
        Physics::OUTSIDE.len() as u64 * CASES,
        if building { "; used while building" } else { "" },
    )?;
    for trials in TRIALS {
        for process_sd in [0.5, 0.0, 1.0] {
            let jobs: Vec<(Physics, u64)> = (every.iter().zip(0..))
                .flat_map(|(physics, block)| {
                    (0..CASES).map(move |index| (*physics, first_seed + block * CASES + index))
                })
                .collect();
            let outcomes: Vec<Option<Outcome>> =
                jobs.par_iter().map(|(physics, seed)| case(&table, *physics, trials, process_sd, *seed)).collect();
            let excluded = outcomes.iter().filter(|one| one.is_none()).count();
            let outcomes: Vec<Outcome> = outcomes.into_iter().flatten().collect();
            writeln!(out, "\nTrials: {}; process sd {process_sd}; {excluded} of {} left out", trials.name, jobs.len())?;
            write!(
                out,
                "{:<27} {:>4} {:>11} {:>11} {:>8} {:>11}",
                "generator", "n", "mixture", "oracle", "times", "add ΔLab"
            )?;
            for (name, _) in single_laws() {
                write!(out, " {name:>21}")?;
            }
            writeln!(
                out,
                " {:>8} {:>8} {:>9} {:>6} {:>6} {:>11} {:>11}",
                "held", "one use", "half axis", "width", "score", "3 bands", "36 bands"
            )?;
            let of = |wanted: &[Physics]| -> Vec<&Outcome> {
                outcomes.iter().filter(|one| wanted.contains(&one.physics)).collect()
            };
            for physics in Physics::ALL {
                line(&mut out, physics.name(), &of(&[physics]))?;
            }
            line(&mut out, "all four", &of(&Physics::ALL))?;
            for physics in Physics::OUTSIDE {
                line(&mut out, physics.name(), &of(&[physics]))?;
            }
            line(&mut out, "all three outside", &of(&Physics::OUTSIDE))?;
        }
    }
    Ok(())
}

/// A share of the finite values.
fn quantile(outcomes: &[&Outcome], value: Value<'_>, share: f64) -> f64 {
    let mut values: Vec<f64> = outcomes.iter().map(|one| value(one)).filter(|value| value.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    values.get((share * (values.len() as f64 - 1.0)).round() as usize).copied().unwrap_or(f64::NAN)
}

fn line(out: &mut impl Write, name: &str, outcomes: &[&Outcome]) -> std::io::Result<()> {
    let spread = |value: Value<'_>| {
        let (median, ninth) = (quantile(outcomes, value, 0.5), quantile(outcomes, value, 0.9));
        if median.is_nan() { "–".to_owned() } else { format!("{median:.2} /{ninth:5.1}") }
    };
    let mean = |value: Value<'_>| outcomes.iter().map(|one| value(one)).sum::<f64>() / outcomes.len().max(1) as f64;
    let times = quantile(outcomes, &|one| one.mixture, 0.5) / quantile(outcomes, &|one| one.oracle, 0.5);
    write!(
        out,
        "{name:<27} {:>4} {:>11} {:>11} {:>8} {:>11}",
        outcomes.len(),
        spread(&|one| one.mixture),
        spread(&|one| one.oracle),
        if times.is_nan() { "–".to_owned() } else { format!("{times:.2}") },
        spread(&|one| one.adding)
    )?;
    for law in 0..single_laws().len() {
        write!(out, " {:>21}", spread(&|one| one.single[law]))?;
    }
    writeln!(
        out,
        " {:>8.2} {:>8.2} {:>9.2} {:>6.2} {:>6.2} {:>11} {:>11}",
        mean(&|one| f64::from(u8::from(one.held))),
        mean(&|one| f64::from(u8::from(one.held_use))),
        mean(&|one| one.half_axis),
        quantile(outcomes, &|one| one.width, 0.5),
        mean(&|one| one.score),
        spread(&|one| one.three_bands),
        spread(&|one| one.many_bands),
    )
}
