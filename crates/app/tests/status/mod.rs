//! The status line: what could not be done is told in full, and no longer than it holds.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{
    Area, FrameAction, SamplesAction,
    piece::{Edit, edit::PartEdit},
};

use crate::support::{Bench, demo, open, quiet, type_into};

fn log(harness: &mut Bench<'_>, line: &str) {
    harness.state_mut().bench_mut().apply(SamplesAction::Log(line.into()).into());
    quiet(harness);
}

#[test]
fn an_error_goes_with_the_next_thing_done() {
    let mut harness = open();
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Samples).into());
    for then in [
        FrameAction::Go(Area::SideBySide),
        FrameAction::Choose { part: workbench::PartId(2), add: false },
        FrameAction::Beside(Some(workbench::Beside::ShopBook)),
    ] {
        log(&mut harness, "board 1 unicorn");
        let status = harness.state().bench().status().clone();
        assert!(status.failed && status.happened.contains("unicorn"));
        // What fails again is told again.
        log(&mut harness, "board 1 unicorn");
        assert!(harness.state().bench().status().failed);
        harness.state_mut().bench_mut().apply(then.into());
        quiet(&mut harness);
        let after = harness.state().bench().status().clone();
        assert!(!after.failed && after.happened.is_empty() && !after.next.is_empty(), "{after:?}");
        assert!(harness.query_by_label(&status.happened).is_none());
    }
}

/// The longest complaint at the least size: every line of it is within the window, and the areas make room.
#[test]
fn a_long_error_is_told_in_full() {
    let mut harness = open();
    harness.set_size(egui::vec2(1024.0, 700.0));
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    let field = |harness: &Bench<'_>| harness.get_by_role_and_label(Role::TextInput, "Log a trial").rect();
    let before = field(&harness);
    type_into(&mut harness, "Log a trial", "board 1 unicorn");
    let said = harness.state().bench().status().happened.clone();
    assert!(said.len() > 200, "{said}");
    let told = harness.get_by_label(&said).rect();
    assert!(told.min.x >= 0.0 && told.max.x <= 1024.0 && told.max.y <= 700.0 && told.height() > 40.0, "{told:?}");
    assert!(!told.intersects(field(&harness)));
    log(&mut harness, "board 1 chlorine x2");
    assert_eq!(field(&harness), before);
}

/// Common practice, no source: an acid after chlorine gives off chlorine gas.
#[test]
fn a_line_that_is_refused_stays_to_be_mended() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    type_into(&mut harness, "Log a trial", "board 1 chlorine oxalic topcoat");
    assert!(harness.state().bench().status().failed);
    let field = harness.get_by_role_and_label(Role::TextInput, "Log a trial");
    assert_eq!(field.value().as_deref(), Some("board 1 chlorine oxalic topcoat"));
}

/// The autosave holds what could not be saved, so that one who closes again is let go.
#[test]
fn a_window_that_cannot_save_closes_the_second_time() {
    let mut harness = demo();
    let bench = harness.state_mut().bench_mut();
    let (folder, part) = (bench.piece_folder().unwrap(), bench.piece().unwrap().parts[0].id);
    bench.apply(Edit::Part(PartEdit::Rename(part, "case".into())).into());
    quiet(&mut harness);
    std::fs::remove_dir_all(&folder).unwrap();
    std::fs::write(&folder, "in the way").unwrap();
    let mut stays = || {
        let viewport = harness.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default();
        viewport.events.push(egui::ViewportEvent::Close);
        harness.run_steps(1);
        let commands = &harness.output().viewport_output[&egui::ViewportId::ROOT].commands;
        let stays = commands.contains(&egui::ViewportCommand::CancelClose);
        harness.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default().events.clear();
        stays
    };
    assert!(stays(), "the first time it says that it cannot save");
    assert!(!stays(), "the second time it goes");
}
