//! Comparison, ranking and routes of the two examples.

use ::piece::*;
use colour::de2000;
use predict::{Verdict, trade};

use crate::bench::{Bench, Bureau, cherry_bureau, oak_chest};

#[test]
fn lightening_front_four_wins_on_the_oak_chest() {
    let chest = oak_chest();
    let routes = predict::routes(&chest.piece, &|_| true).unwrap();
    let first = &routes.routes[0];
    assert_eq!(first.name, "Lighten front four");
    let of_four = &first.schedules.iter().find(|one| one.part == chest.front_four).unwrap().row;
    assert!(of_four.id.starts_with("chlorine-2+dye-"), "{}", of_four.id);
    assert!(first.schedules.iter().filter(|one| one.part != chest.front_four).all(|one| one.row.id == "leave-natural"));
    assert!(routes.routes.iter().any(|route| route.name == "Leave natural"));
    assert!(routes.routes.len() <= 6);
}

/// The dye was tried on chlorine-bleached wood only; its effect is learned through the chain.
#[test]
fn dye_is_learned_on_bleached_wood() {
    let chest = oak_chest();
    let ranking = predict::rank(&chest.piece, chest.front_four, &|_| true).unwrap();
    let best = &ranking.rows[0];
    assert_eq!(best.words, "chlorine bleach twice, then amber dye 4 g/L");
    // The strip read 54.8/9.8/29.5 topcoated.
    assert!(de2000(best.predicted.mean, colour::Lab::new(54.8, 9.8, 29.5)) < 2.5, "{:?}", best.predicted.mean);
    assert!(best.cautions.iter().any(|caution| caution.lead.contains("Chlorine")));
}

#[test]
fn darkening_the_rest_wins_on_the_cherry_bureau() {
    let bureau = cherry_bureau();
    let routes = predict::routes(&bureau.piece, &|_| true).unwrap();
    assert_eq!(routes.routes[0].name, "Darken the rest");
    let ranking = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap();
    assert!(ranking.rows[0].id.starts_with("dye-c2-8x1+toner-c3-"), "{}", ranking.rows[0].id);
    assert!(ranking.rows.iter().any(|row| row.id == "leave-natural"));
}

/// Odds of a route are joint: never the product of its parts' odds, never above the least of them, and alike parts fail
/// and succeed together.
#[test]
fn joint_odds_are_not_multiplied_marginals() {
    let bureau = cherry_bureau();
    let routes = predict::routes(&bureau.piece, &|_| true).unwrap();
    let first = &routes.routes[0];
    let (fall, rest): (Vec<_>, Vec<_>) = first.schedules.iter().partition(|one| one.part == bureau.fall);
    let target = &fall[0].row.predicted;
    // Again from the draws themselves.
    let tolerances = &bureau.piece.tolerances;
    let parts: Vec<_> = first.schedules.iter().collect();
    let within = (0..target.draws.len()).filter(|draw| {
        let to_match = rest
            .iter()
            .all(|one| de2000(one.row.predicted.draws[*draw], target.draws[*draw]) <= tolerances.match_sample_de00);
        to_match
            && bureau.piece.joints.iter().all(|joint| {
                let of = |id: PartId| parts.iter().find(|one| one.part == id).unwrap().row.predicted.draws[*draw];
                de2000(of(joint.a), of(joint.b)) <= tolerances.of(joint.a, joint.b, joint.meeting)
            })
    });
    let joint = within.count() as f64 / target.draws.len() as f64;
    assert_eq!(joint, first.chance_all_within);
    let product: f64 = rest.iter().map(|one| one.row.chance_within).product();
    let least = rest.iter().map(|one| one.row.chance_within).fold(1.0, f64::min);
    assert!(joint <= least && joint > product, "joint {joint}, product {product}, least {least}");
}

/// The figure told for a route's worst pair, its interval and its odds are of the same joint draws, reckoned again here: the
/// median over the draws of the worst of all pairs, so that it is within tolerance exactly where the odds are better than
/// even. Fronts and other planes have tolerances of their own: a pair counts by its share of it.
#[test]
fn the_worst_pair_of_a_route_goes_with_its_odds() {
    let strict = oak_chest().piece;
    let mut easy = strict.clone();
    easy.tolerances.fronts_de00 *= 2.0;
    easy.tolerances.other_planes_de00 *= 2.0;
    let mut chances = Vec::new();
    for piece in [strict, easy] {
        for route in predict::routes(&piece, &|_| true).unwrap().routes {
            goes_with_its_odds(&piece, &route);
            chances.push(route.chance_all_within);
        }
    }
    assert!(chances.iter().any(|chance| *chance > 0.5) && chances.iter().any(|chance| *chance < 0.5), "{chances:?}");
}

fn goes_with_its_odds(piece: &Piece, route: &predict::Route) {
    let told = route.worst_pair.as_ref().unwrap();
    let draws = |id: PartId| &route.schedules.iter().find(|one| one.part == id).unwrap().row.predicted.draws;
    let ratio = |joint: &Joint, draw: usize| {
        de2000(draws(joint.a)[draw], draws(joint.b)[draw]) / piece.tolerances.of(joint.a, joint.b, joint.meeting)
    };
    let worst = |draw| piece.joints.iter().map(|joint| ratio(joint, draw)).fold(0.0, f64::max);
    let mut apart: Vec<f64> = (0..512).map(|draw| told.tolerance_de00 * worst(draw)).collect();
    apart.sort_by(f64::total_cmp);
    let median = (apart[255] + apart[256]) / 2.0;
    assert!((told.de00.mean - median).abs() < 1e-3 * median, "{}: {told:?}, {median}", route.name);
    assert_eq!(told.de00.mean <= told.tolerance_de00, route.chance_all_within >= 0.5, "{}: {told:?}", route.name);
    // A twentieth, or a tenth where nothing surely differs, lies above the interval.
    let above = apart.iter().filter(|apart| **apart > told.de00.high + 1e-3).count();
    let meant = if told.de00.low > 0.0 { 512 / 20 } else { 512 / 10 };
    assert!(above.abs_diff(meant) <= 1, "{}: {above} above {told:?}", route.name);
    assert!(told.de00.low <= told.de00.mean && told.de00.mean <= told.de00.high, "{told:?}");
    assert!(route.why.contains(&format!("worst pair {}", told.words())), "{}", route.why);
}

/// Of a piece with few plans every one is judged: the first route is the best of all combinations of rows, reckoned again
/// from the rankings' own draws, exactly.
#[test]
fn routes_equal_brute_force_on_a_small_piece() {
    let bureau = cherry_bureau();
    let mut piece = bureau.piece.clone();
    // Dye alone: three strengths and none, on either side.
    piece.trials.retain(|trial| {
        !trial.steps().any(|step| matches!(step, Step::Toner { .. } | Step::Stain { .. } | Step::Bleach { .. }))
    });
    let rows = |part: PartId| predict::rank(&piece, part, &|_| true).unwrap().rows;
    let drawers = PartId(3);
    let (of_fall, of_sides, of_drawers) = (rows(bureau.fall), rows(bureau.sides), rows(drawers));
    let natural = of_fall.iter().find(|row| row.id == "leave-natural").unwrap();
    let target = &natural.predicted.draws;
    let worth = trade::Worth::DEFAULT;
    let mut best = (f64::INFINITY, String::new(), 0.0);
    let mut combinations = 0;
    for fall in &of_fall {
        // Sides and drawers are alike and get the same.
        for sides in &of_sides {
            let drawers_row = of_drawers.iter().find(|row| row.id == sides.id).unwrap();
            combinations += 1;
            let parts = [(bureau.fall, fall), (bureau.sides, sides), (drawers, drawers_row)];
            let worst = |draw: usize| {
                let lab = |id: PartId| parts.iter().find(|(part, _)| *part == id).unwrap().1.predicted.draws[draw];
                let joints = piece.joints.iter().map(|joint| {
                    de2000(lab(joint.a), lab(joint.b)) / piece.tolerances.of(joint.a, joint.b, joint.meeting)
                });
                let to_match =
                    parts.iter().map(|(id, _)| de2000(lab(*id), target[draw]) / piece.tolerances.match_sample_de00);
                joints.chain(to_match).fold(0.0, f64::max)
            };
            let ratios: Vec<f64> = (0..target.len()).map(worst).collect();
            let share = |value: &dyn Fn(f64) -> f64| ratios.iter().map(|ratio| value(*ratio)).sum::<f64>() / 512.0;
            let miss = share(&|ratio| if ratio > 1.0 { 1.0 - 1.0 / ratio } else { 0.0 });
            let sum =
                |value: &dyn Fn(PartId, &predict::Row) -> f64| parts.iter().map(|(id, row)| value(*id, row)).sum();
            let hours: f64 = sum(&|_, row| row.hours);
            let undone: f64 = sum(&|_, row| row.irreversible.len() as f64);
            let litres: f64 = sum(&|id, row| {
                let steps: Vec<Step> =
                    row.steps.iter().filter(|step| !matches!(step, Step::LeaveNatural)).cloned().collect();
                trade::litres(&piece, piece.part(id).unwrap(), &steps)
            });
            let waits = parts.iter().map(|(_, row)| row.wait_hours).fold(0.0, f64::max);
            let expected = hours
                + worth.irreversible_hours * undone
                + worth.waiting_hours * waits
                + worth.litre_hours * litres
                + worth.failed_match_hours * miss;
            // The match sample stays as it is, and something is done.
            if fall.id == "leave-natural" && sides.id != "leave-natural" && expected < best.0 {
                best = (expected, sides.id.clone(), share(&|ratio| f64::from(u8::from(ratio <= 1.0))));
            }
        }
    }
    assert!(combinations >= 16, "{combinations}");
    let first = &predict::routes(&piece, &|_| true).unwrap().routes[0];
    let of_sides = first.schedules.iter().find(|one| one.part == bureau.sides).unwrap();
    assert_eq!((of_sides.row.id.as_str(), first.chance_all_within), (best.1.as_str(), best.2));
}

/// Neither part can be brought all the way to the other: the dark one is lightened and the light one darkened.
#[test]
fn meeting_between_is_found_where_it_is_best() {
    let mut bench = Bench::new();
    let light = bench.part("door", "pine", Construction::Solid, 0.3);
    let dark = bench.part("rail", "oak", Construction::Solid, 0.1);
    bench.meet(light, dark, Meeting::OtherPlanes);
    bench.read(Surface::Part(light), State::BareDry, [66.0, 8.0, 24.0], "dry");
    bench.read(Surface::Part(dark), State::BareDry, [52.0, 9.0, 23.0], "dry");
    let dye = bench.product("brown dye", Kind::AlcoholDye, "meths");
    for (part, before, after, step) in [
        (light, [66.0, 8.0, 24.0], [59.0, 9.0, 24.5], Step::Dye { product: dye, grams_per_litre: 30.0, coats: 1 }),
        (dark, [52.0, 9.0, 23.0], [59.3, 8.8, 24.3], Step::Bleach { kind: Bleach::TwoPart, times: 1 }),
    ] {
        let on = Surface::Board(bench.board("offcut", part));
        for photo in ["one", "two"] {
            let before = vec![bench.read(on, State::BareDry, before, photo)];
            let after = vec![bench.read(on, State::ColourDry, after, photo)];
            bench.trial(on, before, vec![(step.clone(), after)]);
        }
    }
    // The dye was never tried on the rail, which takes it as the door does; the bleach goes on the rail alone.
    let routes = predict::routes(&bench.piece, &|_| true).unwrap().routes;
    let first = &routes[0];
    assert_eq!(first.name, "Meet between", "{:?}", routes.iter().map(|route| &route.name).collect::<Vec<_>>());
    let id = |part: PartId| first.schedules.iter().find(|one| one.part == part).unwrap().row.id.clone();
    assert!(id(light).starts_with("dye-") && id(dark).starts_with("two-part-1"), "{} {}", id(light), id(dark));
}

/// The match sample may be a part that a route changes: every part is then judged against how that one looks now, itself
/// too. So lightening the dark front brings the parts together and still leaves the match sample.
#[test]
fn a_route_that_leaves_the_match_sample_is_judged_against_it() {
    let mut chest = oak_chest();
    chest.piece.match_sample = MatchSample::Part(chest.front_four);
    let ranking = predict::rank(&chest.piece, PartId(1), &|_| true).unwrap();
    let tolerance = chest.piece.tolerances.match_sample_de00;
    let routes = predict::routes(&chest.piece, &|_| true).unwrap().routes;
    for route in &routes {
        let to_match = (0..512).filter(|draw| {
            let near = |one: &predict::PartSchedule| {
                de2000(one.row.predicted.draws[*draw], ranking.target.draws[*draw]) <= tolerance
            };
            route.schedules.iter().all(near)
        });
        assert!(route.chance_all_within <= to_match.count() as f64 / 512.0, "{}", route.name);
    }
    assert_eq!(routes[0].name, "Darken the rest");
    assert!(routes.iter().all(|route| route.name != "Lighten front four" || route.chance_all_within < 0.05));
}

/// Evidence is said in words, and each route what it is best in.
#[test]
fn rows_and_routes_say_because_of_what() {
    let chest = oak_chest();
    let ranking = predict::rank(&chest.piece, chest.front_four, &|_| true).unwrap();
    assert_eq!(ranking.rows[0].because.as_deref(), Some("because of trials 1, 2 and 3 on the same wood"));
    let natural = ranking.rows.iter().find(|row| row.id == "leave-natural").unwrap();
    assert_eq!(natural.because, None);
    let routes = predict::routes(&chest.piece, &|_| true).unwrap().routes;
    assert!(routes[0].why.contains("because of trials"), "{}", routes[0].why);
    let best_odds: Vec<&str> =
        routes.iter().filter(|route| route.why.contains("the best odds")).map(|route| route.name.as_str()).collect();
    let most = routes.iter().map(|route| route.chance_all_within).fold(0.0, f64::max);
    let expected: Vec<&str> =
        routes.iter().filter(|route| route.chance_all_within == most).map(|route| route.name.as_str()).collect();
    assert_eq!(best_odds, expected);
}

/// Pigment hides: a stain that covers leaves light and dark spots nearer to each other than a clear coat does. And a part
/// that is even has nothing said of it.
#[test]
fn a_stain_hides_the_patchiness_of_an_uneven_part() {
    let mut bureau = cherry_bureau();
    let even = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap();
    assert!(even.rows.iter().all(|row| row.patchiness.is_none()));
    for reading in &mut bureau.piece.readings {
        if reading.of == Surface::Part(bureau.sides) {
            std::sync::Arc::make_mut(reading).grain_sd = Some([3.0, 0.6, 1.0]);
        }
    }
    let uneven = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap();
    let of = |id: &str| uneven.rows.iter().find(|row| row.id.starts_with(id)).unwrap().patchiness.unwrap();
    let natural = of("leave-natural");
    assert!((natural.after_de00 - natural.natural_de00).abs() < 1e-9 && natural.natural_de00 > 3.0, "{natural:?}");
    assert!(natural.words().contains("as it is"));
    // Dark stain compresses what is under it, by every law: less light comes back from either spot.
    let stained = of("stain-c1-1x1");
    assert!(stained.after_de00 < natural.natural_de00, "{stained:?}");
}

/// What a photo says of a part from place to place comes before its grain.
#[test]
fn the_evenness_of_a_region_tells_how_patchy_a_part_is() {
    let mut bureau = cherry_bureau();
    for reading in &mut bureau.piece.readings {
        if reading.of == Surface::Part(bureau.sides) {
            let reading = std::sync::Arc::make_mut(reading);
            (reading.grain_sd, reading.patch_sd) = (Some([3.0, 0.6, 1.0]), Some([2.0, -0.5, 0.3]));
        }
    }
    let natural = |piece: &Piece| {
        let ranking = predict::rank(piece, bureau.sides, &|_| true).unwrap();
        ranking.rows.into_iter().find(|row| row.id.starts_with("leave-natural")).unwrap().patchiness
    };
    let patchy = natural(&bureau.piece).unwrap();
    assert_eq!(patchy.known_from, predict::KnownFrom::Evenness);
    assert!(patchy.words().ends_with("known from one photo"), "{}", patchy.words());
    for reading in &mut bureau.piece.readings {
        std::sync::Arc::make_mut(reading).patch_sd = Some([0.1, 0.0, 0.0]);
    }
    assert_eq!(natural(&bureau.piece), None);
}

/// Places that are alike may each be patchy in themselves: what is the more uneven of the two is told.
#[test]
fn places_that_are_alike_do_not_make_a_part_even() {
    let mut bureau = cherry_bureau();
    let sides = Surface::Part(bureau.sides);
    let first = bureau.piece.readings.iter().find(|one| one.of == sides).unwrap().clone();
    for number in 0..3 {
        let mut another = first.clone();
        let reading = std::sync::Arc::make_mut(&mut another);
        (reading.id.0, reading.patch_sd) = (9000 + number, Some([2.0, -0.5, 0.3]));
        bureau.piece.readings.push(another);
    }
    let ranking = predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap();
    let natural = ranking.rows.into_iter().find(|row| row.id.starts_with("leave-natural")).unwrap();
    assert_eq!(natural.patchiness.map(|patchy| patchy.known_from), Some(predict::KnownFrom::Evenness));
}

#[test]
fn same_piece_same_answer() {
    let chest = oak_chest();
    let text = || {
        let ranking = predict::rank(&chest.piece, chest.front_four, &|_| true).unwrap();
        let routes = predict::routes(&chest.piece, &|_| true).unwrap();
        format!("{ranking:?}{routes:?}{:?}", predict::compare(&chest.piece))
    };
    assert!(text() == text());
}

#[test]
fn stopped_work_says_so() {
    let chest = oak_chest();
    assert_eq!(predict::rank(&chest.piece, chest.front_four, &|_| false), Err(predict::Error::Cancelled));
    assert_eq!(predict::routes(&chest.piece, &|share| share < 0.3), Err(predict::Error::Cancelled));
    assert_eq!(predict::routes(&Piece::default(), &|_| true), Err(predict::Error::NoParts));
}

#[test]
fn comparison_names_direction_and_state() {
    let chest = oak_chest();
    let comparison = predict::compare(&chest.piece);
    assert_eq!(comparison.pairs.len(), 21);
    let row = &comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), chest.front_four)).unwrap().found;
    assert_eq!(row.verdict, Verdict::Clear);
    assert!(row.words.contains("front four much darker"), "{}", row.words);
    assert!(row.state.starts_with("spirit-wet") && row.carried.is_none());
    assert!(row.de00.low > 14.0 && row.de00.high < 19.0);
    let alike = &comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(2), PartId(3))).unwrap().found;
    assert!(alike.verdict < Verdict::Visible, "{}", alike.words);
}

/// Bare is not compared with wet in silence, and what was not read is said.
#[test]
fn other_states_are_carried_and_said() {
    let mut chest = oak_chest();
    let piece = &mut chest.piece;
    let wet_of_two = |one: &Reading| one.of == Surface::Part(PartId(2)) && matches!(one.state, State::SpiritWet { .. });
    let dry_of_three = |one: &Reading| one.of == Surface::Part(PartId(3)) && one.state == State::BareDry;
    piece.readings.retain(|one| !wet_of_two(one) && !dry_of_three(one) && one.of != Surface::Part(PartId(7)));
    let comparison = predict::compare(piece);
    let row = &comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(2), PartId(3))).unwrap().found;
    assert!(row.carried.as_ref().unwrap().contains("front one, read dry, carried across to spirit-wet"));
    let plain = &comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), PartId(3))).unwrap().found;
    assert!(row.de00.high - row.de00.low > plain.de00.high - plain.de00.low, "carrying widens");
    assert!(comparison.not_compared.iter().any(|one| one.parts == [PartId(7)]));
}

/// Readings of one photo share its errors: their difference is surer than with errors of their own.
#[test]
fn shared_errors_cancel() {
    let chest = oak_chest();
    let mut apart = chest.piece.clone();
    for (place, reading) in apart.readings.iter_mut().enumerate() {
        std::sync::Arc::make_mut(reading).shared[0].factor = format!("photo:{place}:fit");
    }
    let width = |piece: &Piece| {
        let comparison = predict::compare(piece);
        let row = &comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), chest.front_four)).unwrap().found;
        row.de00.high - row.de00.low
    };
    assert!(width(&chest.piece) < 0.8 * width(&apart));
}

/// A part that meets the match sample is ranked by the tighter of both tolerances, as routes judge it.
#[test]
fn a_part_that_meets_the_match_sample_is_ranked_as_routes_judge_it() {
    let mut bureau = cherry_bureau();
    let tolerance_where_they_meet = |bureau: &mut Bureau, meeting: Meeting| {
        bureau.piece.joints[0].meeting = meeting;
        predict::rank(&bureau.piece, bureau.sides, &|_| true).unwrap().tolerance_de00
    };
    let (plane, match_sample) = (bureau.piece.tolerances.same_plane_de00, bureau.piece.tolerances.match_sample_de00);
    assert!(plane < match_sample && match_sample < bureau.piece.tolerances.other_planes_de00);
    assert_eq!(tolerance_where_they_meet(&mut bureau, Meeting::SamePlane), plane);
    assert_eq!(tolerance_where_they_meet(&mut bureau, Meeting::OtherPlanes), match_sample);
}
