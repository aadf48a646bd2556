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
fn the_tile_record_grows_with_each_reading_and_counts_from_the_third_on() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 105);
    let panel = polygon("panel", &truth.panels[0].polygon_px);
    let place = panel.trim_start_matches("panel=").to_owned();
    let record = folder.path().join("tile.json").display().to_string();
    for count in 1..=3 {
        let ran = run(&["read", &path, "--tile", &place, "--tile-record", &record, "--json"], "");
        assert_eq!(ran.code, 0, "{}{}", ran.output, ran.errors);
        let kept: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(&record).unwrap()).unwrap();
        assert_eq!(kept["readings"].as_array().map(Vec::len), Some(count));
    }
    let plain = run(&["read", &path, "--tile", &place, "--tile-record", &record], "");
    assert!(
        plain.output.contains("check tile: L* ") && plain.output.contains("at a time not noted"),
        "{}",
        plain.output
    );
    let with = run(&["read", &path, "--region", &panel, "--tile-record", &record, "--json"], "");
    assert_eq!((with.code, with.errors.as_str()), (0, ""), "{}", with.output);
    let text = std::fs::read_to_string(&record).unwrap();
    std::fs::write(&record, &text[..text.len() / 2]).unwrap();
    let broken = run(&["read", &path, "--tile-record", &record], "");
    assert_eq!((broken.code, broken.output.as_str(), broken.errors.lines().count()), (2, "", 1), "{}", broken.errors);
}

/// A region that cannot be measured is a mistake, not an answer: one line, the others still told.
#[test]
fn a_region_outside_the_photo_or_of_no_size_is_a_mistake() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 107);
    let panel = polygon("panel", &truth.panels[0].polygon_px);
    for (region, why) in [
        ("off=99999,99999;100100,99999;100100,100100", "lies outside the photo"),
        ("dot=10,10;10.2,10;10.2,10.2", "has 0 pixels"),
        ("wide=-100000,0;200,0;200,200;-100000,200", "Less than 1 % of the region 'wide' lies inside the photo"),
        ("corner=-500,-500;300,-500;300,300;-500,300", "Only 14 % of the region 'corner' lies inside the photo"),
    ] {
        let ran = run(&["read", &path, "--region", region, "--region", &panel, "--json"], "");
        assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}{}", ran.output, ran.errors);
        assert!(ran.errors.contains(why), "{}", ran.errors);
        assert_eq!(keeps_to("read", &ran.output)["regions"][0]["name"], "panel");
    }
}

/// A tile that is not in the photo teaches nothing of drift: it is no reading of it, and said.
#[test]
fn a_tile_outside_the_photo_is_a_mistake_too() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 109);
    let record = folder.path().join("tile.json");
    let place = "99999,99999;100100,99999;100100,100100";
    let ran = run(&["read", &path, "--tile", place, "--tile-record", &record.display().to_string(), "--json"], "");
    assert_eq!(ran.code, 2, "{}", ran.errors);
    assert!(
        ran.errors.lines().last().is_some_and(|line| line.contains("'check tile' lies outside the photo")),
        "{}",
        ran.errors
    );
    assert!(!record.exists(), "no record is begun with nothing");
}

#[test]
fn a_tile_record_that_is_not_there_is_begun_with_a_tile_alone() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, _) = photo(&folder, 108);
    let record = folder.path().join("none.json");
    let ran = run(&["read", &path, "--tile-record", &record.display().to_string()], "");
    assert_eq!((ran.code, ran.output.as_str(), ran.errors.lines().count()), (2, "", 1), "{}", ran.errors);
    assert!(ran.errors.contains("--tile") && !record.exists(), "{}", ran.errors);
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
