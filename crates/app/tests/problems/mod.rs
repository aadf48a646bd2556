//! What is wrong with a piece: told on opening, listed on a click, gone once it is put right.

use std::sync::Arc;

use egui_kittest::kittest::Queryable;
use workbench::{
    Area, Beside, FrameAction, Workbench,
    piece::{
        Edit,
        edit::{PartEdit, TargetEdit},
    },
    sample::oak_chest,
};

use crate::support::{demo, folder, quiet, window_on};

/// A chest in which two parts have one name, and an area and a tolerance are below nothing.
fn wrong() -> Workbench {
    let mut piece = oak_chest();
    let mut change = |place: usize, change: fn(&mut workbench::piece::Part)| {
        let mut part = (*piece.parts[place]).clone();
        change(&mut part);
        piece.parts[place] = Arc::new(part);
    };
    change(2, |part| part.name = "Front one".into());
    change(3, |part| part.area_m2 = Some(-1.0));
    piece.tolerances.fronts_de00 = -1.0;
    let mut bench = Workbench::in_folder(folder());
    bench.put(piece);
    bench
}

#[test]
fn what_is_wrong_is_told_on_opening_and_goes_when_it_is_put_right() {
    let mut harness = window_on(wrong());
    harness.get_by_label("3 things to put right").click();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().beside(), Some(Beside::Problems));
    let rows = harness.state().bench().problems_view().rows;
    assert_eq!(rows[0].0, "Front one");
    assert!(rows[0].1.contains("rename one of them"), "{rows:?}");
    assert!(rows[1].0.starts_with("Front three") && rows[1].1.contains("more than 0"), "{rows:?}");
    assert_eq!(rows[2].0, "Tolerances");
    assert!(rows[2].1.starts_with("A tolerance in ΔE2000 is -1"), "{rows:?}");
    for (place, text) in &rows {
        harness.get_by_label(text);
        assert!(harness.query_all_by_label(place).next().is_some());
    }

    let bench = harness.state_mut().bench_mut();
    let parts = bench.piece().unwrap().parts.clone();
    bench.apply(Edit::Part(PartEdit::Rename(parts[2].id, "front two".into())).into());
    quiet(&mut harness);
    harness.get_by_label("2 things to put right");
    let mut part = (*parts[3]).clone();
    part.area_m2 = Some(0.2);
    harness.state_mut().bench_mut().apply(Edit::Part(PartEdit::Change(part)).into());
    quiet(&mut harness);
    harness.get_by_label("1 thing to put right");
    let tolerances = oak_chest().tolerances;
    harness.state_mut().bench_mut().apply(Edit::Target(TargetEdit::Tolerances(tolerances)).into());
    quiet(&mut harness);
    assert!(harness.query_by_label("1 thing to put right").is_none());
    assert_eq!(harness.state().bench().beside(), None);
}

#[test]
fn a_demo_has_nothing_to_put_right_and_a_photo_that_is_gone_is_told() {
    let mut harness = demo();
    assert_eq!(harness.state().bench().problems_view(), Default::default());
    let bench = harness.state_mut().bench_mut();
    let folder = bench.piece_folder().unwrap();
    let photo = bench.piece().unwrap().photos[1].file.clone();
    std::fs::remove_file(folder.join(&photo)).unwrap();
    bench.apply(workbench::StartAction::Open(folder).into());
    bench.apply(FrameAction::Go(Area::Sheet).into());
    quiet(&mut harness);
    let view = harness.state().bench().problems_view();
    assert_eq!(view.line, "1 thing to put right");
    assert!(view.rows[0].0 == "Photo 2" && view.rows[0].1.contains(&photo), "{view:?}");
}
