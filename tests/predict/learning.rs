//! What trials teach: how uses scatter, which trial does not fit, what a mix does, what coats and boards do; against made
//! truths and published figures.

use ::piece::*;
use colour::{Lab, de2000};
use nalgebra::{Matrix3, Vector3};
use predict::{
    Estimate,
    draws::{COUNT, moved, vector},
    evidence::{Application, Belief, Effect, Expectation, Observation, Scatter, Unlike, learn},
    laws::Family,
};
use rand::SeedableRng;
use rand_pcg::Pcg64;

use crate::{
    bench::{Bench, cherry_bureau, topcoated, wet},
    left_out::{Size, left_out},
    truths::{Physics, Spectrum, Stain, Table, from_ks, ks, normal},
};

/// A made stain tried on a wood: at each strength once, read with 0.2 per axis, with this scatter between uses.
fn tried(
    table: &Table,
    stain: &Stain,
    wood: usize,
    strengths: &[f64],
    scatter: Scatter,
    rng: &mut Pcg64,
) -> Vec<Observation> {
    let read = |lab: Lab, sd: f64, rng: &mut Pcg64| moved(lab, Vector3::from_fn(|_, _| sd * normal(rng)));
    strengths
        .iter()
        .map(|strength| {
            let used = strength * (scatter.strength_sd * normal(rng)).exp();
            let after = table.lab(&stain.on(&table.woods[wood], used));
            Observation {
                before: read(table.lab(&table.woods[wood]), 0.2, rng),
                after: read(after, 0.2_f64.hypot(scatter.process_sd), rng),
                strength: *strength,
                reading: Matrix3::identity() * (2.0 * 0.2 * 0.2),
                strength_sd: 0.0,
                conditions: Vec::new(),
            }
        })
        .collect()
}

/// A stain that moves the first wood by 14 ΔE2000 at strength 1.
fn stain(table: &Table, physics: Physics, rng: &mut Pcg64) -> Stain {
    (0..100)
        .find_map(|_| {
            let stain = Stain::drawn(physics, rng);
            let x = stain.strength_for(table, &table.woods[1], 14.0)?;
            Some(stain.thicker(x))
        })
        .unwrap()
}

fn effect(observations: &[Observation]) -> Effect {
    let laws = Family::Colourant.laws();
    learn("stain", &laws, observations, &[], Expectation::OPEN, &Belief::of_a_step()).unwrap()
}

fn predicted(effect: &Effect, before: Lab, strength: f64) -> Lab {
    let application =
        Application { strength, conditions: &[], used: None, mix: None, wood: None, unlike: Unlike::NONE };
    Estimate::from_draws(effect.draws(&vec![before; COUNT], &application)).mean
}

/// Repeats teach how uses scatter: what was made up comes out again, in the geometric mean of eight steps with 24 repeats
/// each, within a factor of 1.6 and nearer than what was believed before (seeds 7001–7032). A small scatter in strength is
/// not to be told from a large one of another kind, and is not asked for there.
#[test]
fn repeats_teach_the_scatter() {
    let table = Table::load();
    let prior = Belief::of_a_step().typical();
    // Two strengths, so that laws deaf to strength are out.
    let strengths: Vec<f64> = [1.0, 0.5].into_iter().cycle().take(24).collect();
    for (block, truth) in [
        (0, Scatter { strength_sd: 0.06, process_sd: 0.3 }),
        (1, Scatter { strength_sd: 0.06, process_sd: 1.1 }),
        (2, Scatter { strength_sd: 0.24, process_sd: 0.3 }),
        (3, Scatter { strength_sd: 0.24, process_sd: 1.1 }),
    ] {
        let (mut strength, mut process) = (0.0, 0.0);
        for seed in 7001 + block * 8..7009 + block * 8 {
            let rng = &mut Pcg64::seed_from_u64(seed);
            let stain = stain(&table, Physics::DyeInWood, rng);
            let found = effect(&tried(&table, &stain, 1, &strengths, truth, rng)).belief().typical();
            strength += found.strength_sd.ln() / 8.0;
            process += found.process_sd.ln() / 8.0;
        }
        let drowned = truth.strength_sd < 0.1 && truth.process_sd > 1.0;
        let sizes = [
            (process, truth.process_sd.ln(), prior.process_sd.ln()),
            (strength, truth.strength_sd.ln(), prior.strength_sd.ln()),
        ];
        for (found, truth, prior) in sizes.into_iter().take(if drowned { 1 } else { 2 }) {
            assert!((found - truth).abs() < 1.6f64.ln(), "{} for {}", found.exp(), truth.exp());
            assert!((found - truth).abs() < (prior - truth).abs(), "{} for {}", found.exp(), truth.exp());
        }
    }
}

/// A mix of two stains, each tried at two strengths on one wood, on another wood: against the same physics with K and S
/// added in proportion, and better than adding the parts' ΔLab in proportion (seeds 7101–7180).
#[test]
fn a_mix_is_predicted_from_its_parts() {
    let table = Table::load();
    let (mut by_parts, mut by_adding) = (Vec::new(), Vec::new());
    for (physics, block) in Physics::ALL.into_iter().zip(0..) {
        for seed in 7101 + block * 20..7121 + block * 20 {
            let rng = &mut Pcg64::seed_from_u64(seed);
            let scatter = Scatter { strength_sd: 0.05, process_sd: 0.2 };
            let parts = [stain(&table, physics, rng), stain(&table, physics, rng)];
            let trials = [0, 1].map(|part| tried(&table, &parts[part], 1, &[1.0, 0.5], scatter, rng));
            let effects = [effect(&trials[0]), effect(&trials[1])];
            let wood = &table.woods[4 + (seed % 8) as usize];
            let before = table.lab(wood);
            let truth = table.lab(&parts[0].mixed(&parts[1], 0.7).on(wood, 1.0));
            let mix = Effect::mixed("mix", &[(&effects[0], 0.7), (&effects[1], 0.3)]).unwrap();
            by_parts.push(de2000(predicted(&mix, before, 1.0), truth));
            let off = |part: usize| vector(trials[part][0].after) - vector(trials[part][0].before);
            by_adding.push(de2000(moved(before, off(0) * 0.7 + off(1) * 0.3), truth));
        }
    }
    let median = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    let (parts, adding) = (median(by_parts), median(by_adding));
    assert!(parts < 2.0 && parts < 0.5 * adding, "by parts {parts}, by adding {adding}");
}

/// 'Green takes down red' (common practice, no source).
#[test]
fn a_complementary_drop_takes_down_the_hue() {
    let wood = Lab::new(70.0, 8.0, 22.0);
    let once = |after: Lab| {
        effect(&[Observation {
            before: wood,
            after,
            strength: 1.0,
            reading: Matrix3::identity() * 0.1,
            strength_sd: 0.0,
            conditions: Vec::new(),
        }])
    };
    let (red, green) = (once(Lab::new(55.0, 24.0, 24.0)), once(Lab::new(55.0, -10.0, 20.0)));
    let plain = predicted(&red, wood, 1.0);
    let mix = Effect::mixed("mix", &[(&red, 8.0 / 9.0), (&green, 1.0 / 9.0)]).unwrap();
    let dropped = predicted(&mix, wood, 1.0);
    assert!(dropped.a < plain.a - 1.0 && dropped.a > wood.a, "{plain:?} {dropped:?}");
    assert!((dropped.l - plain.l).abs() < 2.5, "{plain:?} {dropped:?}");
}

/// Wax on black cherry, one to three coats: ΔE*ab 8.41, 11.29, 11.59; L* down, a* and b* up (Les/Wood,
/// journals.uni-lj.si/les-wood/article/view/18732). The wood's colour is that of another printed cherry (72.66, 5.55,
/// 24.07); how ΔE is split over the axes is chosen.
#[test]
fn coats_saturate() {
    let wood = Lab::new(72.66, 5.55, 24.07);
    let direction = Vector3::new(-0.8, 0.4, 0.45).normalize();
    let printed = [8.41, 11.29, 11.59];
    let observations: Vec<Observation> = printed
        .iter()
        .zip(1..)
        .map(|(de, coats)| Observation {
            before: wood,
            after: moved(wood, direction * *de),
            strength: f64::from(coats),
            reading: Matrix3::identity() * 0.1,
            strength_sd: 0.0,
            conditions: Vec::new(),
        })
        .collect();
    // Coats scatter little in strength: they wet the wood through or they do not (common practice, no source).
    let belief = Belief::about(Scatter { strength_sd: 0.03, process_sd: 0.4 }, 0.35, 0.5);
    let expectation = Expectation { only_absorbs: false, ..Expectation::OPEN };
    let wax = learn("wax", &Family::Coat.laws(), &observations, &[], expectation, &belief).unwrap();
    let sizes = [1.0, 2.0, 3.0, 4.0].map(|coats| (vector(predicted(&wax, wood, coats)) - vector(wood)).norm());
    for (size, printed) in sizes.iter().zip(printed) {
        assert!((size - printed).abs() < 1.3, "{sizes:?}");
    }
    // In proportion to coats the second would add as much as the first did.
    assert!(sizes[1] - sizes[0] < 0.5 * sizes[0] && sizes[3] - sizes[2] < sizes[1] - sizes[0], "{sizes:?}");
}

/// Two woods of one piece, one of them the match sample and read under the coat as well. What wetting does to the other stands in its
/// wet reading, so the coat is told from that and not from what it did to the first one dry. Reflectances of
/// tests/data/wood_reflectance_10nm.csv; wetting and coating multiply K/S (Kubelka, Munk 1931), one wood more than another.
#[test]
fn wet_wood_tells_more_of_the_coat_than_dry() {
    let table = Table::load();
    let under = |wood: &Spectrum, factor: f64| table.lab(&wood.map(|r| from_ks(ks(r) * factor)));
    // ΔE2000 to the match sample, how it was carried, and the true difference.
    let compared = |[(first, first_factor), (second, second_factor)]: [(usize, f64); 2], wet_too: bool| {
        let woods = [(&table.woods[first], first_factor), (&table.woods[second], second_factor)];
        let mut bench = Bench::new();
        let fall = bench.part("fall", "cherry", Construction::Solid, 0.5);
        let side = bench.part("side", "cherry", Construction::Solid, 0.5);
        bench.piece.match_sample = MatchSample::Part(fall);
        for (part, (wood, factor)) in [fall, side].into_iter().zip(woods) {
            bench.read(Surface::Part(part), State::BareDry, vector(under(wood, 1.0)).into(), "dry");
            if wet_too {
                bench.read(Surface::Part(part), wet(), vector(under(wood, factor.powf(0.93))).into(), "wet");
            }
        }
        let coated = woods.map(|(wood, factor)| under(wood, factor));
        bench.read(Surface::Part(fall), topcoated(), vector(coated[0]).into(), "coat");
        let found = predict::compare(&bench.piece).to_match[0].found.clone();
        (found.de00, found.carried.unwrap(), de2000(coated[0], coated[1]))
    };
    let (mut held, mut nearer, mut narrower, mut cases) = (0, 0, 0, 0);
    for first in [(0, 1.5), (3, 2.1), (5, 1.6)] {
        for second in [(1, 2.1), (2, 1.5), (4, 1.9)] {
            let (dry, from_dry, _) = compared([first, second], false);
            let (wet, from_wet, truth) = compared([first, second], true);
            assert!(from_dry.contains("read dry") && from_wet.contains("read spirit-wet"), "{from_dry}; {from_wet}");
            println!("{truth:.1}: dry {} wet {}", dry.words(), wet.words());
            cases += 1;
            held += usize::from((wet.low..=wet.high).contains(&truth));
            nearer += usize::from((wet.mean - truth).abs() < (dry.mean - truth).abs());
            narrower += usize::from(wet.high - wet.low < dry.high - dry.low);
        }
    }
    assert!(cases == 9 && held >= 8 && nearer >= 8 && narrower == 9, "of {cases}: {held}, {nearer}, {narrower}");
}

/// What absorbs and does not hide cannot lighten (Kubelka, Munk 1931: K/S only grows): a paint that lightened dark wood is told
/// to hide after one trial, though one trial else keeps the laws as they were, as it does for a step that may take away.
#[test]
fn one_trial_that_lightened_tells_that_a_colourant_hides() {
    let lightened = Observation {
        before: Lab::new(30.0, 10.0, 15.0),
        after: Lab::new(60.0, 5.0, 20.0),
        strength: 1.0,
        reading: Matrix3::identity() * 0.1,
        strength_sd: 0.0,
        conditions: Vec::new(),
    };
    let of_clear = |only_absorbs: bool| -> f64 {
        let expectation = Expectation { only_absorbs, ..Expectation::OPEN };
        let laws = Family::Colourant.laws();
        let one = std::slice::from_ref(&lightened);
        let effect = learn("paint", &laws, one, &[], expectation, &Belief::of_a_step()).unwrap();
        effect.law_weights().iter().filter(|(name, _)| !name.contains("hiding")).map(|(_, weight)| weight).sum()
    };
    let (absorbs, may_take) = (of_clear(true), of_clear(false));
    assert!(absorbs < 0.05 && may_take > 0.3, "{absorbs} and {may_take}");
}

/// A piece with a dye tried five times on like boards, at strengths 4 to 30 g/L, by a made truth.
fn dyed(change: impl FnOnce(&mut Vec<Lab>)) -> (Vec<predict::Learned>, Vec<String>) {
    predict::learned(&dyed_piece(change))
}

fn dyed_piece(change: impl FnOnce(&mut Vec<Lab>)) -> Piece {
    let table = Table::load();
    let rng = &mut Pcg64::seed_from_u64(7201);
    let made = stain(&table, Physics::DyeInWood, rng);
    let grams = [4.0, 8.0, 15.0, 30.0, 15.0];
    let strengths = grams.map(|grams| grams / 30.0);
    let scatter = Scatter { strength_sd: 0.05, process_sd: 0.2 };
    let observations = tried(&table, &made, 1, &strengths, scatter, rng);
    let mut after: Vec<Lab> = observations.iter().map(|one| one.after).collect();
    change(&mut after);
    let mut bench = Bench::new();
    let part = bench.part("door", "oak", Construction::Solid, 0.4);
    let wood = table.lab(&table.woods[1]);
    bench.read(Surface::Part(part), State::BareDry, [wood.l, wood.a, wood.b], "p");
    let dye = bench.product("dye", Kind::WaterDye, "water");
    for ((observation, after), grams_per_litre) in observations.iter().zip(after).zip(grams) {
        let on = Surface::Board(bench.board(&format!("board {}", bench.piece.boards.len()), part));
        let lab = |lab: Lab| [lab.l, lab.a, lab.b];
        let before = bench.read(on, State::BareDry, lab(observation.before), "p");
        let after = bench.read(on, State::ColourDry, lab(after), "p");
        let step = Step::Dye { product: dye, grams_per_litre, coats: 1 };
        bench.trial(on, vec![before], vec![(step, vec![after])]);
    }
    bench.piece
}

/// The same under a coat that wets it, each trial read coated too, and a match sample.
fn coated_piece(change: impl FnOnce(&mut Vec<Lab>)) -> Piece {
    let mut bench = Bench { piece: dyed_piece(change) };
    for at in 0..bench.piece.trials.len() {
        let trial = bench.piece.trials[at].clone();
        let dry = trial.readings().last().and_then(|id| bench.piece.reading(id)).unwrap().lab;
        // Coats darken and take away no chroma (Ayata et al. 2024, Drewno 194848).
        let coated = bench.read(trial.on, topcoated(), [dry.l - 8.0, dry.a + 2.0, dry.b + 4.0], "p");
        let step = Step::Topcoat { topcoat: "amber lacquer".into(), sheen: "satin".into() };
        let stages = trial.stages.iter().cloned().chain([Stage { step, readings: vec![coated] }]).collect();
        bench.piece.trials[at] = std::sync::Arc::new(Trial::new(trial.id, trial.on, trial.before.clone(), stages));
        bench.piece.match_sample = MatchSample::Reading(coated);
    }
    bench.piece
}

/// What a dye of the piece's only product, at so many g/L, is predicted to give.
fn predicted_of_dye(piece: &Piece, grams_per_litre: u32) -> Estimate {
    let rows = predict::rank(piece, PartId(1), &|_| true).unwrap().rows;
    let id = format!("dye-c1-{grams_per_litre}x1");
    rows.into_iter().find(|row| row.id == id).unwrap().predicted
}

fn notes_of_dye(learned: &[predict::Learned]) -> String {
    learned.iter().find(|one| one.words.contains("dye")).unwrap().notes.join("; ")
}

#[test]
fn trials_that_do_not_fit_are_pointed_out_with_a_reason() {
    let (sound, _) = dyed(|_| {});
    assert!(!notes_of_dye(&sound).contains("off what the others say"), "{}", notes_of_dye(&sound));
    let (swapped, _) = dyed(|after| after.swap(0, 3));
    assert!(notes_of_dye(&swapped).contains("swapped"), "{}", notes_of_dye(&swapped));
    // Wet wood is darker and stronger in colour ('liquid water: L down, a and b up', Wood and Fiber Science 51(2):119–131).
    let (wet, _) = dyed(|after| after[2] = moved(after[2], Vector3::new(-9.0, 4.0, 7.0)));
    let notes = notes_of_dye(&wet);
    assert!(notes.contains("trial t3 is") && notes.contains("still wet"), "{notes}");
    let odd = predict::odd_trials(&dyed_piece(|after| after[2] = moved(after[2], Vector3::new(-9.0, 4.0, 7.0))));
    assert_eq!(odd.iter().map(|odd| odd.trial).collect::<Vec<_>>(), [TrialId(3)]);
    assert!(notes.contains(&odd[0].words), "{odd:?}");
    assert_eq!(predict::odd_trials(&dyed_piece(|_| {})), []);
}

/// Trials that agree narrow the odds; a use that does not fit is not averaged in.
#[test]
fn agreement_narrows_the_scatter() {
    let (sound, _) = dyed(|_| {});
    let scatter = sound.iter().find(|one| one.words.contains("dye")).unwrap().scatter;
    let prior = Belief::of_a_step().typical();
    assert!(scatter.strength_sd < prior.strength_sd && scatter.process_sd < prior.process_sd, "{scatter:?} {prior:?}");
}

/// An unaged board misleads about an aged face (common practice, no source): what is learned from it is wider.
#[test]
fn a_board_unlike_its_part_tells_less() {
    let spread = |fidelity: Fidelity| {
        let mut bureau = cherry_bureau();
        for board in &mut bureau.piece.boards {
            std::sync::Arc::make_mut(board).fidelity = fidelity;
        }
        let rows = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap().rows;
        let dyed = rows.iter().find(|row| row.id == "dye-c2-8x1").unwrap();
        (0..3).map(|axis| dyed.predicted.covariance[axis][axis]).sum::<f64>()
    };
    let like = Fidelity::FULL;
    let sound = spread(like);
    assert!(spread(Fidelity { same_exposure: false, ..like }) > 1.1 * sound);
    assert!(spread(Fidelity { same_grit: false, ..like }) > 1.02 * sound);
}

/// Finer wood takes less dye (common practice, no source): a part noted as sanded finer than the board of its trials comes out
/// lighter. And what is noted of both is no longer unlike: it leaves less open than a board of which only that is known.
#[test]
fn the_grit_noted_of_a_part_and_of_a_trial_counts() {
    let of_sides = |noted: Option<u32>, logged: Option<u32>| {
        let mut bureau = cherry_bureau();
        for part in &mut bureau.piece.parts {
            std::sync::Arc::make_mut(part).sanded_to = noted;
        }
        for board in &mut bureau.piece.boards {
            std::sync::Arc::make_mut(board).fidelity.same_grit = false;
        }
        for trial in &mut bureau.piece.trials {
            let sanded = logged.map(|grit| Stage { step: Step::Sand { grit }, readings: Vec::new() });
            std::sync::Arc::make_mut(trial).stages.splice(0..0, sanded);
        }
        let rows = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap().rows;
        let dyed = rows.into_iter().find(|row| row.id == "dye-c2-8x1").unwrap().predicted;
        (dyed.mean.l, (0..3).map(|axis| dyed.covariance[axis][axis]).sum::<f64>())
    };
    let (like, spread) = of_sides(Some(150), Some(150));
    let (finer, _) = of_sides(Some(320), Some(150));
    assert!(finer > like + 0.2, "{finer} beside {like}");
    let (unsaid, wider) = of_sides(Some(150), None);
    assert!((unsaid - like).abs() < 0.5 && wider > 1.02 * spread, "{wider} beside {spread}");
}

/// What every board has unlike the part is not averaged away: five trials on boards of other age leave as much open as they
/// are stated to be off (1.5 per axis: common practice, no source), beside what five trials on like boards leave. A coat, which
/// brings colours nearer to each other, leaves at least half of that variance.
#[test]
fn no_number_of_trials_tells_how_a_board_is_unlike() {
    let spread = |fidelity: Fidelity| -> f64 {
        let mut piece = coated_piece(|_| {});
        for board in &mut piece.boards {
            std::sync::Arc::make_mut(board).fidelity = fidelity;
        }
        let covariance = predicted_of_dye(&piece, 15).covariance;
        (0..3).map(|axis| covariance[axis][axis]).sum()
    };
    let like = Fidelity::FULL;
    let more = spread(Fidelity { same_exposure: false, ..like }) - spread(like);
    let stated = 3.0 * 1.5f64.powi(2);
    assert!((0.5 * stated..1.2 * stated).contains(&more), "{more} of {stated}");
}

/// A trial that the others miss, here one read wet, corrects no prediction: with it and without it the same comes out to
/// within an eighth of what it is off.
#[test]
fn a_trial_that_does_not_fit_does_not_pull_a_prediction() {
    let off = Vector3::new(-9.0, 4.0, 7.0);
    let with = coated_piece(|after| after[2] = moved(after[2], off));
    let mut without = with.clone();
    without.trials.remove(2);
    let apart = (vector(predicted_of_dye(&with, 15).mean) - vector(predicted_of_dye(&without, 15).mean)).norm();
    assert!(apart < off.norm() / 8.0, "{apart} of {}", off.norm());
}

/// Repeats of one strength tell how uses scatter and not which law holds, whatever they agree in: each law keeps the weight it
/// has after one trial, and double the strength is held by the 90 % interval of L* nine times in ten (dye as a film, uses
/// that differ by 3 % and a tenth of a unit; seeds 7301–7320: at most five outside, which chance passes once in 90).
#[test]
fn repeats_of_one_strength_leave_the_laws_their_weights() {
    let table = Table::load();
    let mut outside = 0;
    for seed in 7301..7321 {
        let rng = &mut Pcg64::seed_from_u64(seed);
        let made = stain(&table, Physics::DyeFilm, rng);
        let scatter = Scatter { strength_sd: 0.03, process_sd: 0.1 };
        let trials = tried(&table, &made, 1, &[0.5; 8], scatter, rng);
        let (one, eight) = (effect(&trials[..1]), effect(&trials));
        let weight = |effect: &Effect, name: &str| {
            effect.law_weights().iter().find(|(law, _)| *law == name).map_or(0.0, |(_, weight)| *weight)
        };
        for (law, before) in one.law_weights() {
            assert!((weight(&eight, law) - before).abs() < 0.1, "seed {seed}: {law} {before} {}", weight(&eight, law));
        }
        let truth = table.lab(&made.on(&table.woods[1], 1.0));
        let application = Application {
            strength: 1.0,
            conditions: &[],
            used: None,
            mix: None,
            wood: Some("oak"),
            unlike: Unlike::NONE,
        };
        let mut l: Vec<f64> =
            eight.draws(&vec![table.lab(&table.woods[1]); COUNT], &application).iter().map(|lab| lab.l).collect();
        l.sort_by(f64::total_cmp);
        let held = l[COUNT / 20] <= truth.l && truth.l <= l[COUNT - 1 - COUNT / 20];
        outside += u32::from(!held);
    }
    assert!(outside <= 5, "{outside} of 20 outside");
}

/// Two parts of one wood dyed with one mix err alike, for its strength is one: more than with a mix for each.
#[test]
fn parts_of_one_mix_err_alike() {
    let bureau = cherry_bureau();
    let draws = |part: u32, id: &str| -> Vec<f64> {
        let rows = predict::rank(&bureau.piece, PartId(part), &|_| true).unwrap().rows;
        rows.iter().find(|row| row.id == id).unwrap().predicted.draws.iter().map(|lab| lab.l).collect()
    };
    let mean = |x: &[f64]| x.iter().sum::<f64>() / x.len() as f64;
    let covariance = |x: &[f64], y: &[f64]| {
        let (mx, my) = (mean(x), mean(y));
        x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum::<f64>()
    };
    let correlation = |x: &[f64], y: &[f64]| covariance(x, y) / (covariance(x, x) * covariance(y, y)).sqrt();
    let one = draws(2, "dye-c2-8x1");
    let (same, other) = (correlation(&one, &draws(3, "dye-c2-8x1")), correlation(&one, &draws(3, "dye-c2-4x1")));
    assert!(same > other + 0.05 && same < 0.98, "{same} with one mix, {other} with two");
}

/// A trial without a reading before it says whose stands in, or that it teaches nothing: never a silent guess.
#[test]
fn a_trial_without_a_before_says_so() {
    let mut bench = Bench::new();
    let part = bench.part("door", "oak", Construction::Solid, 0.4);
    let dye = bench.product("dye", Kind::WaterDye, "water");
    let on = Surface::Board(bench.board("board", part));
    let after = bench.read(on, State::ColourDry, [55.0, 10.0, 25.0], "p");
    bench.trial(on, vec![], vec![(Step::Dye { product: dye, grams_per_litre: 8.0, coats: 1 }, vec![after])]);
    let (learned, notes) = predict::learned(&bench.piece);
    assert!(!learned.iter().any(|one| one.words.contains("dye")));
    assert!(notes.iter().any(|note| note.starts_with("trial t1: nothing was read before")), "{notes:?}");
    bench.read(Surface::Part(part), State::BareDry, [66.0, 7.0, 23.0], "p");
    bench.read(Surface::Part(part), topcoated(), [54.0, 10.0, 29.0], "p");
    let (learned, notes) = predict::learned(&bench.piece);
    assert!(learned.iter().any(|one| one.words.contains("dye")));
    assert!(notes.iter().any(|note| note.contains("a reading of its part stands in")), "{notes:?}");
}

/// Published sizes that travel with the program, one study left out: the others cover it.
#[test]
fn published_sizes_cover_each_other() {
    let file: serde_json::Value = serde_json::from_str(include_str!("../../assets/published-effects.json")).unwrap();
    let sizes: Vec<Size> = file["sizes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| Size {
            study: one["study"].as_str().unwrap().into(),
            treatment: one["treatment"].as_str().unwrap().into(),
            wood: one["wood"].as_str().unwrap().into(),
            // The middle of the bare woods that the studies print.
            before: Lab::new(77.7, 6.6, 21.5),
            de76: one["de76"].as_f64().unwrap(),
        })
        .collect();
    let (judged, alone) = left_out(&sizes);
    assert_eq!((judged.len(), alone.len()), (6, 2));
    let covered = judged.iter().filter(|one| one.covered()).count();
    assert!(covered >= 5, "{judged:#?}");
    // The interval is no wider than the sizes call for: the others cannot be beyond three times either way.
    assert!(judged.iter().all(|one| one.interval[2] < 5.0 * one.interval[0] && one.others == 2));
}
