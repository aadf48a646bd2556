//! What to try next: what a trial is worth, against what must hold whatever the numbers are.

use ::piece::*;
use predict::{Next, NextRow};

use crate::bench::{Bench, cherry_bureau, oak_chest};

fn next(piece: &Piece) -> Next {
    predict::next(piece, &|_| true).unwrap()
}

fn trials(next: &Next) -> Vec<&NextRow> {
    next.rows.iter().filter(|row| row.on.is_some()).collect()
}

#[test]
fn where_nothing_was_tried_a_first_trial_is_worth_more_than_stopping() {
    let mut bureau = cherry_bureau().piece;
    bureau.trials.clear();
    let next = next(&bureau);
    let first = &next.rows[0];
    assert!(first.on.is_some() && first.worth_hours() > 0.0, "{first:?}");
    assert!(first.why.contains("was not tried yet") && first.trials.is_empty(), "{}", first.why);
    // What nobody tried is not done.
    assert_eq!(next.best_route, "Leave natural");
}

/// One plan, one chance: what `next` would do now is the first of the routes, at the same odds.
#[test]
fn what_is_best_so_far_is_the_first_route_at_the_same_odds() {
    for piece in [cherry_bureau().piece, oak_chest().piece] {
        let first = predict::routes(&piece, &|_| true).unwrap().routes.remove(0);
        let next = next(&piece);
        assert_eq!((next.best_route, next.chance_all_within), (first.name, first.chance_all_within));
    }
}

/// A piece that matches as it is needs no trial.
#[test]
fn where_all_is_alike_one_stops() {
    let mut bench = Bench::new();
    let [a, b] = ["door", "rail"].map(|name| bench.part(name, "oak", Construction::Solid, 0.3));
    for part in [a, b] {
        bench.read(Surface::Part(part), State::BareDry, [66.0, 7.0, 23.0], "dry");
    }
    bench.meet(a, b, Meeting::Fronts);
    bench.product("oak stain", Kind::Pigment, "white spirit");
    let next = next(&bench.piece);
    assert_eq!(next.rows[0].on, None, "{:?}", next.rows[0]);
    assert!(next.rows[0].words.contains("leave natural"));
    assert!(next.chance_all_within > 0.9);
}

/// What was tried tells less when it is tried again than the first trials of all did.
#[test]
fn once_much_was_tried_a_trial_tells_less() {
    let bureau = cherry_bureau().piece;
    let most = |piece: &Piece| trials(&next(piece)).iter().map(|row| row.saves_hours).fold(0.0, f64::max);
    let mut untried = bureau.clone();
    untried.trials.clear();
    assert!(most(&bureau) < 0.5 * most(&untried), "{} {}", most(&bureau), most(&untried));
}

#[test]
fn only_what_may_be_done_is_offered_and_spots_are_named() {
    let bureau = cherry_bureau();
    let next = next(&bureau.piece);
    for row in trials(&next) {
        let part = match row.on.unwrap() {
            Surface::Part(id) => bureau.piece.part(id).unwrap(),
            Surface::Board(id) => {
                let stands_for = bureau.piece.board(id).unwrap().stands_for;
                bureau.piece.part(stands_for).unwrap()
            }
        };
        assert_eq!(predict::trade::objection(&bureau.piece, part, &row.steps), None, "{}", row.words);
        let gives_reason = ["because ", ", though "].iter().any(|word| row.why.contains(word));
        assert!(row.words.contains(" on ") && gives_reason, "{}: {}", row.words, row.why);
    }
    let chest = oak_chest();
    let said: Vec<String> = self::next(&chest.piece).rows.into_iter().map(|row| row.why).collect();
    assert!(said.iter().any(|why| why.contains("because trials 1 and 2 on the same wood")), "{said:?}");
}

/// Alkali lifts veneer, and a board that was bleached all over shows no longer what the wood takes (common practice, no source):
/// such an offcut is not proposed again, a panel with an untouched strip is.
#[test]
fn a_spoiled_offcut_is_not_proposed() {
    let on = |piece: &Piece| -> Vec<Surface> { trials(&next(piece)).iter().filter_map(|row| row.on).collect() };
    let bureau = cherry_bureau();
    let lifted = bureau.piece.boards.iter().find(|board| board.name == "offcut of old veneer").unwrap();
    assert!(!on(&bureau.piece).contains(&Surface::Board(lifted.id)));
    let mut chest = oak_chest().piece;
    let named =
        |piece: &Piece, name: &str| Surface::Board(piece.boards.iter().find(|board| board.name == name).unwrap().id);
    // All trials of the step panel begin with a bleach, as do those of boards 2 and 3: none of them is left.
    let panel = named(&chest, "step panel 1");
    assert!(!on(&chest).iter().any(|on| [panel, named(&chest, "board 2"), named(&chest, "board 3")].contains(on)));
    // A strip of it left as it was.
    let before = chest.trials.iter().find(|trial| trial.on == panel).unwrap().before.clone();
    let id = TrialId(chest.trials.len() as u32 + 1);
    chest.trials.push(std::sync::Arc::new(Trial::new(id, panel, before, Vec::new())));
    assert!(on(&chest).contains(&panel));
}

/// A toner goes over a sealer (common practice, no source): a trial of one says so in words, and has it in its steps.
#[test]
fn a_trial_of_a_toner_names_the_sealer_under_it() {
    let next = next(&cherry_bureau().piece);
    let is_toner = |step: &Step| matches!(step, Step::Toner { .. });
    let toned: Vec<&NextRow> = trials(&next).into_iter().filter(|row| row.steps.iter().any(is_toner)).collect();
    assert!(!toned.is_empty());
    for row in toned {
        let seal = row.steps.iter().position(|step| *step == Step::Seal);
        assert!(
            seal < row.steps.iter().position(is_toner) && row.words.contains("seal, then brown toner"),
            "{}",
            row.words
        );
    }
}

#[test]
fn the_same_piece_gives_the_same_answer_and_stopped_work_says_so() {
    let chest = oak_chest();
    assert!(next(&chest.piece) == next(&chest.piece));
    assert_eq!(predict::next(&chest.piece, &|share| share < 0.45), Err(predict::Error::Cancelled));
    assert_eq!(predict::next(&Piece::default(), &|_| true), Err(predict::Error::NoParts));
}

/// Nobody makes a trial for what it is not about (common practice, no source): plans are told apart only by a trial that has a step
/// of one of them, and one that saves nothing to speak of gives no doubt as its reason.
#[test]
fn a_reason_is_about_the_trial_and_goes_with_what_it_saves() {
    let mut told_apart = 0;
    for piece in [cherry_bureau().piece, oak_chest().piece] {
        let next = next(&piece);
        for row in trials(&next) {
            let colours = |step: &&Step| !matches!(step, Step::Seal | Step::Washcoat | Step::PreWet | Step::DampDown);
            let names = row.steps.iter().filter(colours).map(|step| predict::trade::step_name(&piece, step));
            if let Some((_, plans)) = row.why.split_once("tells apart, for ") {
                told_apart += 1;
                assert!(names.clone().any(|name| plans.contains(&name)), "{}: {}", row.words, row.why);
            }
            if !predict::time::is_told(row.saves_hours) {
                assert!(row.why.starts_with("would hardly change '"), "{}: {}", row.words, row.why);
                assert!(!row.why.contains("this uncertain"), "{}: {}", row.words, row.why);
            }
        }
    }
    assert!(told_apart > 0, "no trial tells plans apart");
}

/// Of one plan the odds after a trial are on average those before it (the law of total expectation): only another plan has better ones.
#[test]
fn better_odds_are_told_of_another_plan_only() {
    let (bureau, chest) = (cherry_bureau().piece, oak_chest().piece);
    let mut surer = 0;
    // What was read in the trials taken out is left, as of bare boards: so the coats are learned badly, and much may come out best.
    let first = |piece: &Piece, count: usize| {
        let mut piece = piece.clone();
        piece.trials.truncate(count);
        let kept: Vec<ReadingId> = piece.trials.iter().flat_map(|trial| trial.readings()).collect();
        for reading in piece.readings.iter_mut().filter(|one| one.state == State::ColourDry && !kept.contains(&one.id))
        {
            std::sync::Arc::make_mut(reading).state = State::BareDry;
        }
        piece
    };
    let untried = first(&bureau, 0);
    let few = (1..6).flat_map(|count| [first(&bureau, count), first(&chest, count)]);
    for piece in few.chain([bureau.clone(), untried, chest.clone()]) {
        let next = next(&piece);
        for row in trials(&next).iter().filter(|row| row.why.starts_with("makes surer of")) {
            surer += 1;
            let (before, _) = row.why.split_once("go from ").unwrap().1.split_once(" to ").unwrap();
            assert_eq!(before, predict::odds::per_cent(next.chance_all_within), "{}", row.why);
            let of_best = format!("'{}'", next.best_route);
            assert!(!row.why.contains(&of_best), "{}", row.why);
        }
        for row in &next.rows {
            assert!(!row.why.contains(" 0 %") && !row.why.contains("100 %"), "{}", row.why);
        }
    }
    assert!(surer > 0, "no trial makes surer of another plan");
}

/// A repeat is charged what it is worth less, apart from its work: the same trial costs as much at the bench whether or not it was made
/// before (common practice, no source: a sample panel takes one to two hours).
#[test]
fn what_a_repeat_is_charged_is_told_apart_from_its_work() {
    let bureau = cherry_bureau().piece;
    let mut untried = bureau.clone();
    untried.trials.clear();
    let (tried, first) = (next(&bureau), next(&untried));
    assert!(trials(&first).iter().all(|row| row.repeat_hours == 0.0), "nothing was tried, so nothing is a repeat");
    let repeats: Vec<&NextRow> = trials(&tried).into_iter().filter(|row| row.repeat_hours > 0.0).collect();
    assert!(!repeats.is_empty() && repeats.len() < trials(&tried).len());
    let work = |row: &NextRow| row.costs_hours - row.repeat_hours;
    for row in trials(&tried) {
        assert!((1.0..4.0).contains(&work(row)), "{}: {}", row.words, work(row));
        let same = trials(&first).into_iter().find(|other| other.steps == row.steps);
        assert!(same.is_none_or(|other| (work(other) - work(row)).abs() < 1e-9), "{}", row.words);
    }
}

/// Odds of all draws or none are no certainty: `next` and the routes say them in the words of the tables.
#[test]
fn sure_and_hopeless_odds_are_told_in_the_same_words_everywhere() {
    for (lightness, words) in [(66.0, ">99 %"), (30.0, "<1 %")] {
        let mut bench = Bench::new();
        let [a, b] = ["door", "rail"].map(|name| bench.part(name, "oak", Construction::Solid, 0.3));
        bench.read(Surface::Part(a), State::BareDry, [66.0, 7.0, 23.0], "dry");
        bench.read(Surface::Part(b), State::BareDry, [lightness, 7.0, 23.0], "dry");
        bench.meet(a, b, Meeting::Fronts);
        // Alike within their errors, or far beyond them.
        bench.piece.tolerances.fronts_de00 = 5.0;
        let natural = predict::routes(&bench.piece, &|_| true).unwrap().routes;
        let natural = natural.iter().find(|route| route.name == "Leave natural").unwrap();
        assert!(natural.why.starts_with(&format!("{words} chance that every pair")), "{}", natural.why);
        let next = next(&bench.piece);
        let stop = next.rows.iter().find(|row| row.on.is_none()).unwrap();
        assert!(stop.why.starts_with(&format!("{words} chance that every pair")), "{}", stop.why);
    }
}
