//! How good the first row of a ranking is: made-up pieces with five trials as `next` advises them, and with ten, judged by
//! the truth.
//!
//! `cargo run --release -p acceptance --bin measure-ranking [building]`: 200 pieces on seeds from 760 001 on, or on the
//! seeds used while building (from 1 on). One in five match samples cannot be reached.

mod knowing;
#[allow(dead_code)]
mod pieces;
#[allow(dead_code)]
mod truths;

use std::io::Write;

use acceptance::figures::{percent, quantile};
use colour::de2000;
use knowing::knowing;
use piece::{PartId, Step};
use pieces::{Made, Plan, physics};
use rayon::prelude::*;
use truths::{Physics, Table};

const PIECES: u64 = 200;
/// Of so many pieces one has a match sample that cannot be reached; not a multiple of two, so that it is one of each
/// pair of generators.
const UNREACHABLE_EVERY: u64 = 5;
/// Trials of each piece, as `next` advises: its goal is set after the first number of them.
const TRIALS: [usize; 2] = [5, 10];
/// As good as the best, ΔE2000.
const AS_GOOD_DE00: f64 = 0.5;

struct Ranked {
    physics: [Physics; 2],
    reachable: bool,
    rows: usize,
    best_de00: f64,
    regret_de00: f64,
    /// The same of the row that one would choose who knew the physics.
    knowing_regret_de00: f64,
    stated_chance: f64,
    within: bool,
}

fn main() -> std::io::Result<()> {
    let building = std::env::args().any(|argument| argument == "building");
    let first_seed = if building { 1 } else { 760_001 };
    let table = Table::load();
    let seeds: Vec<u64> = (first_seed..first_seed + PIECES).collect();
    let ranked: Vec<[Option<Ranked>; TRIALS.len()]> = seeds.par_iter().map(|seed| ranked(&table, *seed)).collect();
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "Ranking: {PIECES} made-up pieces, seeds {first_seed}–{}, every {UNREACHABLE_EVERY}th match sample unreachable; trials as \
         next advises,\nreading sd 0.3, strength sd 12 %, process sd 0.5. Regret: ΔE2000 to the match sample of what the first \
         row truly gives, less that of the\nbest row of the grid. Knowing: the choice of who knows each product's physics, and \
         fits its strength alone to the same\ntrials.",
        first_seed + PIECES - 1,
    )?;
    for (at, trials) in TRIALS.into_iter().enumerate() {
        let of_count: Vec<&Ranked> = ranked.iter().filter_map(|each| each[at].as_ref()).collect();
        table_after(&mut out, trials, &of_count)?;
    }
    Ok(())
}

fn table_after(out: &mut impl Write, trials: usize, ranked: &[&Ranked]) -> std::io::Result<()> {
    let refused = PIECES as usize - ranked.len();
    writeln!(out, "\nAfter {trials} trials; no ranking: {refused} (counted as a miss)")?;
    writeln!(
        out,
        "{:<46} {:>4} {:>6} {:>12} {:>10} {:>14} {:>8} {:>8} {:>12} {:>12}",
        "", "n", "rows", "within 0.5", "knowing", "regret median", "p90", "most", "best median", "odds / held"
    )?;
    for seed in 0..4 {
        let pair = [physics(seed, 0), physics(seed, 1)];
        let of_it: Vec<&Ranked> = ranked.iter().copied().filter(|one| one.physics == pair).collect();
        line(out, &format!("{}; {}", pair[0].name(), pair[1].name()), &of_it, of_it.len())?;
    }
    for (name, wanted) in [("reachable", true), ("unreachable", false)] {
        let of_it: Vec<&Ranked> = ranked.iter().copied().filter(|one| one.reachable == wanted).collect();
        line(out, name, &of_it, of_it.len())?;
    }
    line(out, "all", ranked, PIECES as usize)
}

/// The ranking after each of [`TRIALS`].
fn ranked(table: &Table, seed: u64) -> [Option<Ranked>; TRIALS.len()] {
    let reachable = !seed.is_multiple_of(UNREACHABLE_EVERY);
    let plan = Plan { parts: 1, products: 2, reachable, farthest_de00: 25.0 };
    let mut made = Made::new(table, plan, seed);
    TRIALS.map(|trials| {
        while made.piece.trials.len() < trials {
            let next = predict::next(&made.piece, &|_| true).ok()?;
            let advised = next.rows.into_iter().find(|row| row.on.is_some())?;
            made = made.with_mixes(&advised.mixes);
            made.try_out(table, 0, &advised.steps);
        }
        judged(&made, table, seed, reachable)
    })
}

/// The ranking of a piece with the trials that it has.
fn judged(made: &Made, table: &Table, seed: u64, reachable: bool) -> Option<Ranked> {
    let ranking = predict::rank(&made.piece, PartId(1), &|_| true).ok()?;
    let made = made.with_mixes(&ranking.mixes);
    let truly = |steps: &[Step]| de2000(made.truth(table, 0, steps), made.target);
    let best = ranking.rows.iter().map(|row| truly(&row.steps)).fold(f64::INFINITY, f64::min);
    let known = knowing(&made, table);
    let as_known = |steps: &[Step]| de2000(known.truth(table, 0, steps), ranking.target.mean);
    let by_knowing = ranking.rows.iter().min_by(|a, b| as_known(&a.steps).total_cmp(&as_known(&b.steps)))?;
    let first = ranking.rows.first()?;
    let first_de00 = truly(&first.steps);
    Some(Ranked {
        physics: [physics(seed, 0), physics(seed, 1)],
        reachable,
        rows: ranking.rows.len(),
        best_de00: best,
        regret_de00: first_de00 - best,
        knowing_regret_de00: truly(&by_knowing.steps) - best,
        stated_chance: first.chance_within,
        within: first_de00 <= ranking.tolerance_de00,
    })
}

fn line(out: &mut impl Write, name: &str, ranked: &[&Ranked], of: usize) -> std::io::Result<()> {
    let regrets = || ranked.iter().map(|one| one.regret_de00);
    let good = regrets().filter(|regret| *regret <= AS_GOOD_DE00).count();
    let known = ranked.iter().filter(|one| one.knowing_regret_de00 <= AS_GOOD_DE00).count();
    let odds = ranked.iter().map(|one| one.stated_chance).sum::<f64>() / ranked.len().max(1) as f64;
    let held = ranked.iter().filter(|one| one.within).count();
    writeln!(
        out,
        "{name:<46} {:>4} {:>6.0} {:>10.1} % {:>8.1} % {:>14.2} {:>8.2} {:>8.2} {:>12.2} {:>5.0} / {:.0} %",
        ranked.len(),
        quantile(ranked.iter().map(|one| one.rows as f64), 0.5),
        percent(good, of),
        percent(known, of),
        quantile(regrets(), 0.5),
        quantile(regrets(), 0.9),
        quantile(regrets(), 1.0),
        quantile(ranked.iter().map(|one| one.best_de00), 0.5),
        100.0 * odds,
        percent(held, ranked.len()),
    )
}
