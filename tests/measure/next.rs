//! How many trials the advice saves: made-up pieces, tried as `next` says, in the order of the list, and at random.
//!
//! `cargo run --release -p acceptance --bin measure-next [building [PIECES]]`: 100 pieces on seeds from 860 001 on, or on the
//! seeds used while building (from 1 on); those are told one by one first, with the trials that were advised.

#[allow(dead_code)]
mod pieces;
#[allow(dead_code)]
mod truths;

use std::io::Write;

use acceptance::figures::{mean, percent, quantile};
use colour::de2000;
use piece::{Product, Step};
use pieces::{Made, Plan, colour_steps};
use predict::trade::{self, Worth};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use truths::Table;

const PIECES: u64 = 100;
/// Trials after which a strategy is given up; it counts as one more.
const MOST: usize = 14;
/// A route is right if no other would truly save more than this, in hours: about what one more trial costs.
const RIGHT_HOURS: f64 = 1.3;
/// Pieces where no route has such odds are drawn again: there is no route to find.
const ATTAINABLE: f64 = 0.6;
/// Uses of a schedule from which true odds are counted.
const USES: usize = 200;
/// Schedules of each part among which the best plan is looked for.
const NEAREST: usize = 12;
/// Bootstrap resamples.
const RESAMPLES: usize = 10_000;
const PLAN: Plan = Plan { parts: 2, products: 4, reachable: true, farthest_de00: 14.0 };

/// How trials are chosen.
#[derive(Clone, Copy, PartialEq)]
enum Strategy {
    Advice,
    List,
    Random,
}

const STRATEGIES: [(Strategy, &str); 3] =
    [(Strategy::Advice, "as next says"), (Strategy::List, "in the order of the list"), (Strategy::Random, "at random")];

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let building = arguments.next().is_some_and(|argument| argument == "building");
    let pieces = arguments.next().and_then(|count| count.parse().ok()).unwrap_or(PIECES);
    let first_seed = if building { 1 } else { 860_001 };
    let table = Table::load();
    let seeds: Vec<u64> = (first_seed..first_seed + pieces).collect();
    let tried: Vec<[Tried; 3]> = seeds
        .par_iter()
        .map(|seed| {
            let again = attainable_seed(&table, *seed);
            STRATEGIES.map(|(strategy, _)| trials_needed(&table, again, strategy))
        })
        .collect();
    let counts: Vec<[usize; 3]> = tried.iter().map(|of_piece| [0, 1, 2].map(|at| of_piece[at].count)).collect();
    let mut out = std::io::stdout().lock();
    if building {
        for (seed, [advice, list, random]) in seeds.iter().zip(&tried) {
            writeln!(out, "{seed}: {}, list {}, random {}", advice.count, list.count, random.count)?;
            writeln!(out, "    {}", advice.trials.join("\n    "))?;
        }
    }
    writeln!(
        out,
        "Next: {pieces} made-up pieces of two parts, four products and two boards, seeds {first_seed}–{}. Trials until no \
         route of the grid\nwould truly save more than {RIGHT_HOURS} h against the first one, and still none would after one \
         more trial; at most {MOST}, else {}. Reading\nsd 0.3, strength sd 12 %, process sd 0.5.\n",
        first_seed + pieces - 1,
        MOST + 1,
    )?;
    writeln!(
        out,
        "{:<28} {:>7} {:>7} {:>7} {:>16} {:>20}",
        "", "mean", "median", "p90", "never reached", "nine in ten right at"
    )?;
    for (at, (_, name)) in STRATEGIES.iter().enumerate() {
        let of_it = || counts.iter().map(|count| count[at] as f64);
        let never = counts.iter().filter(|count| count[at] > MOST).count();
        writeln!(
            out,
            "{name:<28} {:>7.2} {:>7.1} {:>7.1} {:>14.0} % {:>20.0}",
            mean(of_it()),
            quantile(of_it(), 0.5),
            quantile(of_it(), 0.9),
            percent(never, counts.len()),
            nine_in_ten(of_it())
        )?;
    }
    for (at, (_, name)) in STRATEGIES.iter().enumerate().skip(1) {
        let saving = |counts: &[[usize; 3]]| {
            let sum = |at: usize| counts.iter().map(|count| count[at] as f64).sum::<f64>();
            100.0 * (1.0 - sum(0) / sum(at))
        };
        let (low, high) = bootstrap(&counts, first_seed, &saving);
        writeln!(
            out,
            "\nTrials saved against {name}: {:.0} %, 95 % interval {low:.0} to {high:.0} % (bootstrap, {RESAMPLES} \
             resamples of pieces)",
            saving(&counts)
        )?;
        let saving = |counts: &[[usize; 3]]| {
            let of = |at: usize| nine_in_ten(counts.iter().map(|count| count[at] as f64));
            100.0 * (1.0 - of(0) / of(at))
        };
        let (low, high) = bootstrap(&counts, first_seed, &saving);
        writeln!(
            out,
            "Until nine pieces in ten are right: {:.0} % fewer, 95 % interval {low:.0} to {high:.0} %",
            saving(&counts)
        )?;
    }
    Ok(())
}

/// The fewest trials after which nine in ten are right.
fn nine_in_ten(counts: impl Iterator<Item = f64>) -> f64 {
    let mut counts: Vec<f64> = counts.collect();
    counts.sort_by(f64::total_cmp);
    counts[(counts.len() * 9).div_ceil(10) - 1]
}

fn bootstrap(counts: &[[usize; 3]], seed: u64, saving: &dyn Fn(&[[usize; 3]]) -> f64) -> (f64, f64) {
    let mut rng = Pcg64::seed_from_u64(seed);
    let resampled: Vec<f64> = (0..RESAMPLES)
        .map(|_| saving(&counts.iter().map(|_| counts[rng.random_range(0..counts.len())]).collect::<Vec<_>>()))
        .collect();
    (quantile(resampled.iter().copied(), 0.025), quantile(resampled.iter().copied(), 0.975))
}

/// The first seed derived from this one whose piece has a right route.
fn attainable_seed(table: &Table, seed: u64) -> u64 {
    let derived = |again: u64| seed + 4 * again * 1_000_000;
    let attainable = |seed: &u64| best(table, &Made::new(table, PLAN, *seed)).odds >= ATTAINABLE;
    (0..200).map(derived).find(attainable).unwrap_or(seed)
}

/// What a strategy came to.
struct Tried {
    /// Trials until the first route is right.
    count: usize,
    /// The trials in words, with how far the first route was from the best before each, in hours.
    trials: Vec<String>,
}

/// Trials until the first route is right.
fn trials_needed(table: &Table, seed: u64, strategy: Strategy) -> Tried {
    let mut made = Made::new(table, PLAN, seed);
    let best = best(table, &made);
    let mut order = list(&made);
    if strategy == Strategy::Random {
        let mut rng = Pcg64::seed_from_u64(seed);
        for index in 0..order.len() {
            let other = rng.random_range(index..order.len());
            order.swap(index, other);
        }
    }
    let mut order = order.into_iter();
    let mut was_right = false;
    let mut trials = Vec::new();
    for count in 0..=MOST + 1 {
        let off = first_route(table, &made).map_or(f64::INFINITY, |first| first.hours - best.hours);
        let right = off <= RIGHT_HOURS;
        if right && was_right {
            return Tried { count: count - 1, trials };
        }
        was_right = right;
        let next = if strategy == Strategy::Advice { advised(&made) } else { order.next().map(|one| (one, 0.0)) };
        let Some((Trial { place, steps, mixes }, worth)) = next else { break };
        made = made.with_mixes(&mixes);
        let words = trade::schedule_words(&made.piece, &steps);
        trials.push(format!("{off:.1} h off; {words} on {}, worth {worth:.1} h", place + 1));
        made.try_out(table, place, &steps);
    }
    Tried { count: MOST + 1, trials }
}

/// A trial to make.
struct Trial {
    place: usize,
    steps: Vec<Step>,
    /// Mixes it asks for.
    mixes: Vec<Product>,
}

/// The trial that is worth most, whether it is worth its cost or not: the odds are to be reached. And what it is worth.
fn advised(made: &Made) -> Option<(Trial, f64)> {
    let next = predict::next(&made.piece, &|_| true).ok()?;
    let row = next.rows.into_iter().find(|row| row.on.is_some())?;
    let worth = row.worth_hours();
    Some((Trial { place: made.place_of(row.on?), steps: row.steps, mixes: row.mixes }, worth))
}

/// All single steps of the grid, product by product, on each board.
fn list(made: &Made) -> Vec<Trial> {
    let on = |place: usize, step: &Step| Trial { place, steps: vec![step.clone()], mixes: Vec::new() };
    made.grid().iter().flat_map(|step| (0..PLAN.parts).map(move |place| on(place, step))).collect()
}

/// What a plan truly is.
#[derive(Clone, Copy)]
struct Truth {
    /// Share of uses in which every part is within tolerance of the match sample and of the other.
    odds: f64,
    /// Hours it counts for, on average over uses.
    hours: f64,
}

/// The best plan there is: by every pair of schedules near the match sample, of one dye, one stain, or one after the other.
fn best(table: &Table, made: &Made) -> Truth {
    let grid = made.grid();
    let is_dye = |step: &&Step| matches!(step, Step::Dye { .. });
    let (dyes, stains): (Vec<&Step>, Vec<&Step>) = grid.iter().partition(is_dye);
    let mut schedules: Vec<Vec<Step>> = vec![Vec::new()];
    schedules.extend(grid.iter().map(|step| vec![step.clone()]));
    schedules.extend(dyes.iter().flat_map(|dye| stains.iter().map(|stain| vec![(*dye).clone(), (*stain).clone()])));
    let nearest = |place: usize| -> Vec<&Vec<Step>> {
        let mut order: Vec<(f64, &Vec<Step>)> =
            schedules.iter().map(|steps| (de2000(made.truth(table, place, steps), made.target), steps)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        order.into_iter().take(NEAREST).map(|(_, steps)| steps).collect()
    };
    let plans: Vec<Vec<&Vec<Step>>> = (0..PLAN.parts).map(nearest).collect();
    let pairs = plans[0].iter().flat_map(|first| plans[1].iter().map(|second| [(*first).clone(), (*second).clone()]));
    let truths: Vec<Truth> = pairs.map(|plan| truth(table, made, &plan)).collect();
    truths.iter().copied().min_by(|a, b| a.hours.total_cmp(&b.hours)).unwrap_or(Truth { odds: 0.0, hours: 0.0 })
}

/// The first route on the evidence so far, as it truly is.
fn first_route(table: &Table, made: &Made) -> Option<Truth> {
    let routes = predict::routes(&made.piece, &|_| true).ok()?;
    let first = routes.routes.first()?;
    let made = made.with_mixes(&first.mixes);
    let schedules: Vec<Vec<Step>> = (first.schedules.iter())
        .map(|schedule| colour_steps(&schedule.row.steps).into_iter().cloned().collect())
        .collect();
    Some(truth(table, &made, &schedules))
}

fn truth(table: &Table, made: &Made, schedules: &[Vec<Step>]) -> Truth {
    let mut rng = Pcg64::seed_from_u64(17);
    let (piece, tolerances, worth) = (&made.piece, &made.piece.tolerances, Worth::DEFAULT);
    let (mut within, mut missed) = (0, 0.0);
    for _ in 0..USES {
        let use_of = |(place, steps): (usize, &Vec<Step>)| made.use_of(table, place, steps, &mut rng);
        let labs: Vec<colour::Lab> = schedules.iter().enumerate().map(use_of).collect();
        let to_match = labs.iter().map(|lab| de2000(*lab, made.target) / tolerances.match_sample_de00);
        let pairs = labs.windows(2).map(|pair| de2000(pair[0], pair[1]) / tolerances.fronts_de00);
        let worst = to_match.chain(pairs).fold(0.0, f64::max);
        within += usize::from(worst <= 1.0);
        missed += Worth::missed(worst);
    }
    let parts = || piece.parts.iter().zip(schedules);
    let steps = || parts().flat_map(|(part, steps)| steps.iter().map(move |step| (part, step)));
    let work: f64 = steps().map(|(part, step)| trade::hours(step, part.area_m2.unwrap_or_default())).sum();
    let undone: usize = parts().map(|(_, steps)| trade::irreversible(piece, steps).len()).sum();
    let waits = parts().map(|(_, steps)| steps.iter().map(|step| trade::drying_hours(piece, step)).sum::<f64>());
    let litres: f64 = parts().map(|(part, steps)| trade::litres(piece, part, steps)).sum();
    let hours = work
        + worth.irreversible_hours * undone as f64
        + worth.waiting_hours * waits.fold(0.0, f64::max)
        + worth.litre_hours * litres
        + worth.failed_match_hours * missed / USES as f64;
    Truth { odds: within as f64 / USES as f64, hours }
}
