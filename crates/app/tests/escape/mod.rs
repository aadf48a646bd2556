//! Esc: it puts down what is in hand, else closes what lies on top in the panel; what is typed in keeps it for itself.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{Area, Beside, FrameAction, action::Tool};

use crate::support::{Bench, demo, open, quiet, with_photo};

fn press(harness: &mut Bench<'_>, key: Key) {
    harness.key_press(key);
    quiet(harness);
}

/// By the key, and by the button that says so: the card stays where it was read, and nothing was edited.
#[test]
fn placing_corners_can_be_given_up() {
    let mut harness = demo();
    let (verdict, undo) = {
        let bench = harness.state().bench();
        (bench.quality().verdict, bench.undo_label().map(str::to_owned))
    };
    for by_key in [true, false] {
        press(&mut harness, Key::C);
        assert!(harness.state().bench().photos().corners.is_some());
        let next = harness.state().bench().status().next.clone();
        assert!(next.contains("corner"), "{next}");
        // Coming back to the photo says so again.
        press(&mut harness, Key::Num1);
        assert_eq!(harness.state().bench().status().next, next);
        if by_key {
            press(&mut harness, Key::Escape);
        } else {
            harness.get_by_label("Leave it as it was").click();
            quiet(&mut harness);
        }
        let bench = harness.state().bench();
        assert!(bench.photos().corners.is_none());
        assert_eq!((bench.quality().verdict, bench.undo_label().map(str::to_owned)), (verdict.clone(), undo.clone()));
        assert_eq!(bench.status().next, "draw a region, press R");
    }
}

/// Where no card was found the corners are asked for; once given up they are not asked for again, but can be placed.
#[test]
fn corners_that_were_asked_for_can_be_given_up() {
    let mut harness = with_photo();
    assert!(harness.state().bench().photos().corners.is_some());
    press(&mut harness, Key::Escape);
    assert!(harness.state().bench().photos().corners.is_none());
    press(&mut harness, Key::C);
    assert!(harness.state().bench().photos().corners.is_some());
}

#[test]
fn one_tool_is_in_hand_at_a_time() {
    let mut harness = demo();
    press(&mut harness, Key::R);
    press(&mut harness, Key::C);
    assert_eq!(harness.state().bench().photos().tool, Tool::Hand);
    press(&mut harness, Key::P);
    let bench = harness.state().bench();
    assert_eq!((bench.photos().tool, bench.photos().corners.is_some()), (Tool::Polygon, false));
    assert_eq!(bench.status().next, "click its corners, then Enter");
    press(&mut harness, Key::Escape);
    assert_eq!(harness.state().bench().photos().tool, Tool::Hand);
}

/// The tool first, then what lies on top, one thing for each press.
#[test]
fn what_is_open_in_the_panel_is_closed_from_the_top() {
    for beside in [Beside::ShopBook, Beside::ColouringOut] {
        let mut harness = demo();
        harness.get_by_label_contains("Piece: ").click();
        quiet(&mut harness);
        harness.get_by_label("Parts and how they meet").click();
        quiet(&mut harness);
        harness.state_mut().bench_mut().apply(FrameAction::Beside(Some(beside)).into());
        press(&mut harness, Key::F1);
        press(&mut harness, Key::R);
        let open = |harness: &Bench<'_>| {
            let bench = harness.state().bench();
            let keys = harness.query_by_label("Close keys").is_some();
            let parts = harness.query_by_label("Close parts").is_some();
            (bench.photos().tool != Tool::Hand, keys, bench.beside().is_some(), parts)
        };
        let mut seen = vec![open(&harness)];
        for _ in 0..4 {
            press(&mut harness, Key::Escape);
            seen.push(open(&harness));
        }
        let want = [
            (true, true, true, false),
            (false, true, true, false),
            (false, false, true, false),
            (false, false, false, true),
            (false, false, false, false),
        ];
        assert_eq!(seen, want);
    }
}

#[test]
fn the_list_of_keys_closes_without_a_piece_too() {
    let mut harness = crate::support::empty();
    press(&mut harness, Key::F1);
    harness.get_by_label("Close keys");
    press(&mut harness, Key::Escape);
    assert!(harness.query_by_label("Close keys").is_none());
}

/// A field and a list that is open take Esc for themselves: what stands behind them stays.
#[test]
fn what_is_typed_in_keeps_esc_for_itself() {
    let mut harness = open();
    press(&mut harness, Key::Num3);
    harness.state_mut().bench_mut().apply(FrameAction::Beside(Some(Beside::ShopBook)).into());
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Log a trial").focus();
    quiet(&mut harness);
    press(&mut harness, Key::Escape);
    assert!(!harness.get_by_role_and_label(Role::TextInput, "Log a trial").is_focused());
    assert_eq!(harness.state().bench().beside(), Some(Beside::ShopBook));
    harness.get_by_label("Tolerance").click();
    quiet(&mut harness);
    press(&mut harness, Key::Escape);
    assert!(harness.query_by_label("touching in one plane").is_none());
    assert_eq!(harness.state().bench().beside(), Some(Beside::ShopBook));
    press(&mut harness, Key::Escape);
    assert_eq!((harness.state().bench().beside(), harness.state().bench().area()), (None, Area::Samples));
}

/// A name half typed is given up by Esc, also in the panel of Photos.
#[test]
fn a_field_of_a_part_left_by_esc_changes_nothing() {
    let mut harness = open();
    harness.get_by_label("front two, L* 54.8").click();
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Rename front two").focus();
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Rename front two").type_text("x");
    quiet(&mut harness);
    press(&mut harness, Key::Escape);
    assert!(harness.state().bench().piece().unwrap().part_named("front two").is_some());
}
