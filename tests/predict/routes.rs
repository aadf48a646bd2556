//! Comparison, ranking and routes of the two examples.

use ::piece::*;
use colour::de2000;
use predict::Verdict;

use crate::bench::{cherry_bureau, oak_chest};

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
    let row = comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), chest.front_four)).unwrap();
    assert_eq!(row.verdict, Verdict::Clear);
    assert!(row.words.contains("front four is darker"), "{}", row.words);
    assert!(row.state.starts_with("spirit-wet") && row.carried.is_none());
    assert!(row.de00.low > 14.0 && row.de00.high < 19.0);
    let alike = comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(2), PartId(3))).unwrap();
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
    let row = comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(2), PartId(3))).unwrap();
    assert!(row.carried.as_ref().unwrap().contains("front one, read dry, carried across to spirit-wet"));
    let plain = comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), PartId(3))).unwrap();
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
        let row = comparison.pairs.iter().find(|row| (row.a, row.b) == (PartId(1), chest.front_four)).unwrap();
        row.de00.high - row.de00.low
    };
    assert!(width(&chest.piece) < 0.8 * width(&apart));
}
