//! Colouring out and the shop book, as they open in the panel.

use std::fs;

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{Area, Beside, FrameAction, Workbench, sample::oak_chest};

use crate::support::{Bench, folder, open, quiet, type_into, window_on};

fn open_beside(harness: &mut Bench<'_>, beside: Beside) {
    harness.state_mut().bench_mut().apply(FrameAction::Beside(Some(beside)).into());
    quiet(harness);
}

#[test]
fn sticks_are_typed_and_mixed_for_the_chosen_spot() {
    let mut harness = open();
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    harness.get_by_label("Colour out a spot").click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().beside(), Some(Beside::ColouringOut));
    for stick in ["amber 56/24/45", "umber 28/7/10", "light oak 72/9/30"] {
        type_into(&mut harness, "Add a stick", stick);
    }
    let view = harness.state().bench().colouring_out_view();
    assert_eq!(view.sticks.len(), 3);
    assert_eq!(view.mixes.len(), 3, "{:?}", view.empty);
    harness.get_by_label(&format!("{}.", view.mixes[0].words));
    let saved = fs::read_to_string(harness.state().bench().data_folder().join("sticks.csv")).unwrap();
    assert_eq!(saved, "name,L,a,b\namber,56,24,45\number,28,7,10\nlight oak,72,9,30\n");
    // Another spot is another mix.
    let (other, name, _) =
        view.offered.iter().find(|(_, name, chosen)| !chosen && name.contains("four")).unwrap().clone();
    harness.state_mut().bench_mut().apply(workbench::ColouringOutAction::Spot(other).into());
    quiet(&mut harness);
    let changed = harness.state().bench().colouring_out_view();
    assert!(name.starts_with(&changed.spot), "{name}: {}", changed.spot);
    harness.get_by_label("Remove umber").click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().colouring_out_view().mixes.len(), 2);
    harness.get_by_label("Close colouring out").click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().beside(), None);
}

#[test]
fn what_is_no_stick_stays_to_be_mended() {
    let mut harness = open();
    open_beside(&mut harness, Beside::ColouringOut);
    type_into(&mut harness, "Add a stick", "amber");
    let bench = harness.state().bench();
    assert!(bench.status().failed && bench.status().happened.contains("56/24/45"), "{}", bench.status().happened);
    let field = harness.get_by_role_and_label(Role::TextInput, "Add a stick");
    assert_eq!(field.value().as_deref(), Some("amber"));
}

/// A chest that passes for a real piece, in a folder of its own.
fn real_chest(name: &str) -> Bench<'static> {
    let folder = folder();
    let mut bench = Workbench::in_folder(folder);
    let mut piece = oak_chest();
    piece.invented = false;
    piece.name = name.to_owned();
    bench.put(piece);
    bench.apply(FrameAction::Go(Area::Samples).into());
    window_on(bench)
}

#[test]
fn trials_are_entered_in_the_shop_book_and_taken_up_in_another_piece() {
    let mut first = real_chest("first chest");
    first.get_by_label("Shop book").click_accesskit();
    quiet(&mut first);
    first.get_by_label("Nothing from earlier pieces.");
    first.get_by_label("Enter this piece’s trials").click_accesskit();
    quiet(&mut first);
    let view = first.state().bench().book_view();
    assert!(view.is_there && !view.known.is_empty(), "{}", first.state().bench().status().happened);
    let book = first.state().bench().book_file();

    let mut second = real_chest("second chest");
    open_beside(&mut second, Beside::ShopBook);
    second.get_by_role_and_label(Role::TextInput, "File of the shop book").focus();
    quiet(&mut second);
    second.state_mut().bench_mut().apply(workbench::BookAction::Choose(book).into());
    quiet(&mut second);
    second.get_by_label("Take up what it knows").click_accesskit();
    quiet(&mut second);
    let view = second.state().bench().book_view();
    assert!(view.taken_up.iter().any(|(_, from)| from.contains("‘first chest’")), "{view:?}");
    assert!(!view.notes.is_empty() && !view.updating, "{view:?}");
    assert_eq!(second.state().bench().undo_label(), Some("take up the shop book"));
}

/// What the trials of today contradict is left aside, and said.
#[test]
fn what_today_contradicts_is_said_to_be_left_aside() {
    let mut piece = oak_chest();
    let mut past = predicted_past(&piece);
    for one in &mut past {
        one.after.l -= 25.0;
        one.source.piece = "another chest".into();
        one.lot = "7".into();
    }
    piece.past = past;
    let mut bench = Workbench::in_folder(folder());
    bench.put(piece);
    let mut harness = window_on(bench);
    open_beside(&mut harness, Beside::ShopBook);
    let view = harness.state().bench().book_view();
    assert!(view.taken_up.iter().any(|(_, from)| from.contains("lot 7")), "{view:?}");
    let (name, note) = view.notes.iter().find(|(_, note)| note.contains("left aside")).expect("it is said");
    harness.get_by_label(&format!("{name}: {note}"));
}

/// What the piece's own trials would tell a shop book.
fn predicted_past(piece: &workbench::piece::Piece) -> Vec<workbench::piece::PastUse> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("book.json");
    let real = workbench::piece::Piece { invented: false, ..piece.clone() };
    workbench::task::enter_piece(&path, &real).expect("it is entered");
    let book = workbench::task::open_book(&path).expect("it is there");
    let elsewhere = workbench::piece::Piece { name: "elsewhere".into(), ..real };
    book.uses_for(&elsewhere)
}

#[test]
fn a_demo_is_not_entered_and_a_file_that_is_no_book_is_told_in_one_line() {
    let mut harness = open();
    open_beside(&mut harness, Beside::ShopBook);
    assert!(harness.state().bench().book_view().not_entered.is_some_and(|why| why.contains("invented")));
    let path = harness.state().bench().data_folder().join("no book.json");
    fs::create_dir_all(harness.state().bench().data_folder()).unwrap();
    fs::write(&path, "{}").unwrap();
    type_into(&mut harness, "File of the shop book", &path.display().to_string());
    let status = harness.state().bench().status();
    assert!(status.failed && status.happened.contains("no book.json"), "{}", status.happened);
    assert_eq!(status.happened.lines().count(), 1);
    assert_eq!(fs::read_to_string(&path).unwrap(), "{}");
}
