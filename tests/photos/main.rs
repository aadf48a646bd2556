//! Photos rendered from spectra, read end to end: the truth is known, and no code is shared with what reads them.
//!
//! Thresholds are those of the product's promise: median error of region colours under 1.2 ΔE2000, stated 90 % ellipsoids
//! that hold 80–97 % of truths. `measure-rendered` prints the same over more seeds.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

mod causes;
mod negatives;
mod plain;
mod repeat;
mod shot;
mod warnings;

use acceptance::figures::median;
use acceptance::rendered::{Outcome, outcome};
use acceptance::stated::Tally;
use rayon::prelude::*;

/// Seeds of this test; not those of the printed table.
const SEEDS: std::ops::Range<u64> = 500_001..500_041;

fn outcomes() -> Vec<Outcome> {
    SEEDS.into_par_iter().map(|seed| outcome(seed).expect("a rendered photo can be read")).collect()
}

#[test]
fn rendered_photos_are_read_as_well_as_promised() {
    let outcomes = outcomes();
    let found = outcomes.iter().filter(|outcome| outcome.found).count();
    assert!(found * 10 >= outcomes.len() * 9, "cards found: {found} of {}", outcomes.len());

    let panels: Vec<_> = outcomes.iter().flat_map(|outcome| &outcome.panels).collect();
    assert!(panels.len() >= 60, "only {} regions were read", panels.len());
    let error = median(panels.iter().map(|panel| panel.de00));
    assert!(error < 1.2, "median error {error:.2} over {} regions", panels.len());

    let single = Tally::of(panels.iter().map(|panel| panel.stated));
    assert!((0.80..=0.97).contains(&single.share()), "ellipsoids of regions {single}");

    let pairs: Vec<_> = outcomes.iter().flat_map(|outcome| &outcome.pairs).collect();
    let held = pairs.iter().filter(|pair| pair.told_holds).count();
    println!("intervals told of differences hold {held} of {}", pairs.len());
    assert!(held * 100 >= pairs.len() * 85, "intervals told of differences hold {held} of {}", pairs.len());

    let pairs = Tally::of(pairs.iter().map(|pair| pair.stated));
    assert!(
        pairs.width() < single.width() * std::f64::consts::SQRT_2,
        "differences {pairs} are no surer than {single}"
    );
}

#[test]
fn the_same_photo_gives_the_same_reading() {
    let [first, second] = [0, 1].map(|_| outcome(500_001).expect("a rendered photo can be read"));
    let labs = |outcome: &Outcome| outcome.panels.iter().map(|panel| panel.de00.to_bits()).collect::<Vec<_>>();
    assert!(!labs(&first).is_empty());
    assert_eq!(labs(&first), labs(&second));
}
