//! The window at its least size: nothing lies on anything else, off the edge, or cut where it could be whole.

use egui::{Rect, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{Area, FrameAction, PhotosAction, piece::Source};

use crate::support::{Bench, demo, empty, quiet};

const LEAST: egui::Vec2 = egui::vec2(1024.0, 700.0);

/// The oak chest's demo at the least size, in an area.
fn at_least_size(area: Area) -> Bench<'static> {
    let mut harness = demo();
    harness.set_size(LEAST);
    harness.state_mut().bench_mut().apply(FrameAction::Go(area).into());
    quiet(&mut harness);
    harness
}

fn rect(harness: &Bench<'_>, label: &str) -> Rect {
    harness.get_by_label(label).rect()
}

/// A photo that was seen whole is so in a smaller window too.
#[test]
fn the_whole_photo_stays_whole_when_the_window_is_made_smaller() {
    let harness = at_least_size(Area::Photos);
    let canvas = harness.get_by_role_and_label(Role::Image, "Photo").rect();
    for tag in ["front one · spirit-wet", "front six · spirit-wet"] {
        assert!(canvas.contains_rect(rect(&harness, tag)), "{tag}: {canvas:?}");
    }
}

/// A region with a place left out makes the longest panel: its links stand apart, and the keyboard brings what lies below
/// the window into it.
#[test]
fn all_that_belongs_to_a_region_can_be_reached() {
    let mut harness = at_least_size(Area::Photos);
    let bench = harness.state().bench();
    let shown = bench.shown_photo().unwrap();
    let of_shown = |reading: &&std::sync::Arc<workbench::piece::Reading>| matches!(&reading.source, Source::Photo { photo, .. } if *photo == shown);
    let reading = bench.piece().unwrap().readings.iter().find(of_shown).unwrap().clone();
    let Source::Photo { region, .. } = &reading.source else { panic!("it is of a photo") };
    let points = region.points_px.clone();
    let middle = [0, 1].map(|axis| points.iter().map(|point| point[axis]).sum::<f64>() / points.len() as f64);
    let place = PhotosAction::LeaveOut { reading: reading.id, points_px: vec![middle, points[0], points[1]] };
    harness.state_mut().bench_mut().apply(PhotosAction::ChooseRegion(Some(reading.id)).into());
    quiet(&mut harness);
    harness.state_mut().bench_mut().apply(place.into());
    quiet(&mut harness);
    assert_eq!(harness.state().bench().places_left_out(), 1, "{}", harness.state().bench().status().happened);

    let (leave, remove) = (rect(&harness, "Leave a place out"), rect(&harness, "Remove this region"));
    assert!(!leave.shrink(1.0).intersects(remove), "{leave:?} {remove:?}");
    let corners = "Place the card’s corners";
    assert!(rect(&harness, corners).max.y > LEAST.y, "the panel is longer than the window");
    harness.get_by_label(corners).focus();
    quiet(&mut harness);
    let reached = rect(&harness, corners);
    assert!(reached.min.y > 104.0 && reached.max.y <= LEAST.y - 40.0, "{reached:?}");
}

#[test]
fn heads_of_columns_stand_in_two_lines_where_one_is_too_short() {
    let harness = at_least_size(Area::Samples);
    let boards = harness.state().bench().boards().boards;
    let long = boards[0].columns.iter().find(|column| column.head[0].len() > 20).expect("a long name");
    let head = harness.get_all_by_role_and_label(Role::Label, &long.head[0]).next().unwrap().rect();
    // Two lines of 16 points, within a column of 124.
    assert!(head.height() > 30.0 && head.width() <= 124.0, "{head:?}");
    let how = harness.get_all_by_role_and_label(Role::Label, &long.head[1]).find(|how| how.rect().min.y > head.min.y);
    assert!(how.is_some_and(|how| !how.rect().shrink(2.0).intersects(head)), "{head:?}");
}

#[test]
fn the_strip_of_seven_parts_names_each_of_them_whole() {
    let harness = at_least_size(Area::Routes);
    let parts = harness.state().bench().routes_view().parts;
    assert_eq!(parts.len(), 7);
    // The names of the strip stand above it, right of the parts' own scale.
    let in_strip = |rect: &Rect| rect.min.x >= 176.0 && rect.max.x <= 176.0 + 190.0 && rect.max.y < 200.0;
    let names: Vec<Rect> = parts
        .iter()
        .map(|(_, name, ..)| {
            let all = || harness.get_all_by_role_and_label(Role::Label, name).map(|node| node.rect());
            all().find(in_strip).unwrap_or_else(|| panic!("{name}: {:?}", all().collect::<Vec<_>>()))
        })
        .collect();
    for (n, one) in names.iter().enumerate() {
        assert!(names[..n].iter().all(|other| !other.shrink(1.0).intersects(*one)), "{}", parts[n].1);
    }
}

/// Numbers say what they are: the head of the worst pair names its unit, at the least size too.
#[test]
fn the_worst_pair_of_a_route_names_its_unit() {
    let harness = at_least_size(Area::Routes);
    let head = rect(&harness, "worst ΔE2000");
    assert!(head.max.x <= LEAST.x - 256.0, "{head:?}");
}

/// The names under the swatches of the sheet stand whole, in two lines where one is too short.
#[test]
fn the_sheet_names_every_swatch_whole() {
    let mut harness = at_least_size(Area::Sheet);
    harness.state_mut().bench_mut().apply(workbench::StartAction::Demo(workbench::demo::DEMOS[1].id.to_owned()).into());
    quiet(&mut harness);
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Sheet).into());
    quiet(&mut harness);
    // The name stands in the readings' table too, in one line.
    let mut names = harness.get_all_by_label("drawer three").map(|name| name.rect());
    assert!(names.any(|name| name.height() > 30.0), "two lines");
}

/// A caution that holds for the schedule and for the next trial stands once.
#[test]
fn no_caution_stands_twice_beside_the_routes() {
    let harness = at_least_size(Area::Routes);
    let bench = harness.state().bench();
    let (schedule, next) = (bench.schedule_view().unwrap().cautions, bench.next_view().cautions);
    assert!(next.iter().any(|caution| schedule.contains(caution)), "the demo has one that both have");
    for (lead, text) in schedule.iter().chain(&next) {
        assert_eq!(harness.get_all_by_label(&format!("{lead} {text}")).count(), 1, "{lead}");
    }
    harness.get_by_label("The cautions of the schedule hold for it too.");
}

#[test]
fn pairs_are_told_by_their_whole_names_and_by_whether_they_meet() {
    let harness = at_least_size(Area::SideBySide);
    let groups = harness.state().bench().side_by_side().groups;
    let heads: Vec<&str> = groups.iter().map(|group| group.head.as_str()).collect();
    assert_eq!(heads, ["Parts that meet", "Parts that do not meet"]);
    harness.get_by_label("Parts that meet");
    assert!(groups[0].rows.iter().any(|row| row.name == "front three – front four"));
    harness.get_by_label("front three –\nfront four");
}

/// A new piece says in every area what to do first, and nothing lies on the button that does it.
#[test]
fn an_empty_piece_says_what_to_do_first() {
    let mut harness = empty();
    harness.set_size(LEAST);
    quiet(&mut harness);
    for demo in workbench::demo::DEMOS.iter().flat_map(|demo| demo.about()) {
        let about = rect(&harness, demo);
        assert!(about.max.x <= LEAST.x - 256.0 && about.max.y <= LEAST.y - 40.0, "{about:?}");
    }
    harness.get_by_label("New piece, name the parts first").click();
    quiet(&mut harness);
    let button = rect(&harness, "Choose photos");
    let text = harness.get_by_label_contains("Then drop photos here").rect();
    assert!(text.max.y <= button.min.y, "{text:?} {button:?}");
    for area in Area::ALL {
        harness.state_mut().bench_mut().apply(FrameAction::Go(area).into());
        quiet(&mut harness);
        assert!(harness.state().bench().status().next.starts_with("name the parts"), "{area:?}");
    }
    // The last area is the sheet: it speaks of no route, for there is none.
    assert!(harness.query_by_label_contains("best route so far").is_none());
    harness.get_by_label("The piece has no parts yet: add a part and read its colour first.");
}

/// However far the panel was scrolled that they stand in place of.
#[test]
fn the_keys_are_listed_from_the_top_and_in_full() {
    let mut harness = at_least_size(Area::Routes);
    harness.get_by_label("Colour out a spot").focus();
    quiet(&mut harness);
    assert!(harness.get_by_label("Make this the plan").rect().max.y < 104.0, "the panel was scrolled");
    harness.key_press(egui::Key::F1);
    quiet(&mut harness);
    assert!(rect(&harness, "Keys").min.y > 104.0);
    let long = rect(&harness, "draw a rectangle, a polygon");
    assert!(long.height() > 30.0 && long.max.x <= LEAST.x - 16.0, "two lines: {long:?}");
    assert!(!long.intersects(rect(&harness, "move a corner by one pixel")));
}

/// In a large window the wood takes what room there is, and the words below it stay in the window.
#[test]
fn wood_side_by_side_grows_with_the_window() {
    let mut harness = at_least_size(Area::SideBySide);
    let sentence = |harness: &Bench<'_>| {
        let pair = harness.state().bench().side_by_side().pair.expect("a pair is on show");
        rect(harness, &pair.sentence[1])
    };
    let small = sentence(&harness);
    harness.set_size(egui::vec2(1440.0, 900.0));
    quiet(&mut harness);
    let large = sentence(&harness);
    // The window is 200 points higher, and so is the wood.
    assert!(large.min.y > small.min.y + 150.0, "{small:?} {large:?}");
    assert!(rect(&harness, "ΔH*").max.y < 860.0);
}

/// Schedules often differ in their last step: none is cut, and none lies on the next.
#[test]
fn ways_of_a_ranking_are_told_to_their_last_step() {
    let mut harness = at_least_size(Area::Routes);
    harness.state_mut().bench_mut().apply(workbench::StartAction::Demo(workbench::demo::DEMOS[1].id.to_owned()).into());
    quiet(&mut harness);
    harness.state_mut().bench_mut().apply(FrameAction::Go(Area::Routes).into());
    quiet(&mut harness);
    let view = harness.state().bench().ranking_view();
    let rows: Vec<(String, Rect)> = view
        .shown()
        .map(|row| {
            (row.words.clone(), harness.get_all_by_role_and_label(Role::Label, &row.words).last().unwrap().rect())
        })
        .collect();
    for (words, row) in &rows {
        // Letters of 14 points are more than 6 wide on the whole; a line is 16 high.
        let lines = (row.height() / 16.0).round();
        assert!(row.width() * lines > 6.0 * words.chars().count() as f32, "{words}: {row:?}");
    }
    assert!(rows.windows(2).all(|two| two[0].1.max.y <= two[1].1.min.y + 4.0), "{rows:?}");
}
