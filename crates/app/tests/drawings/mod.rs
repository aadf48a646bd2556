//! The drawings below the boards: which there are, and how one comes to them.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;

use crate::support::{Bench, open, quiet};

fn choose(harness: &mut Bench<'_>, drawing: &str) {
    harness
        .get_by(|node| node.role() == Role::Button && node.label().is_some_and(|l| l.starts_with("Drawing: ")))
        .click_accesskit();
    quiet(harness);
    harness.get_by_role_and_label(Role::Button, drawing).click();
    quiet(harness);
}

/// The design: a plot of L* against C*, and a*, b*; what each product does at each strength, as a curve.
#[test]
fn three_drawings_stand_below_the_boards_one_at_a_time() {
    let mut harness = open();
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    harness.get_by_label_contains("L* by C*");
    choose(&mut harness, "Yellower is up, redder is right");
    harness.get_by_label_contains("b* by a*");
    choose(&mut harness, "By strength");
    let view = harness.state().bench().curve_view().expect("the last trial has a curve");
    harness.get_by_label(&format!("{}, curve", view.head));
    harness.get_by_label(&view.note);
    for (.., told, _) in &view.trials {
        harness.get_by_label(told);
    }
}

/// In a wide window the curve stands beside the plot, and neither lies on the other.
#[test]
fn in_a_wide_window_the_curve_stands_beside_the_plot() {
    let mut harness = open();
    harness.set_size(egui::vec2(1440.0, 900.0));
    harness.key_press(Key::Num3);
    quiet(&mut harness);
    let view = harness.state().bench().curve_view().expect("the last trial has a curve");
    let curve = harness.get_by_label(&format!("{}, curve", view.head)).rect();
    let plot = harness.get_by_label_contains("Plot of").rect();
    assert!(plot.max.x < curve.min.x && curve.max.x <= 1440.0 - 304.0, "{plot:?} {curve:?}");
}
