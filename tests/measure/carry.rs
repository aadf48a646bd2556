//! One case of the transfer test: trials of a made stain on one wood, and what is predicted of another.

use nalgebra::{Matrix3, Vector3};
use predict::{
    Estimate,
    draws::{COUNT, Source, moved},
    evidence::{Application, Belief, Expectation, Observation, Unlike, learn},
    laws::{Family, Law},
};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use crate::{
    bands,
    truths::{Physics, Stain, Table, normal},
};

/// Standard deviation of a reading, per axis.
const READING_SD: f64 = 0.3;
/// Standard deviation of the logarithm of strength from one use to the next.
const STRENGTH_SD: f64 = 0.12;

/// Which trials are made, each on wood A (0) or a second wood (1) at a share of the full strength.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Trials {
    /// In words.
    pub(crate) name: &'static str,
    /// Wood and strength.
    pub(crate) made: &'static [(usize, f64)],
}

/// The sets of trials that are measured.
pub(crate) const TRIALS: [Trials; 4] = [
    Trials { name: "one", made: &[(0, 1.0)] },
    Trials { name: "full + half, one wood", made: &[(0, 1.0), (0, 0.5)] },
    Trials { name: "full, two woods", made: &[(0, 1.0), (1, 1.0)] },
    Trials { name: "five", made: &[(0, 1.0), (0, 0.5), (0, 0.25), (0, 2.0), (1, 1.0)] },
];

/// What came of one case.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    /// Generator of the case.
    pub(crate) physics: Physics,
    /// ΔE2000 of the mixture.
    pub(crate) mixture: f64,
    /// ΔE2000 of adding ΔLab.
    pub(crate) adding: f64,
    /// ΔE2000 of each law alone, in the order of [`single_laws`].
    pub(crate) single: Vec<f64>,
    /// ΔE2000 of the law of the generator alone; not a number where it cannot explain the trials at all.
    pub(crate) oracle: f64,
    /// Whether the 90 % region of the mean colour holds the truth.
    pub(crate) held: bool,
    /// Whether the 90 % region of one use holds one use.
    pub(crate) held_use: bool,
    /// Mean half axis of the 90 % region, CIELAB units.
    pub(crate) half_axis: f64,
    /// Width of the 90 % interval, mean of the three axes.
    pub(crate) width: f64,
    /// Interval score at 90 %, mean of the three axes: the width, and 20 times what the truth lies outside.
    pub(crate) score: f64,
    /// ΔE2000 of the law of the generator with the effect inverted from the trials, over three broad bands.
    pub(crate) three_bands: f64,
    /// The same over 36 bands of recovered reflectance.
    pub(crate) many_bands: f64,
}

/// Each law with all its constants.
pub(crate) fn single_laws() -> Vec<(&'static str, Vec<(Law, f64)>)> {
    let mut laws: Vec<(&'static str, Vec<(Law, f64)>)> = Vec::new();
    for (law, weight) in Family::Colourant.laws() {
        match laws.iter_mut().find(|(name, _)| *name == law.name()) {
            Some((_, members)) => members.push((law, weight)),
            None => laws.push((law.name(), vec![(law, weight)])),
        }
    }
    laws
}

fn is_oracle(physics: Physics, law: Law) -> bool {
    match physics {
        Physics::DyeFilm => law == Law::Log,
        Physics::PigmentFilm => matches!(law, Law::Film { .. }),
        Physics::PigmentInWood => matches!(law, Law::Hiding { .. }),
        Physics::DyeInWood => law == Law::Ks,
        // No law of the family is theirs.
        Physics::DyeInAndOn | Physics::Power | Physics::PigmentInAndOn => false,
    }
}

/// One case; None where no stain can move the wood that far, or no law explains the trials.
pub(crate) fn case(table: &Table, physics: Physics, trials: Trials, process_sd: f64, seed: u64) -> Option<Outcome> {
    let rng = &mut Pcg64::seed_from_u64(seed);
    // A stain that cannot move this wood so far at any strength (a pigment of nearly its colour, a dark wood) is drawn
    // again with its woods.
    let woods = table.woods_for(physics);
    let (stain, x, order) = (0..1000).find_map(|_| {
        let mut order: Vec<usize> = (0..woods.len()).collect();
        for index in 0..3 {
            let other = rng.random_range(index..order.len());
            order.swap(index, other);
        }
        let stain = Stain::drawn(physics, rng);
        let move_size = 8.0 + 14.0 * rng.random::<f64>();
        stain.strength_for(table, &woods[order[0]], move_size).map(|x| (stain, x, order))
    })?;
    let [first, second, target] = [order[0], order[1], order[2]].map(|wood| &woods[wood]);
    let target_strength = 0.5 * 3f64.powf(rng.random());
    let read = |lab: colour::Lab, rng: &mut Pcg64| moved(lab, Vector3::from_fn(|_, _| READING_SD * normal(rng)));
    let used = |wood, strength: f64, rng: &mut Pcg64| {
        let strength = strength * (STRENGTH_SD * normal(rng)).exp();
        let lab = table.lab(&stain.on(wood, x * strength));
        moved(lab, Vector3::from_fn(|_, _| process_sd * normal(rng)))
    };
    let observations: Vec<Observation> = trials
        .made
        .iter()
        .map(|(wood, strength)| {
            let wood = if *wood == 0 { first } else { second };
            let after = used(wood, *strength, rng);
            Observation {
                before: read(table.lab(wood), rng),
                after: read(after, rng),
                strength: *strength,
                reading: Matrix3::identity() * (2.0 * READING_SD * READING_SD),
                strength_sd: 0.0,
                conditions: Vec::new(),
            }
        })
        .collect();

    let base = read(table.lab(target), rng);
    let truth = table.lab(&stain.on(target, x * target_strength));
    let one_use = used(target, target_strength, rng);
    let source = Source::named("base of the target");
    let bases: Vec<colour::Lab> = (0..COUNT).map(|draw| moved(base, source.normal3(draw, 0) * READING_SD)).collect();
    let predicted = |laws: &[(Law, f64)], wood: Option<&str>, use_: Option<&str>| {
        let effect = learn("stain", laws, &observations, &[], Expectation::OPEN, &Belief::of_a_step())?;
        let application = Application {
            strength: target_strength,
            conditions: &[],
            used: use_,
            wood,
            mix: None,
            unlike: Unlike::NONE,
        };
        Some(Estimate::from_draws(effect.draws(&bases, &application)))
    };
    let error = |estimate: &Estimate| colour::de2000(estimate.mean, truth);

    let all = Family::Colourant.laws();
    let mixture = predicted(&all, None, None)?;
    let region = predicted(&all, Some("target"), None)?;
    let region_of_use = predicted(&all, Some("target"), Some("target"))?;
    let of_law = |law: &(Law, f64)| is_oracle(physics, law.0);
    let oracle = predicted(&all.iter().copied().filter(of_law).collect::<Vec<_>>(), None, None);
    let single =
        single_laws().into_iter().map(|(_, laws)| predicted(&laws, None, None).map_or(f64::NAN, |it| error(&it)));
    let (mut sum, mut weight) = (Vector3::zeros(), 0.0);
    for one in &observations {
        sum += (predict::draws::vector(one.after) - predict::draws::vector(one.before)) * one.strength;
        weight += one.strength * one.strength;
    }
    let added = moved(base, sum * (target_strength / weight));
    let (width, score) = interval_score(&region.draws, truth);
    let inverted = |inverted: &dyn Fn(Law) -> Option<colour::Lab>| {
        // A hiding law at its middle hiding: the same for both.
        let middle = |law: &Law| match law {
            Law::Hiding { hiding } | Law::Film { hiding } => *hiding == 0.15,
            _ => true,
        };
        let law = all.iter().map(|(law, _)| *law).find(|law| is_oracle(physics, *law) && middle(law));
        law.and_then(inverted).map_or(f64::NAN, |lab| colour::de2000(lab, truth))
    };
    let three_bands = inverted(&|law| bands::three(law, &observations, base, target_strength));
    let many_bands = inverted(&|law| bands::many(law, &observations, base, target_strength));
    let covariance = Matrix3::from_fn(|row, column| region.covariance[row][column]);
    Some(Outcome {
        physics,
        mixture: error(&mixture),
        adding: colour::de2000(added, truth),
        single: single.collect(),
        oracle: oracle.map_or(f64::NAN, |it| error(&it)),
        held: region.holds(truth, 0.9),
        held_use: region_of_use.holds(one_use, 0.9),
        // χ²₃ at 0.9 is 6.251.
        half_axis: (6.251 * covariance.determinant().abs().cbrt()).sqrt(),
        width,
        score,
        three_bands,
        many_bands,
    })
}

/// Mean width over the axes of the 90 % interval of draws, and its interval score.
///
/// Gneiting, Raftery (2007), DOI 10.1198/016214506000001437, eq. 43.
fn interval_score(draws: &[colour::Lab], truth: colour::Lab) -> (f64, f64) {
    let (mut width, mut score) = (0.0, 0.0);
    for axis in 0..3 {
        let mut values: Vec<f64> = draws.iter().map(|lab| predict::draws::vector(*lab)[axis]).collect();
        values.sort_by(f64::total_cmp);
        let at = |share: f64| values[(share * (values.len() - 1) as f64).round() as usize];
        let (low, high, truth) = (at(0.05), at(0.95), predict::draws::vector(truth)[axis]);
        width += (high - low) / 3.0;
        score += (high - low + 20.0 * ((low - truth).max(0.0) + (truth - high).max(0.0))) / 3.0;
    }
    (width, score)
}
