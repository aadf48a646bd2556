//! `read` on photos rendered from spectra, with the truth known.

use crate::{run, schema::keeps_to};

/// A photo of wood beside the chart, and the corners of its patch grid.
pub(crate) fn photo(folder: &tempfile::TempDir, seed: u64) -> (String, scene::Truth) {
    let scene = scene::draw(seed).expect("a scene");
    let rendered = scene::render(&scene).expect("a picture");
    let path = folder.path().join(format!("{seed}.jpg"));
    std::fs::write(&path, scene::jpeg(&rendered, &scene.file).expect("a JPEG")).expect("a temporary file");
    (path.display().to_string(), rendered.truth)
}

pub(crate) fn polygon(name: &str, points: &[[f64; 2]]) -> String {
    let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect();
    format!("{name}={}", points.join(";"))
}

#[test]
fn a_photo_beside_the_card_gives_its_corners_and_regions() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 101);
    let panel = &truth.panels[0];
    let ran = run(&["read", &path, "--region", &polygon("panel", &panel.polygon_px), "--json"], "");
    assert_eq!(ran.code, 0, "{}{}", ran.output, ran.errors);
    let read = keeps_to("read", &ran.output);
    let card = &read["card"];
    assert_eq!(card["patches"].as_array().map(Vec::len), Some(24));
    for (found, wanted) in
        card["corners_px"].as_array().expect("corners").iter().zip(truth.card_corners_px.expect("a card"))
    {
        let off = (found[0].as_f64().expect("x") - wanted[0]).hypot(found[1].as_f64().expect("y") - wanted[1]);
        assert!(off < 12.0, "a corner is {off:.1} px off");
    }
    assert_eq!(read["regions"][0]["name"], "panel");
}

#[test]
fn corners_by_hand_win_and_the_plain_table_names_its_interval() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 102);
    let corners: Vec<String> =
        truth.card_corners_px.expect("a card").iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect();
    let region = polygon("panel", &truth.panels[0].polygon_px);
    let ran = run(&["read", &path, "--corners", &corners.join(","), "--card", "chart24", "--region", &region], "");
    assert_eq!(ran.code, 0, "{}{}", ran.output, ran.errors);
    assert!(ran.output.contains("card chart24, edition "), "{}", ran.output);
    assert!(ran.output.contains("± holds 9 in 10"), "{}", ran.output);
    // Nine in ten of a normal lie within 1.645 standard deviations (NIST/SEMATECH e-Handbook, 1.3.6.7.1), told to a tenth.
    let of = ["read", &path, "--corners", &corners.join(","), "--card", "chart24", "--region", &region, "--json"];
    let covariance = &keeps_to("read", &run(&of, "").output)["regions"][0]["covariance"];
    let row = ran.output.lines().find(|line| line.trim_start().starts_with("panel ")).expect("a row of the panel");
    let told: Vec<f64> = row.split_whitespace().skip(4).take(3).map(|cell| cell.parse().expect("a number")).collect();
    for (axis, told) in told.iter().enumerate() {
        let sd = covariance[axis][axis].as_f64().expect("a variance").sqrt();
        assert!(sd > 0.3 && (told - 1.645 * sd).abs() < 0.0501, "± {told} of a standard deviation {sd}: {row}");
    }
}

/// A single patch by its corners is a card: it is named, with what it can do; here the white one of the chart is taken for paper.
#[test]
fn a_card_that_sets_exposure_and_white_only_is_named() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 102);
    // The chart has a gap of 0.15 of its pitch; the white patch is the first of the last row.
    let chart = card::grid::Grid::new(4, 6, 0.15, truth.card_corners_px.expect("a card")).expect("a grid");
    let white = [[0.0, 3.0], [0.85, 3.0], [0.85, 3.85], [0.0, 3.85]].map(|place| chart.photo_from_card(place));
    let corners: Vec<String> = white.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect();
    let of = ["read", &path, "--card", "paper", "--corners", &corners.join(",")];
    let ran = run(&of, "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{}", ran.output);
    assert!(ran.output.contains("\n  card paper, edition coated\n"), "{}", ran.output);
    assert!(!ran.output.contains("no card found") && !ran.output.contains("left out"), "{}", ran.output);
    assert_eq!(ran.output.matches("Only exposure and white are set by this card").count(), 1, "{}", ran.output);
    let record = keeps_to("read", &run(&[&of[..], &["--json"]].concat(), "").output);
    assert!(record["fit"].is_null() && record["card"]["id"] == "paper", "{record}");
}

/// Four patches in a block are anybody's window: such a card is not looked for, and its owner told to give its corners.
#[test]
fn a_card_of_few_patches_is_not_looked_for_and_that_is_said() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 102);
    let own = folder.path().join("own.json").display().to_string();
    let few = r#"{"id": "own", "name": "own card", "rows": 2, "columns": 2, "gap_fraction": 0.1, "editions": [{"id": "a", "name": "a",
        "source": "typed", "lab": [[95, 0, 0], [65, 0, 0], [50, 40, 30], [40, 10, -40]]}]}"#;
    std::fs::write(&own, few).expect("a card file");
    let ran = run(&["read", &path, "--card", &own], "");
    assert_eq!((ran.code, ran.errors.as_str()), (1, ""), "{}", ran.output);
    let told = "card-few-patches: The card 'own card' has only 4 patches, so few that they cannot be told from other things: give its four corners by hand.";
    assert!(ran.output.contains(told), "{}", ran.output);
}

#[test]
fn a_photo_without_a_card_is_an_answer_of_its_own() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("wood.png");
    let wood =
        image::RgbImage::from_fn(640, 480, |x, y| image::Rgb([150 + (x % 7) as u8 * 4, 110 + (y % 5) as u8, 70]));
    wood.save(&path).expect("a PNG");
    let ran = run(&["read", &path.display().to_string(), "--json"], "");
    assert_eq!((ran.code, ran.errors.as_str()), (1, ""));
    let read = keeps_to("read", &ran.output);
    assert!(read["card"].is_null() && read["fit"].is_null());
    let no_card =
        read["warnings"].as_array().unwrap().iter().find(|warning| warning["code"] == "no-card").expect("a warning");
    assert!(no_card["text"].as_str().is_some_and(|text| text.contains("name another card")), "{no_card}");
}

#[test]
fn one_bad_photo_does_not_stop_the_others() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 103);
    let ran = run(&["read", "no-such.jpg", &path, "--json"], "");
    assert_eq!((ran.code, ran.errors.lines().count(), ran.output.lines().count()), (2, 1, 1));
}

#[test]
fn corners_on_what_is_no_card_tell_no_colour() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("wood.png");
    let wood =
        image::RgbImage::from_fn(640, 480, |x, y| image::Rgb([120 + (x / 9 % 8) as u8 * 9, 90 + (y / 70) as u8, 60]));
    wood.save(&path).expect("a PNG");
    let corners = "100,100,500,100,500,380,100,380";
    let region = "wood=20,20;90,20;90,90;20,90";
    let ran = run(&["read", &path.display().to_string(), "--corners", corners, "--region", region, "--json"], "");
    assert_eq!((ran.code, ran.errors.as_str()), (1, ""), "{}", ran.output);
    let read = keeps_to("read", &ran.output);
    assert!(read["card"].is_null() && read["regions"].as_array().is_some_and(Vec::is_empty), "{read}");
    let codes: Vec<&str> = read["warnings"].as_array().unwrap().iter().filter_map(|w| w["code"].as_str()).collect();
    assert!(codes.contains(&"wrong-card"), "{codes:?}");
}

#[test]
fn a_place_left_out_is_told_with_its_share() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 104);
    let corners = &truth.panels[0].polygon_px;
    let middle = [0, 1].map(|axis| corners.iter().map(|corner| corner[axis]).sum::<f64>() / corners.len() as f64);
    let region = polygon("panel", corners);
    // A triangle from the middle to one side.
    let label = polygon("label", &[middle, corners[0], corners[1]]);
    let label = label.trim_start_matches("label=");
    let ran = run(&["read", &path, "--region", &region, "--leave-out", label, "--json"], "");
    assert_eq!(ran.code, 0, "{}{}", ran.output, ran.errors);
    let share = keeps_to("read", &ran.output)["regions"][0]["left_out_share"].as_f64().expect("a share");
    assert!((0.1..0.4).contains(&share), "a quarter or so of a quadrilateral: {share}");
    let plain = run(&["read", &path, "--region", &region, "--leave-out", label], "").output;
    let told = format!("panel: {:.1} % of it was left out of the colour", share * 100.0);
    assert!(plain.contains(&told), "{plain} has not '{told}'");
}

#[test]
fn a_board_photo_of_another_size_is_refused_in_one_line() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 106);
    let board = folder.path().join("board.png");
    image::RgbImage::from_pixel(320, 240, image::Rgb([150, 150, 148])).save(&board).expect("a PNG");
    let ran = run(&["read", &path, "--board", &board.display().to_string()], "");
    assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}{}", ran.output, ran.errors);
}
