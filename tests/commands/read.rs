//! `read` on photos rendered from spectra, with the truth known.

use crate::{run, schema::keeps_to};

/// A photo of wood beside the chart, and the corners of its patch grid.
fn photo(folder: &tempfile::TempDir, seed: u64) -> (String, scene::Truth) {
    let scene = scene::draw(seed).expect("a scene");
    let rendered = scene::render(&scene).expect("a picture");
    let path = folder.path().join(format!("{seed}.jpg"));
    std::fs::write(&path, scene::jpeg(&rendered, &scene.file).expect("a JPEG")).expect("a temporary file");
    (path.display().to_string(), rendered.truth)
}

fn polygon(name: &str, points: &[[f64; 2]]) -> String {
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
    assert!(read["warnings"].as_array().is_some_and(|warnings| !warnings.is_empty()));
}

#[test]
fn one_bad_photo_does_not_stop_the_others() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 103);
    let ran = run(&["read", "no-such.jpg", &path, "--json"], "");
    assert_eq!((ran.code, ran.errors.lines().count(), ran.output.lines().count()), (2, 1, 1));
}
