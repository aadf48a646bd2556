//! Regions that `read` cannot measure, or measures with a warning: one plain line each, the others still told.

use crate::read::{photo, polygon};
use crate::{run, schema::keeps_to};

/// A region that cannot be measured is a mistake, not an answer: its line stands on standard error alone, the others still told.
#[test]
fn a_region_that_cannot_be_measured_is_a_mistake_told_once() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 107);
    let panel = polygon("panel", &truth.panels[0].polygon_px);
    for (region, code, why) in [
        ("off=99999,99999;100100,99999;100100,100100", "region-outside", "lies outside the photo"),
        ("dot=10,10;10.2,10;10.2,10.2", "region-small", "has 0 pixels"),
        (
            "wide=-100000,0;200,0;200,200;-100000,200",
            "region-outside",
            "Less than 1 % of the region 'wide' lies inside the photo",
        ),
        (
            "corner=-500,-500;300,-500;300,300;-500,300",
            "region-outside",
            "Only 14 % of the region 'corner' lies inside the photo",
        ),
        ("line=20,30;200,30;120,30", "region-no-area", "lie on one line, so it has no area: draw it again"),
        ("slope=20,30;220,130;120,80", "region-no-area", "The corners of the region 'slope' lie on one line"),
        ("tie=20,30;220,130;220,30;20,130", "region-crossed", "The sides of the region 'tie' cross"),
    ] {
        let ran = run(&["read", &path, "--region", region, "--region", &panel, "--json"], "");
        assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}{}", ran.output, ran.errors);
        assert!(ran.errors.contains(why), "{}", ran.errors);
        let record = keeps_to("read", &ran.output);
        assert_eq!(
            (record["regions"].as_array().map(Vec::len), &record["regions"][0]["name"]),
            (Some(1), &"panel".into())
        );
        let codes: Vec<&str> =
            record["warnings"].as_array().unwrap().iter().filter_map(|w| w["code"].as_str()).collect();
        assert!(codes.contains(&code), "{codes:?}");
        let plain = run(&["read", &path, "--region", region, "--region", &panel], "");
        assert_eq!(plain.errors, ran.errors);
        assert!(plain.output.contains("panel ") && !plain.output.contains(why), "told twice: {}", plain.output);
    }
}

/// What is to be left out is checked as regions are: crossed sides, and what leaves nothing of a region, are mistakes told once.
#[test]
fn a_place_left_out_that_cannot_be_meant_is_a_mistake() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 107);
    let panel = polygon("panel", &truth.panels[0].polygon_px);
    let corner = truth.panels[0].polygon_px[0];
    let [x, y] = corner.map(|at| at.round());
    let tie = format!("{x},{y};{},{};{},{y};{x},{}", x + 60.0, y + 60.0, x + 60.0, y + 60.0);
    for (left_out, why) in [
        (tie.as_str(), "The sides of a place to leave out of the region 'panel' cross"),
        (
            "-9,-9;99999,-9;99999,99999;-9,99999",
            "Nothing is left of the region 'panel' once what is to be left out is taken away",
        ),
    ] {
        let ran = run(&["read", &path, "--region", &panel, "--leave-out", left_out], "");
        assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}{}", ran.output, ran.errors);
        assert!(ran.errors.contains(why) && !ran.output.contains(why), "{}{}", ran.output, ran.errors);
    }
}

/// A place to leave out that touches no region leaves nothing out, and that is said by its number and place; one that is crossed as well
/// hinders no region that it does not touch. What touches a region is used in silence.
#[test]
fn a_place_left_out_that_touches_no_region_is_told() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 107);
    let corners = &truth.panels[0].polygon_px;
    let panel = polygon("panel", corners);
    let middle = [0, 1].map(|axis| (corners.iter().map(|corner| corner[axis]).sum::<f64>() / 4.0).round());
    let square = |[x, y]: [f64; 2]| format!("{x},{y};{},{y};{},{};{x},{}", x + 8.0, x + 8.0, y + 8.0, y + 8.0);
    let (inside, far, tie) = (square(middle), square([2.0, 4.0]), "2,4;62,64;62,4;2,64");
    let of = ["read", &path, "--region", &panel, "--leave-out", &inside, "--leave-out", &far, "--leave-out", tie];
    let ran = run(&[&of[..], &["--json"]].concat(), "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{}", ran.output);
    let record = keeps_to("read", &ran.output);
    assert!(record["regions"][0]["left_out_share"].as_f64().is_some_and(|share| share > 0.0), "{}", record["regions"]);
    let unused = record["warnings"].as_array().unwrap().iter().filter(|w| w["code"] == "left-out-unused");
    let told: Vec<&str> = unused.filter_map(|warning| warning["text"].as_str()).collect();
    assert_eq!(
        told,
        [
            "Place 2 of those to leave out, around pixel 6, 8, touches no region, so nothing was left out by it: see to its corners.",
            "Place 3 of those to leave out, around pixel 32, 34, touches no region and its sides cross, so nothing was left out by it: see to its corners.",
        ]
    );
    assert!(run(&of, "").output.contains(&format!("left-out-unused: {}", told[0])));
}

/// A patch of the card may be read as a check, but never in silence. The 19th patch is the lightest grey, 'white 9.5' (McCamy,
/// Marcus, Davidson 1976); a region on it alone reads as that, one across the card's foot in part, and one beside it not.
#[test]
fn a_region_over_the_card_names_what_of_it_is_measured() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 107);
    let [first, right, foot_right, foot] = truth.card_corners_px.expect("a card");
    // Places on the card, by shares of its width and height, as if it were seen from straight above: near enough inside a patch.
    let at = |x: f64, y: f64| {
        [0, 1]
            .map(|k| (1.0 - y) * ((1.0 - x) * first[k] + x * right[k]) + y * ((1.0 - x) * foot[k] + x * foot_right[k]))
    };
    let quad =
        |name: &str, [x0, y0, x1, y1]: [f64; 4]| polygon(name, &[at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)]);
    let (patch, half) = (quad("patch", [0.04, 0.82, 0.12, 0.95]), quad("half", [0.02, 0.6, 0.98, 1.4]));
    let panel = polygon("panel", &truth.panels[0].polygon_px);
    let ran = run(&["read", &path, "--region", &patch, "--region", &half, "--region", &panel, "--json"], "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{}", ran.output);
    let record = keeps_to("read", &ran.output);
    let on_card = record["warnings"].as_array().unwrap().iter().filter(|w| w["code"] == "region-on-card");
    let told: Vec<&str> = on_card.filter_map(|warning| warning["text"].as_str()).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].starts_with("The region 'patch' lies over the card, on its patch 'white 9.5':"), "{}", told[0]);
    // Half of its height lies on the card: the rest below.
    let (percent, rest) =
        told[1].split_once(" % of the region 'half' lies over the card, on its patches ").expect("a share");
    let percent: f64 = percent.parse().expect("a number");
    assert!((40.0..60.0).contains(&percent) && rest.starts_with("'blue', 'green', 'red' and 9 more:"), "{}", told[1]);
    let white = record["regions"][0]["lab"][0].as_f64().expect("L*");
    assert!((white - 96.5).abs() < 4.0, "the lightest patch: {white}");
}
