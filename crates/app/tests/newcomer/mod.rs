//! What someone does who has just begun: nothing leads into a dead end, and what was put in can be put right.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{
    Area, FrameAction, StartAction,
    demo::DEMOS,
    piece::{MatchSample, Piece},
    sample::oak_chest,
    words,
};

use crate::support::{demo, empty, folder, open, photo_in, quiet, type_into, window_on, with_photo};

#[test]
fn a_new_piece_waits_for_the_name_of_a_part() {
    let mut harness = empty();
    harness.get_by_label("New piece, name the parts first").click();
    quiet(&mut harness);
    let field = harness.get_by_role_and_label(Role::TextInput, "Name of a part");
    assert!(field.is_focused());
    field.type_text("top");
    quiet(&mut harness);
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    let bench = harness.state().bench();
    assert!(bench.piece().unwrap().part_named("top").is_some());
    assert_eq!(bench.status().next, "drop photos of the piece");
}

/// Photos may come first: then the parts are asked for, not regions that nothing can be read for.
#[test]
fn with_photos_and_no_parts_the_parts_are_asked_for() {
    let mut harness = with_photo();
    harness.key_press(Key::Escape);
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::Button, "Name the parts").click();
    quiet(&mut harness);
    let field = harness.get_by_role_and_label(Role::TextInput, "Name of a part");
    assert!(field.is_focused());
    field.type_text("top");
    quiet(&mut harness);
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    harness.get_by_label("Close parts").click();
    quiet(&mut harness);
    assert!(harness.query_by_role_and_label(Role::Button, "Name the parts").is_none());
}

/// `check` advises to rename one of two parts of one name: it can be done here.
#[test]
fn a_part_is_given_another_name() {
    let mut harness = open();
    harness.get_by_label("front two, L* 54.8").click();
    quiet(&mut harness);
    type_into(&mut harness, "Rename front two", "front 2");
    let named = |harness: &crate::support::Bench<'_>, name: &str| {
        harness.state().bench().piece().unwrap().part_named(name).is_some()
    };
    assert!(named(&harness, "front 2") && !named(&harness, "front two"));
    type_into(&mut harness, "Rename front 2", "front one");
    assert!(harness.state().bench().status().failed && named(&harness, "front 2"));
}

/// A photo says in which light it was taken; one without readings can be taken out, and put back.
#[test]
fn the_light_of_a_photo_is_noted_and_a_photo_taken_out() {
    let mut harness = demo();
    let photos = |harness: &crate::support::Bench<'_>| harness.state().bench().piece().unwrap().photos.clone();
    assert_eq!(photos(&harness)[0].light, "daylight");
    harness.get_by_role_and_label(Role::Button, "Light the photo was taken in").click_accesskit();
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::Button, "warm lamp").click_accesskit();
    quiet(&mut harness);
    assert_eq!(photos(&harness)[0].light, "warm lamp");
    let before = photos(&harness).len();
    harness.get_by_role_and_label(Role::Button, "Remove photo").click_accesskit();
    quiet(&mut harness);
    let status = harness.state().bench().status().clone();
    assert!(status.failed && photos(&harness).len() == before, "it has readings: {}", status.happened);

    let folder = folder();
    let photo = photo_in(&folder);
    harness.state_mut().bench_mut().apply(StartAction::Take(vec![photo]).into());
    quiet(&mut harness);
    harness.key_press(Key::Escape);
    quiet(&mut harness);
    assert_eq!(photos(&harness).len(), before + 1);
    harness.get_by_role_and_label(Role::Button, "Remove photo").click_accesskit();
    quiet(&mut harness);
    assert_eq!(photos(&harness).len(), before, "{}", harness.state().bench().status().happened);
    assert!(harness.state().bench().shown_photo().is_some_and(|shown| photos(&harness).iter().any(|p| p.id == shown)));
    harness.state_mut().bench_mut().apply(FrameAction::Undo.into());
    quiet(&mut harness);
    assert_eq!(photos(&harness).len(), before + 1);
}

#[test]
fn a_trial_is_removed_and_put_back() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    let count = |harness: &crate::support::Bench<'_>| harness.state().bench().piece().unwrap().trials.len();
    let before = count(&harness);
    harness.get_by_role_and_label(Role::Button, "Remove this trial").click_accesskit();
    quiet(&mut harness);
    assert_eq!(count(&harness), before - 1, "{}", harness.state().bench().status().happened);
    harness.state_mut().bench_mut().apply(FrameAction::Undo.into());
    quiet(&mut harness);
    assert_eq!(count(&harness), before);
}

/// The design: `tonewright` opens the window on the last piece, or the start page.
#[test]
fn the_window_opens_on_the_piece_that_was_open_last() {
    let folder = folder();
    let window = |folder: &std::path::Path| window_on(workbench::Workbench::in_folder(folder.to_path_buf()));
    let mut harness = window(&folder);
    assert!(harness.state().bench().piece().is_none(), "there is none yet");
    harness.state_mut().bench_mut().apply(StartAction::New.into());
    let made = harness.state().bench().piece_folder();
    assert!(made.is_some());
    drop(harness);
    let mut harness = window(&folder);
    assert_eq!(harness.state().bench().piece_folder(), made);
    harness.state_mut().bench_mut().apply(StartAction::Close.into());
    drop(harness);
    assert!(window(&folder).state().bench().piece().is_none(), "it was closed");
    harness = window(&folder);
    harness.state_mut().bench_mut().apply(StartAction::New.into());
    std::fs::remove_dir_all(harness.state().bench().piece_folder().unwrap()).unwrap();
    drop(harness);
    let harness = window(&folder);
    assert!(harness.state().bench().piece().is_none() && !harness.state().bench().status().failed, "it is gone");
}

/// In every area the foot names the first thing that is missing: readings, then a board and a trial, then the plan.
#[test]
fn the_first_thing_missing_is_named_as_the_next() {
    let mut harness = open();
    let areas = [Area::SideBySide, Area::Samples, Area::Routes, Area::Sheet];
    let mut next = |piece: &Piece| {
        harness.state_mut().bench_mut().put(piece.clone());
        areas.map(|area| {
            harness.state_mut().bench_mut().apply(FrameAction::Go(area).into());
            harness.state().bench().status().next.clone()
        })
    };
    let (whole, read) = (oak_chest(), "read the parts from photos, press 1");
    let mut piece = Piece { trials: Vec::new(), readings: Vec::new(), boards: Vec::new(), ..whole.clone() };
    assert_eq!(next(&piece), [read; 4]);
    piece.readings = whole.readings.clone();
    let (aside, first) = ("try something on a board, press 3", "log a trial first, press 3");
    assert_eq!(next(&piece), [aside, "add a board, at the right", first, first]);
    piece.boards = whole.boards.clone();
    assert_eq!(next(&piece), [aside, "log a trial, press /", first, first]);
    let (route, plan) = ("make a route the plan", "make a plan first, press 4");
    assert_eq!(next(&whole), [aside, "log a trial, press /", route, plan]);
}

/// What stands in a headline is a sentence, and so is what the panel says of each part.
#[test]
fn with_nothing_read_the_headline_says_so_in_a_sentence() {
    let mut harness = open();
    let piece = Piece { trials: Vec::new(), readings: Vec::new(), ..oak_chest() };
    harness.state_mut().bench_mut().put(Piece { match_sample: MatchSample::AllAlike, ..piece });
    harness.key_press(Key::Num2);
    quiet(&mut harness);
    let empty = harness.state().bench().side_by_side().empty.expect("there is nothing to compare");
    assert_eq!(empty, words::sentence(&empty));
    assert_eq!(harness.query_all_by_label(&empty).count(), 2, "{empty}");
}

#[test]
fn the_demos_are_said_to_be_invented_and_open_from_one_line() {
    let mut harness = empty();
    for size in [egui::vec2(1024.0, 700.0), egui::vec2(1440.0, 900.0)] {
        harness.set_size(size);
        quiet(&mut harness);
        harness.get_by_label_contains("invented");
        let labels = DEMOS.iter().map(|demo| format!("Open the {}", demo.name().to_lowercase()));
        let open: Vec<egui::Rect> = labels.map(|label| harness.get_by_label(&label).rect()).collect();
        assert!(open.iter().all(|button| button.y_range() == open[0].y_range()), "{open:?}");
        assert!(open[0].max.y <= size.y - 40.0, "{open:?}");
    }
}
