//! Samples: the chosen trial is in sight, what is typed is cautioned against, and nothing is cut or covered.

use egui::{
    Key, Rect,
    accesskit::{Role, Toggled},
};
use egui_kittest::kittest::{NodeT, Queryable};
use workbench::{Area, FrameAction, SamplesAction, StartAction, demo::DEMOS};

use crate::support::{Bench, demo, open, quiet};

const LEAST: egui::Vec2 = egui::vec2(1024.0, 700.0);

/// The cherry bureau, the demo with most boards, in Samples.
fn cherry(size: egui::Vec2) -> Bench<'static> {
    let mut harness = demo();
    harness.set_size(size);
    harness.state_mut().bench_mut().apply(StartAction::Demo(DEMOS[1].id.to_owned()).into());
    quiet(&mut harness);
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Samples).into());
    quiet(&mut harness);
    harness
}

/// The column of a trial, and whether it shows as chosen.
fn columns(harness: &Bench<'_>) -> Vec<(Rect, bool)> {
    let heads = harness.state().bench().boards().boards.into_iter().flat_map(|board| board.columns);
    let names = heads.map(|column| format!("{} {}", column.head[0], column.head[1]).trim().to_owned());
    let mut names: Vec<String> = names.collect();
    names.sort();
    names.dedup();
    let all = names.iter().flat_map(|name| harness.get_all_by_role_and_label(Role::Button, name));
    all.map(|node| (node.rect(), node.accesskit_node().toggled() == Some(Toggled::True))).collect()
}

#[test]
fn the_chosen_trial_is_in_sight_and_shows_as_chosen() {
    for size in [LEAST, egui::vec2(1440.0, 900.0)] {
        let mut harness = cherry(size);
        let in_sight = |harness: &Bench<'_>| {
            let chosen: Vec<Rect> =
                columns(harness).into_iter().filter(|(_, chosen)| *chosen).map(|(at, _)| at).collect();
            let work = if size == LEAST { 176.0..=size.x - 256.0 } else { 208.0..=size.x - 304.0 };
            let seen = |at: &Rect| work.contains(&at.min.x.ceil()) && work.contains(&at.max.x.floor());
            chosen.len() == 1 && seen(&chosen[0])
        };
        assert!(in_sight(&harness), "{:?}", columns(&harness));
        let trials: Vec<_> = harness.state().bench().piece().unwrap().trials.iter().map(|trial| trial.id).collect();
        for trial in [trials[0], trials[trials.len() - 1]] {
            harness.state_mut().bench_mut().apply(SamplesAction::Choose(trial).into());
            quiet(&mut harness);
            assert!(in_sight(&harness), "{trial}: {:?}", columns(&harness));
        }
    }
}

/// In less height the names of the plot lie on one another.
#[test]
fn the_plot_keeps_a_height_that_can_be_read() {
    let mut harness = cherry(LEAST);
    let plot = |harness: &Bench<'_>| harness.get_by_label_contains("Plot of").rect();
    assert!(plot(&harness).height() > 200.0, "{:?}", plot(&harness));
    harness.set_size(egui::vec2(1440.0, 900.0));
    quiet(&mut harness);
    assert!(plot(&harness).max.y <= 860.0, "in a large window all of it is seen: {:?}", plot(&harness));
}

/// The note stands beside the name of a drawing, or below it; it is not cut and lies on nothing.
#[test]
fn the_heads_of_drawings_stand_whole() {
    for size in [LEAST, egui::vec2(1440.0, 900.0)] {
        let harness = cherry(size);
        let note = harness.get_by_label_contains("L* by C*").rect();
        let name = harness.get_by_label("Drawing: Lighter is up, stronger is right").rect();
        let plot = harness.get_by_label_contains("Plot of").rect();
        assert!(
            !note.intersects(name.shrink2(egui::vec2(0.0, 8.0))) && note.max.y <= plot.min.y,
            "{note:?} {name:?} {plot:?}"
        );
        let whole = "L* by C*, topcoated; dashed: within tolerance".chars().count() as f32;
        // No letter of 14 points is less than 4 wide on the whole.
        assert!(note.width() * (note.height() / 18.0).floor() > 4.0 * whole, "{note:?}");
        if let Some(view) = harness.state().bench().curve_view().filter(|_| size.x > 1400.0) {
            let (note, name) = (harness.get_by_label(&view.note).rect(), harness.get_by_label(&view.head).rect());
            assert!(!note.intersects(name) && note.max.x <= size.x - 304.0, "{note:?} {name:?}");
        }
    }
}

/// In the words of the bench, below the column: it covers no swatch and no number.
#[test]
fn a_trial_unlike_the_others_is_marked_below_its_column() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    for line in ["board 1 chlorine x2 dry 30/25/40 coated 20/25/40"; 2] {
        harness.state_mut().bench_mut().apply(SamplesAction::Log(line.into()).into());
        quiet(&mut harness);
    }
    let odd: Vec<String> = {
        let boards = harness.state().bench().boards().boards;
        boards.into_iter().flat_map(|board| board.columns).filter_map(|column| column.odd).collect()
    };
    assert!(!odd.is_empty(), "what contradicts the rest is found");
    let marks: Vec<Rect> = harness.get_all_by_label("unlike the others").map(|mark| mark.rect()).collect();
    assert_eq!(marks.len(), odd.len());
    let lowest = harness.get_by_label("match sample").rect();
    assert!(marks.iter().all(|mark| mark.min.y > lowest.max.y), "{lowest:?} {marks:?}");
    for unread in harness.query_all_by_label("not read") {
        assert!(marks.iter().all(|mark| !mark.intersects(unread.rect())), "{marks:?}");
    }
}

/// People can get hurt: what to beware of stands in the panel before the step is logged, let alone done.
#[test]
fn cautions_stand_in_the_panel_while_the_step_is_typed() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    let trials = harness.state().bench().piece().unwrap().trials.len();
    harness.key_press(Key::Slash);
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Log a trial").type_text("board 2 two-part");
    quiet(&mut harness);
    let typed = harness.state().bench().typed_view("board 2 two-part").unwrap();
    assert!(!typed.cautions.is_empty());
    for (lead, text) in &typed.cautions {
        harness.get_by_label(&format!("{lead} {text}"));
    }
    harness.get_by_label("As typed so far");
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    assert_eq!(harness.state().bench().piece().unwrap().trials.len(), trials + 1);
    assert!(harness.query_by_label("As typed so far").is_none());
}
