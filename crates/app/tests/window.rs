//! The window worked as a person would: found by name, clicked, typed into; then the workbench is looked at.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod beside;
mod drawings;
mod escape;
mod newcomer;
mod parts;
mod photos;
mod plans;
mod problems;
mod samples;
mod small;
mod status;
mod support;

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;
use support::{empty, open, quiet, with_photo};
use workbench::{
    Area, FrameAction, Theme,
    demo::DEMOS,
    piece::{Joint, Meeting},
    sample::oak_chest,
};

#[test]
fn nothing_is_open_at_first_and_the_areas_are_off() {
    let mut harness = empty();
    harness.get_by_label("What shall we match?");
    harness.get_by_role_and_label(Role::Button, "Routes").click();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().area(), Area::Photos);
    assert!(harness.state().bench().piece().is_none());
}

#[test]
fn a_demo_opens_as_a_copy_of_ones_own() {
    let mut harness = empty();
    let demo = &DEMOS[0];
    harness.get_by_label(&format!("Open the {}", demo.name().to_lowercase())).click();
    harness.run_steps(3);
    let bench = harness.state().bench();
    let piece = bench.piece().expect("the demo is open");
    assert!(piece.invented && piece.parts.len() > 2);
    let folder = bench.piece_folder().expect("it has a folder");
    assert!(folder.starts_with(bench.data_folder()) && folder.join("piece.json").is_file());
}

#[test]
fn digits_go_to_the_areas() {
    let mut harness = open();
    let keys = [Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num1];
    let areas = [Area::SideBySide, Area::Samples, Area::Routes, Area::Sheet, Area::Photos];
    for (key, area) in keys.into_iter().zip(areas) {
        harness.key_press(key);
        quiet(&mut harness);
        assert_eq!(harness.state().bench().area(), area);
    }
}

#[test]
fn parts_are_chosen_on_the_strip_one_or_several() {
    let mut harness = open();
    harness.get_by_label("front four, L* 39.0").click();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().chosen().len(), 1);
    harness.get_by_label("front two, L* 54.8").click_modifiers(Modifiers::COMMAND);
    quiet(&mut harness);
    let names: Vec<_> = {
        let bench = harness.state().bench();
        bench.chosen().iter().filter_map(|id| Some(bench.piece()?.part(*id)?.name.clone())).collect()
    };
    assert_eq!(names, ["front four", "front two"]);
}

#[test]
fn two_chosen_parts_stand_side_by_side_with_a_sentence() {
    let mut harness = open();
    harness.get_by_label("front four, L* 39.0").click();
    quiet(&mut harness);
    harness.get_by_label("front two, L* 54.8").click_modifiers(Modifiers::COMMAND);
    quiet(&mut harness);
    harness.key_press(Key::Num2);
    quiet(&mut harness);
    let view = harness.state().bench().side_by_side();
    let pair = view.pair.expect("a pair is on show");
    assert_eq!((pair.left.name.as_str(), pair.right.name.as_str()), ("front four", "front two"));
    // Spirit-wet 39/10/20 against 54.8/10.2/29: much darker by the figures themselves.
    assert!(pair.sentence[0].contains("darker"), "{:?}", pair.sentence);
    assert!(pair.bars[0].value[2] < 0.0, "{:?}", pair.bars[0]);
    harness.get_by_label(&pair.sentence[0]);
}

/// Whichever front it is that front four meets: at most one of the two is the one that looks furthest from it.
#[test]
fn one_chosen_part_stands_beside_one_that_it_meets() {
    for other in ["front one", "front five"] {
        let mut piece = oak_chest();
        let id = |name: &str| piece.parts.iter().find(|part| part.name == name).unwrap().id;
        piece.joints = vec![Joint { a: id(other), b: id("front four"), meeting: Meeting::Fronts }];
        let mut harness = open();
        harness.state_mut().bench_mut().put(piece);
        quiet(&mut harness);
        harness.get_by_label("front four, L* 39.0").click();
        quiet(&mut harness);
        harness.key_press(Key::Num2);
        quiet(&mut harness);
        let pair = harness.state().bench().side_by_side().pair.expect("a pair is on show");
        assert_eq!((pair.left.name.as_str(), pair.right.name.as_str()), ("front four", other));
    }
}

/// The design: two to six crops edge to edge; the words are then about the two that are furthest apart.
#[test]
fn three_chosen_parts_stand_edge_to_edge() {
    let mut harness = open();
    harness.get_by_label("front two, L* 54.8").click();
    quiet(&mut harness);
    for other in ["front four, L* 39.0", "carcass, L* 55.0"] {
        harness.get_by_label(other).click_modifiers(Modifiers::COMMAND);
        quiet(&mut harness);
    }
    harness.key_press(Key::Num2);
    quiet(&mut harness);
    let pair = harness.state().bench().side_by_side().pair.expect("a pair is on show");
    let names: Vec<&str> = pair.crops.iter().map(|half| half.name.as_str()).collect();
    assert_eq!(names.len(), 3, "{names:?}");
    // By the figures themselves front four is 16 below the others in L*, which are alike.
    assert_eq!(names[0], "front four");
    assert!(
        pair.sentence[0].starts_with("Front four beside") && pair.sentence[0].contains("darker"),
        "{:?}",
        pair.sentence
    );
    let rects: Vec<egui::Rect> =
        names.iter().map(|name| harness.get_by_label_contains(&format!("{name} spirit-wet")).rect()).collect();
    assert!(rects.windows(2).all(|two| two[0].max.x <= two[1].min.x), "{rects:?}");
}

/// Common practice, no source: an acid after chlorine gives off chlorine gas; dye does not take over a sealer.
#[test]
fn steps_that_may_not_follow_one_another_are_not_logged() {
    let mut harness = open();
    let trials = |harness: &support::Bench<'_>| harness.state().bench().piece().unwrap().trials.len();
    let before = trials(&harness);
    for (line, why) in
        [("board 1 chlorine oxalic topcoat", "chlorine gas"), ("board 2 seal amber dye 4 g/l", "over a sealer")]
    {
        harness.key_press(Key::Num3);
        quiet(&mut harness);
        support::type_into(&mut harness, "Log a trial", line);
        let happened = harness.state().bench().status().happened.clone();
        assert!(happened.starts_with("Not logged") && happened.contains(why), "{happened}");
        assert_eq!(trials(&harness), before);
        harness.key_press(Key::Escape);
        quiet(&mut harness);
    }
}

#[test]
fn a_trial_is_logged_from_the_keyboard_repeated_and_undone() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    let before = harness.state().bench().piece().unwrap().trials.len();
    harness.key_press(Key::Slash);
    quiet(&mut harness);
    let field = harness.get_by_role_and_label(Role::TextInput, "Log a trial");
    assert!(field.is_focused());
    field.type_text("board 1 chlorine x3 coated 60/6/26");
    quiet(&mut harness);
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    let logged = |harness: &support::Bench<'_>| harness.state().bench().piece().unwrap().trials.len() - before;
    assert_eq!(logged(&harness), 1);
    harness.key_press(Key::ArrowUp);
    quiet(&mut harness);
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    assert_eq!(logged(&harness), 2, "{}", harness.state().bench().status().happened);
    // One gesture is one step, though a reading came with the trial.
    harness.get_by_label("Undo log trial").click();
    quiet(&mut harness);
    assert_eq!(logged(&harness), 1);
    harness.get_by_label("Redo log trial").click();
    quiet(&mut harness);
    assert_eq!(logged(&harness), 2);
}

#[test]
fn a_line_that_is_not_understood_stays_and_is_explained() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    harness.key_press(Key::Slash);
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Log a trial").type_text("board 1 unicorn");
    quiet(&mut harness);
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    assert!(harness.state().bench().status().failed);
    let field = harness.get_by_role_and_label(Role::TextInput, "Log a trial");
    assert_eq!(field.value().as_deref(), Some("board 1 unicorn"));
}

#[test]
fn parts_are_named_in_a_new_piece() {
    let mut harness = empty();
    harness.get_by_label("New piece, name the parts first").click();
    quiet(&mut harness);
    for name in ["top", "door"] {
        harness.get_by_role_and_label(Role::TextInput, "Name of a part").focus();
        quiet(&mut harness);
        harness.get_by_role_and_label(Role::TextInput, "Name of a part").type_text(name);
        quiet(&mut harness);
        harness.key_press(Key::Enter);
        quiet(&mut harness);
    }
    let piece = harness.state().bench().piece().cloned().expect("a new piece is open");
    let names: Vec<_> = piece.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["top", "door"]);
}

#[test]
fn corners_of_the_card_are_dragged_and_nudged() {
    let mut harness = with_photo();
    let before = harness.state().bench().photos().corners.expect("no card is in the photo: corners are asked for");
    let from = harness.get_by_label("card corner 2").rect().center();
    harness.drag_at(from);
    harness.run_steps(2);
    for step in 1..=4 {
        harness.hover_at(from + egui::vec2(10.0 * step as f32, 0.0));
        harness.run_steps(1);
    }
    harness.drop_at(from + egui::vec2(40.0, 0.0));
    quiet(&mut harness);
    let after = harness.state().bench().photos().corners.unwrap();
    assert!(after.at_px[1][0] > before.at_px[1][0] + 5.0, "{before:?} {after:?}");
    assert_eq!(after.at_px[0], before.at_px[0]);
    assert_eq!(after.active, 1);
    harness.get_by_label("card corner 2").focus();
    quiet(&mut harness);
    harness.key_press(Key::ArrowDown);
    quiet(&mut harness);
    let nudged = harness.state().bench().photos().corners.unwrap();
    assert!((nudged.at_px[1][1] - after.at_px[1][1] - 1.0).abs() < 1e-6, "{after:?} {nudged:?}");
    harness.get_by_label("Use these corners").click();
    harness.run_steps(3);
    let piece = harness.state().bench().piece().unwrap().clone();
    assert_eq!(piece.photos[0].corners_px, Some(nudged.at_px));
    assert_eq!(harness.state().bench().undo_label(), Some("place corners"));
}

#[test]
fn a_file_dropped_on_the_window_is_taken_in() {
    let mut harness = empty();
    let folder = harness.state().bench().data_folder().to_path_buf();
    let photo = support::photo_in(&folder);
    harness.input_mut().dropped_files.push(support::dropped(&photo));
    harness.run_steps(3);
    let piece = harness.state().bench().piece().cloned().expect("a new piece was made for it");
    assert_eq!(piece.photos.len(), 1);
}

/// The design: nothing but wood and patches has a colour. The sample has no photo, so its parts are flat colours; all
/// other shapes of every area in every theme are grey.
#[test]
fn every_area_is_drawn_in_every_theme_and_at_the_least_size() {
    for theme in Theme::ALL {
        let mut harness = open();
        harness.state_mut().bench_mut().apply(FrameAction::Theme(theme).into());
        for size in [egui::vec2(1280.0, 800.0), egui::vec2(1024.0, 700.0)] {
            harness.set_size(size);
            for area in Area::ALL {
                harness.state_mut().bench_mut().apply(FrameAction::Go(area).into());
                quiet(&mut harness);
                let style = harness.ctx.global_style();
                for fill in [style.visuals.panel_fill, style.visuals.selection.bg_fill, style.visuals.hyperlink_color] {
                    assert!(fill.r() == fill.g() && fill.g() == fill.b(), "{theme:?} {area:?}: {fill:?}");
                }
                assert!(harness.query_by_label(area.name()).is_some());
            }
        }
    }
}
