//! The transfer measurement: how well a stain learned on one wood is predicted on others and at other strengths.
//!
//! `cargo run --release -p acceptance --bin measure-transfer [building]`: the final table on seeds from 900 001 on, or
//! the table on the seeds used while building (from 1 on). Every law constant was fixed on the building seeds.

mod carry;
mod truths;

use carry::{Outcome, TRIALS, case, single_laws};
use rayon::prelude::*;
use std::io::Write;
use truths::{Physics, Table};

/// Cases for each generator.
const CASES: u64 = 150;

fn main() -> std::io::Result<()> {
    let building = std::env::args().any(|argument| argument == "building");
    let first_seed = if building { 1 } else { 900_001 };
    let table = Table::load();
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "Transfer: {} woods, {CASES} cases a generator, seeds {first_seed}–{}{}.\nReading sd 0.3 an axis, strength \
         sd 12 %. ΔE2000 to the noise-free truth on another wood at 0.5–1.5 of full strength: median / 90th percentile.",
        table.woods.len(),
        first_seed + 4 * CASES - 1,
        if building { " (used while building)" } else { "" },
    )?;
    for trials in TRIALS {
        for process_sd in [0.5, 0.0, 1.0] {
            if process_sd != 0.5 && trials.made != TRIALS[1].made {
                continue;
            }
            let jobs: Vec<(Physics, u64)> = (Physics::ALL.iter().zip(0..))
                .flat_map(|(physics, block)| {
                    (0..CASES).map(move |index| (*physics, first_seed + block * CASES + index))
                })
                .collect();
            let outcomes: Vec<Option<Outcome>> =
                jobs.par_iter().map(|(physics, seed)| case(&table, *physics, trials, process_sd, *seed)).collect();
            let excluded = outcomes.iter().filter(|one| one.is_none()).count();
            let outcomes: Vec<Outcome> = outcomes.into_iter().flatten().collect();
            writeln!(out, "\nTrials: {}; process sd {process_sd}; {excluded} of {} left out", trials.name, jobs.len())?;
            write!(out, "{:<26} {:>5} {:>11} {:>11} {:>11}", "generator", "n", "mixture", "oracle", "add ΔLab")?;
            for (name, _) in single_laws() {
                write!(out, " {name:>21}")?;
            }
            writeln!(out, " {:>10} {:>8} {:>9}", "90 % held", "one use", "half axis")?;
            for physics in Physics::ALL {
                let of_it: Vec<&Outcome> = outcomes.iter().filter(|one| one.physics == physics).collect();
                line(&mut out, physics.name(), &of_it)?;
            }
            line(&mut out, "all", &outcomes.iter().collect::<Vec<_>>())?;
        }
    }
    Ok(())
}

fn line(out: &mut impl Write, name: &str, outcomes: &[&Outcome]) -> std::io::Result<()> {
    let spread = |value: &dyn Fn(&Outcome) -> f64| {
        let mut values: Vec<f64> = outcomes.iter().map(|one| value(one)).filter(|value| value.is_finite()).collect();
        values.sort_by(f64::total_cmp);
        let at = |share: f64| values.get((share * (values.len() as f64 - 1.0)).round() as usize).copied();
        format!("{:.2} /{:5.1}", at(0.5).unwrap_or(f64::NAN), at(0.9).unwrap_or(f64::NAN))
    };
    let share = |hit: &dyn Fn(&Outcome) -> bool| {
        outcomes.iter().filter(|one| hit(one)).count() as f64 / outcomes.len().max(1) as f64
    };
    write!(
        out,
        "{name:<26} {:>5} {:>11} {:>11} {:>11}",
        outcomes.len(),
        spread(&|one| one.mixture),
        spread(&|one| one.oracle),
        spread(&|one| one.adding)
    )?;
    for law in 0..single_laws().len() {
        write!(out, " {:>21}", spread(&|one| one.single[law]))?;
    }
    let axis = outcomes.iter().map(|one| one.half_axis).sum::<f64>() / outcomes.len().max(1) as f64;
    writeln!(out, " {:>10.2} {:>8.2} {:>9.2}", share(&|one| one.held), share(&|one| one.held_use), axis)
}
