//! Plans: a route chosen, what to mix for it, its cautions, what to try next, and the tolerance.

use std::sync::Arc;

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{
    Area, FrameAction, RoutesAction, SheetAction,
    piece::{Bar, Edit, JointEdit, Kind, Product, ProductId},
    sample::oak_chest,
    task, words,
};

use crate::support::{self, open, quiet};

#[test]
fn a_route_is_made_the_plan_and_the_sheet_is_saved() {
    let mut harness = open();
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    harness.get_by_label("Make this the plan").click();
    quiet(&mut harness);
    let plan = harness.state().bench().piece().unwrap().plan.clone();
    assert!(plan.is_some_and(|plan| !plan.name.is_empty()), "{}", harness.state().bench().status().happened);
    harness.key_press(Key::Num5);
    quiet(&mut harness);
    let page = harness.state().bench().page();
    assert!(!page.blocks.is_empty(), "{:?}", page.empty);
    let folder = harness.state().bench().data_folder().to_path_buf();
    let saved = folder.join("sheet.html");
    harness.state_mut().bench_mut().apply(SheetAction::Save(saved.clone()).into());
    assert!(std::fs::read_to_string(&saved).is_ok_and(|html| html.contains("Work sheet")));
    harness.state_mut().bench_mut().apply(SheetAction::Save(folder.join("sheet.doc")).into());
    let status = harness.state().bench().status().clone();
    assert!(status.failed && status.happened.contains(".html"), "{}", status.happened);
}

/// The design: what to mix is told for the chosen route, in the units that were set, and the sheet says the same.
#[test]
fn what_to_mix_is_told_for_the_chosen_route_in_the_units_that_are_set() {
    let mut harness = open();
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    let routes = harness.state().bench().routes_view().routes;
    let with_work = routes.iter().position(|route| route.work != "no work").expect("a route that does something");
    harness.state_mut().bench_mut().apply(RoutesAction::Choose(with_work).into());
    quiet(&mut harness);
    let mixes = harness.state().bench().mixing_view();
    assert!(mixes.iter().all(|mix| mix.make.ends_with(" ml")) && !mixes.is_empty(), "{mixes:?}");
    harness.get_by_label(&mixes[0].from);
    harness.key_press(Key::Num5);
    quiet(&mut harness);
    harness.get_by_label("Units of amounts").click();
    quiet(&mut harness);
    harness.get_by_role_and_label(Role::Button, "fl oz and sq ft").click();
    quiet(&mut harness);
    let told = format!("{:?}", harness.state().bench().page().blocks);
    assert!(told.contains(" fl oz") && !told.contains(" ml"), "{told}");
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    assert!(harness.state().bench().mixing_view().iter().all(|mix| mix.make.ends_with(" fl oz")));
    // What the product's label says counts before the default.
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    support::type_into(&mut harness, "Log a trial", "change amber dye, covers 20");
    let field = harness.get_by_role_and_label(Role::TextInput, "Log a trial");
    assert_eq!(field.value().as_deref(), Some(""), "{}", harness.state().bench().status().happened);
    harness.key_press(Key::Escape);
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Routes).into());
    quiet(&mut harness);
    let told = format!("{:?}", harness.state().bench().mixing_view());
    assert!(told.contains("as the product says"), "{told}");
}

/// Rows of equal odds seem to stand in no order where what they are expected to come to is not shown: the order is told.
#[test]
fn the_ranking_says_what_it_is_in_order_of() {
    let mut harness = open();
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Routes).into());
    quiet(&mut harness);
    assert!(harness.state().bench().ranking_view().rows.len() > 1);
    harness.get_by_label(&words::sentence(words::RANKING_ORDER));
}

/// Where no joints are entered, the routes say of them what `compare` says, and say it no longer once one is.
#[test]
fn the_routes_say_what_is_assumed_of_how_the_parts_meet() {
    let mut piece = oak_chest();
    let joint = piece.joints[0];
    piece.joints.clear();
    let assumed = words::sentence(&task::compare(&piece).unwrap().notes[0]);
    let mut harness = open();
    harness.state_mut().bench_mut().put(piece);
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    harness.get_by_label(&assumed);
    harness.state_mut().bench_mut().apply(Edit::Joint(JointEdit::Set(joint)).into());
    quiet(&mut harness);
    assert!(harness.query_by_label(&assumed).is_none());
}

/// People can get hurt: every caution of the chosen schedule stands in the panel where it is chosen, and so do those of the
/// trial that is proposed.
#[test]
fn every_caution_stands_where_the_step_is_chosen() {
    let mut harness = open();
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    let schedule = harness.state().bench().schedule_view().expect("a schedule is chosen");
    let next = harness.state().bench().next_view();
    assert!(schedule.cautions.iter().any(|(lead, _)| lead.contains("Chlorine")), "{:?}", schedule.cautions);
    assert!(schedule.cautions.len() > 2 && !next.cautions.is_empty());
    for (lead, text) in schedule.cautions.iter().chain(&next.cautions) {
        assert!(harness.query_all_by_label(&format!("{lead} {text}")).next().is_some(), "{lead}");
    }
}

#[test]
fn what_to_try_next_is_told_with_its_reason_and_can_be_logged() {
    let mut harness = open();
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    let next = harness.state().bench().next_view();
    assert!(!next.what.is_empty() && !next.why.is_empty(), "{next:?}");
    harness.get_by_label(&next.what);
    harness.get_by_label(&next.why);
    let line = next.line.expect("something is left to try");
    let label = if next.stop { "Log that trial" } else { "Log this trial" };
    harness.get_by_label(label).click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().area(), Area::Samples);
    let field = harness.get_by_role_and_label(Role::TextInput, "Log a trial");
    assert_eq!(field.value(), Some(line));
}

/// What was noted on a board stands beside the trial that is proposed on it.
#[test]
fn what_was_noted_where_a_trial_would_be_made_stands_beside_it() {
    let mut piece = oak_chest();
    for board in &mut piece.boards {
        Arc::make_mut(board).note = "veneer lifted".into();
    }
    for part in &mut piece.parts {
        Arc::make_mut(part).note = "veneer lifted".into();
    }
    let mut harness = open();
    harness.state_mut().bench_mut().put(piece);
    harness.key_press(Key::Num4);
    quiet(&mut harness);
    let next = harness.state().bench().next_view();
    let noted = if next.stop { next.or } else { next.noted };
    harness.get_by_label(noted.filter(|noted| noted.ends_with(": veneer lifted.")).as_deref().unwrap());
}

#[test]
fn the_tolerance_is_changed_in_its_list_and_can_be_taken_back() {
    let mut harness = open();
    let now = |harness: &support::Bench<'_>| harness.state().bench().piece().unwrap().tolerances.match_sample_de00;
    let before = now(&harness);
    harness.get_by_label("Tolerance").click();
    quiet(&mut harness);
    harness.get_by_label("larger to the match sample").click();
    quiet(&mut harness);
    assert!((now(&harness) - before - 0.1).abs() < 1e-9);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    quiet(&mut harness);
    assert!((now(&harness) - before).abs() < 1e-9);
}

/// What is barred and what was not tried is told in full, however much it is; and leave natural stands in the ranking.
#[test]
fn all_that_may_not_be_done_is_told_below_the_ranking() {
    let mut piece = oak_chest();
    let carcass = piece.parts.iter_mut().find(|part| part.name == "carcass").unwrap();
    Arc::make_mut(carcass).bars = vec![Bar::Sanding, Bar::Water, Bar::Bleach];
    let carcass = carcass.id;
    Arc::make_mut(&mut piece.products[0]).kind = Kind::WaterDye;
    for (id, name, kind) in [(90, "blue dye", Kind::WaterDye), (91, "red gel", Kind::Gel)] {
        piece.products.push(Arc::new(Product::new(ProductId(id), name, kind)));
    }
    let mut harness = open();
    harness.state_mut().bench_mut().put(piece);
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Routes).into());
    harness.state_mut().bench_mut().apply(FrameAction::Choose { part: carcass, add: false }.into());
    quiet(&mut harness);
    let view = harness.state().bench().ranking_view();
    assert!(view.notes.len() > 4, "{:?}", view.notes);
    for (what, why) in &view.notes {
        assert!(harness.query_all_by_label(&format!("{what}: {why}")).next().is_some(), "{what}");
    }
    assert!(view.shown().any(|row| row.is_natural), "{:?}", view.rows);
}
