//! Lines as they are typed at the bench.

use std::sync::Arc;

use colour::Lab;
use piece::{Bleach, Kind, Piece, Stage, Step, Surface, Trial, TrialId};

use crate::{
    log_line::{Typed, TypedState, parse},
    sample::oak_chest,
};

fn piece() -> Piece {
    oak_chest()
}

fn check(line: &str, expected: &[Step]) {
    let logged = parse(line, &piece()).unwrap_or_else(|error| panic!("{line}: {error}"));
    let steps: Vec<_> = logged.stages.into_iter().map(|(step, _)| step).collect();
    assert_eq!(steps, expected, "{line}");
}

fn topcoat() -> Step {
    Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() }
}

fn id(piece: &Piece, kind: Kind) -> piece::ProductId {
    piece.products.iter().find(|product| product.kind == kind).map(|product| product.id).unwrap()
}

#[test]
fn steps_in_the_words_of_the_bench() {
    let dye = id(&piece(), Kind::AlcoholDye);
    let stain = id(&piece(), Kind::Pigment);
    let chlorine = Step::Bleach { kind: Bleach::Chlorine, times: 2 };
    let amber = Step::Dye { product: dye, grams_per_litre: 4.0, coats: 1 };
    check("board 1 chlorine x2 amber dye 4 g/L topcoat", &[chlorine.clone(), amber.clone(), topcoat()]);
    check("Board 1, chlorine ×2, then amber 4g/l, oil satin", &[chlorine.clone(), amber, topcoat()]);
    check("board 1 chlorine bleach twice", &[chlorine]);
    check("front four two-part bleach", &[Step::Bleach { kind: Bleach::TwoPart, times: 1 }]);
    check("board 1 oxalic acid", &[Step::Bleach { kind: Bleach::Oxalic, times: 1 }]);
    check("board 1 sand 180 grit seal", &[Step::Sand { grit: 180 }, Step::Seal]);
    check(
        "board 1 walnut stain 1:2 x2",
        &[Step::Stain { product: stain, reducer_parts: 2.0, coats: 2, wipe_minutes: None }],
    );
    check("board 1 walnut 2:1", &[Step::Stain { product: stain, reducer_parts: 0.5, coats: 1, wipe_minutes: None }]);
    check(
        "board 1 damp down walnut neat",
        &[Step::DampDown, Step::Stain { product: stain, reducer_parts: 0.0, coats: 1, wipe_minutes: None }],
    );
    check("board 1 leave natural", &[Step::LeaveNatural]);
}

#[test]
fn a_stain_may_say_when_it_was_wiped_off() {
    let stain = id(&piece(), Kind::Pigment);
    for (line, minutes) in [
        ("board 1 walnut 1:2, wiped off after 5 min topcoat", 5.0),
        ("board 1 walnut 1:2 wiped 7.5min topcoat", 7.5),
        ("board 1 walnut 1:2 wipe 15 topcoat", 15.0),
    ] {
        let step = Step::Stain { product: stain, reducer_parts: 2.0, coats: 1, wipe_minutes: Some(minutes) };
        check(line, &[step, topcoat()]);
    }
}

#[test]
fn typed_colours_stand_after_their_step() {
    let logged = parse("board 1 dry 50/8/17 chlorine dry 60/6.5/19 coated 48/9/24", &piece()).unwrap();
    assert_eq!(logged.before, [Typed { state: TypedState::Dry, lab: Lab::new(50.0, 8.0, 17.0) }]);
    let after: Vec<_> =
        logged.stages.iter().map(|(_, typed)| typed.iter().map(|t| t.state).collect::<Vec<_>>()).collect();
    // The clear coat that was read stands as a step of its own.
    assert_eq!(after, [vec![TypedState::Dry], vec![TypedState::Coated]]);
    assert_eq!(logged.stages[1].0, topcoat());
}

#[test]
fn the_place_is_the_longest_name_that_fits() {
    let piece = piece();
    let four = piece.part_named("front four").unwrap().id;
    assert_eq!(parse("front four chlorine", &piece).unwrap().on, Surface::Part(four));
    let mut other = piece.clone();
    let mut board = (*other.boards[0]).clone();
    board.name = "inside of front four".into();
    other.boards[0] = Arc::new(board);
    // A board is the first board whatever it is called.
    assert_eq!(parse("board 1 chlorine", &other).unwrap().on, Surface::Board(other.boards[0].id));
    assert_eq!(parse("inside of front four chlorine", &other).unwrap().on, Surface::Board(other.boards[0].id));
}

#[test]
fn the_example_shown_is_itself_understood() {
    let piece = piece();
    let line = crate::log_line::example(&piece);
    assert!(parse(&line, &piece).is_ok(), "{line}");
}

/// The customer's own piece is no place for a first try.
#[test]
fn without_a_board_no_line_on_a_part_is_suggested() {
    let mut piece = piece();
    piece.trials.clear();
    piece.boards.clear();
    for suggested in [crate::log_line::example(&piece), crate::log_line::hint(&piece)] {
        assert!(piece.parts.iter().all(|part| !suggested.contains(&part.name)), "{suggested}");
    }
    assert!(crate::log_line::hint(&piece).starts_with("add a board first; then as in board 1 amber dye"));
}

/// What, where, and what to do: each names the word, and shows what could stand there.
#[test]
fn what_is_not_understood_is_said_in_one_line() {
    for (line, said) in [
        ("", &["where first"][..]),
        ("door chlorine", &["‘door’", "board 1, board 2, board 3, carcass", "or front six"]),
        ("board 1", &["No step yet", "board 1 amber dye"]),
        (
            "board 1 unicorn",
            &["‘unicorn’", "caustic, washcoat, fill, seal, natural, topcoat.", "new amber dye, alcohol dye"],
        ),
        ("board 1 amber dye", &["How strong is amber dye", "at most 1000 g/L", "amber dye 4 g/L"]),
        ("board 1 amber dye 5000 g/l", &["‘5000’ behind amber dye", "at most 1000 g/L"]),
        ("board 1 amber dye 4 g/l x40", &["‘x40’ behind amber dye", "from 1 to 20"]),
        ("board 1 chlorine x0", &["‘x0’ behind chlorine", "from 1 to 10", "chlorine x2"]),
        ("board 1 chlorine 2.5", &["‘2.5’ behind chlorine", "whole number"]),
        ("board 1 sand", &["which grit", "from 16 to 5000"]),
        ("board 1 sand 6", &["‘6’ behind sand", "from 16 to 5000"]),
        ("board 1 walnut 1:5000", &["‘1:5000’ behind walnut stain", "neat to 1:1000", "walnut stain 1:2"]),
        ("board 1 walnut neat wiped soon", &["how many minutes", "at most 1440"]),
        ("board 1 chlorine dry 50/8", &["After ‘dry’", "L*/a*/b*", "from 0 to 100"]),
        ("board 9 chlorine", &["no board 9", "there are 3", "board 1, board 2 or board 3", "add a board"]),
        ("board 1 chlorine dry nan/inf/0", &["L*/a*/b*"]),
    ] {
        let error = parse(line, &piece()).unwrap_err();
        for said in said {
            assert!(error.contains(said), "{line}: {error}");
        }
        assert!(!error.contains('\n') && !error.contains('…') && error.ends_with('.'), "{line}: {error}");
    }
}

#[test]
fn a_first_word_that_several_products_have_is_not_guessed() {
    let mut piece = piece();
    let mut other = (*piece.products[1]).clone();
    (other.id, other.name) = (piece::ProductId(9), "walnut gel".into());
    piece.products.push(Arc::new(other));
    let error = parse("board 1 walnut 1:2", &piece).unwrap_err();
    assert_eq!(error, "‘walnut’ may be walnut stain or walnut gel: write the whole name.");
    assert!(parse("board 1 walnut gel 1:2", &piece).is_ok());
}

/// Every step that is told can be typed.
#[test]
fn the_steps_that_are_told_are_understood() {
    for step in super::step::STEPS {
        assert!(parse(&format!("board 1 {step}"), &piece()).is_ok(), "{step}");
    }
}

/// The bounds are those of a piece: what lies on them it takes, and the line takes nothing beyond.
#[test]
fn numbers_may_be_what_a_piece_takes() {
    let piece = piece();
    for (on, beyond) in [
        ("chlorine x10", "chlorine x11"),
        ("amber dye 1000 g/l x20", "amber dye 1001 g/l"),
        ("amber dye 4,5 g/l", "amber dye 4 g/l x21"),
        ("walnut 1:1000 x20 wiped 1440 min", "walnut 1:1001"),
        ("sand 16", "sand 15"),
        ("sand 5000", "sand 5001"),
        ("walnut neat wiped 0.1 min", "walnut neat wiped 0 min"),
    ] {
        let logged = parse(&format!("board 1 {on}"), &piece).unwrap_or_else(|error| panic!("{on}: {error}"));
        let stage = |(step, _)| Stage { step, readings: Vec::new() };
        let stages = logged.stages.into_iter().map(stage).collect();
        let trial = Trial {
            id: TrialId(99),
            on: logged.on,
            before: Vec::new(),
            stages,
            made: String::new(),
            note: String::new(),
        };
        assert_eq!(piece::check::cannot_be(&piece, &trial), None, "{on}");
        assert!(parse(&format!("board 1 {beyond}"), &piece).is_err(), "{beyond}");
    }
}
