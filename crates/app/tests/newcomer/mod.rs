//! What someone does who has just begun: nothing leads into a dead end, and what was put in can be put right.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{FrameAction, StartAction};

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
