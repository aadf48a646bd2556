//! Wood, area, grit and construction of a part, and what may not be done to it, as they are changed in the panel.

use egui_kittest::kittest::Queryable;
use workbench::{
    Area, FrameAction,
    piece::{Bar, Construction, Part},
};

use crate::support::{Bench, open, quiet, type_into};

fn carcass(harness: &Bench<'_>) -> Part {
    (**harness.state().bench().piece().unwrap().part_named("carcass").unwrap()).clone()
}

#[test]
fn wood_area_grit_and_construction_of_a_part_are_changed_and_taken_back() {
    let mut harness = open();
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Photos).into());
    harness.get_by_label("carcass, L* 55.0").click();
    quiet(&mut harness);
    type_into(&mut harness, "Wood of carcass", "walnut");
    assert_eq!(carcass(&harness).wood, "walnut");
    type_into(&mut harness, "Area of carcass", "2.5");
    assert_eq!(carcass(&harness).area_m2, Some(2.5));
    type_into(&mut harness, "Area of carcass", "large");
    assert!(harness.state().bench().status().failed);
    assert_eq!(carcass(&harness).area_m2, Some(2.5), "what is no area changes nothing");
    type_into(&mut harness, "Grit of carcass", "180");
    assert_eq!(carcass(&harness).sanded_to, Some(180));
    type_into(&mut harness, "Grit of carcass", "fine");
    assert!(harness.state().bench().status().failed);
    assert_eq!(carcass(&harness).sanded_to, Some(180), "what is no grit changes nothing");
    harness.get_by_label("Construction of carcass").click_accesskit();
    quiet(&mut harness);
    harness.get_by_label("thin veneer, hide glue").click();
    quiet(&mut harness);
    assert!(matches!(carcass(&harness).construction, Construction::Veneer { .. }));
    harness.get_by_label("no bleach").click_accesskit();
    quiet(&mut harness);
    assert_eq!(carcass(&harness).bars, [Bar::Bleach]);
    assert_eq!(harness.state().bench().undo_label(), Some("change part"));
    for _ in 0..5 {
        harness.state_mut().bench_mut().apply(FrameAction::Undo.into());
    }
    let before = carcass(&harness);
    assert_eq!(before.sanded_to, None);
    assert_eq!((before.wood.as_str(), before.area_m2, before.bars.len()), ("oak, quarter-sawn", Some(1.4), 0));
}
