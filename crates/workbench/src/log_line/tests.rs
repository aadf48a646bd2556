//! Lines as they are typed at the bench.

use std::sync::Arc;

use colour::Lab;
use piece::{Bleach, Kind, Piece, Step, Surface};

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

#[test]
fn what_is_not_understood_is_said_in_one_line() {
    for (line, word) in [
        ("", "where first"),
        ("leaf chlorine", "leaf"),
        ("board 1", "No step yet"),
        ("board 1 unicorn", "unicorn"),
        ("board 1 amber dye", "How strong"),
        ("board 1 sand", "which grit"),
        ("board 1 walnut neat wiped soon", "how many minutes"),
        ("board 1 chlorine dry 50/8", "L*/a*/b*"),
        ("board 9 chlorine", "board"),
        ("board 1 chlorine dry nan/inf/0", "L*/a*/b*"),
    ] {
        let error = parse(line, &piece()).unwrap_err();
        assert!(error.contains(word) && !error.contains('\n'), "{line}: {error}");
    }
}
