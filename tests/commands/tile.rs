//! The check tile: what its record takes in, and what it says.

use crate::read::{photo, polygon};
use crate::{refused, run, schema::keeps_to};

/// Photos of a bench and where its first panel lies, and the place of a record.
struct Shop {
    folder: tempfile::TempDir,
    photos: Vec<(String, String)>,
    record: String,
}

fn shop(seeds: &[u64]) -> Shop {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let of = |seed: &u64| {
        let (path, truth) = photo(&folder, *seed);
        (path, polygon("panel", &truth.panels[0].polygon_px).trim_start_matches("panel=").to_owned())
    };
    let photos = seeds.iter().map(of).collect();
    let record = folder.path().join("tile.json").display().to_string();
    Shop { folder, photos, record }
}

/// Each photo is one reading, counted with itself; from three on the drift is told, as its own standard deviations times 1.645
/// (nine in ten of a normal: NIST/SEMATECH e-Handbook, 1.3.6.7.1), and stands in the error of what is read then. It is as much
/// in the error of each region of a photo, and in that of no difference.
#[test]
fn the_tile_record_grows_with_each_photo_and_tells_the_drift() {
    // Three woods much alike stand in for one tile.
    let shop = shop(&[104, 102, 126]);
    for (count, (path, place)) in (1..).zip(&shop.photos) {
        let ran = run(&["read", path, "--tile", place, "--tile-record", &shop.record, "--json"], "");
        assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{}", ran.output);
        let tile = keeps_to("read", &ran.output)["check_tile"].clone();
        assert_eq!(
            (&tile["readings"], &tile["again"], &tile["counted_readings"]),
            (&count.into(), &false.into(), &0.into())
        );
        assert_eq!((tile["lab"].is_null(), tile["drift_sd"].is_null()), (false, count < 3), "{tile}");
        let kept: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(&shop.record).unwrap()).unwrap();
        assert_eq!(kept["readings"].as_array().map(Vec::len), Some(count));
    }
    let (path, place) = &shop.photos[0];
    let regions = [format!("one={place}"), format!("two={}", wider(place))];
    let of = ["read", path, "--region", &regions[0], "--region", &regions[1]];
    let with = run(&[&of[..], &["--tile-record", &shop.record, "--json"]].concat(), "");
    assert_eq!((with.code, with.errors.as_str()), (0, ""), "{}", with.output);
    let (with, without) =
        (keeps_to("read", &with.output), keeps_to("read", &run(&[&of[..], &["--json"]].concat(), "").output));
    let tile = &with["check_tile"];
    assert_eq!(
        (&tile["counted_readings"], tile["lab"].is_null(), without["check_tile"].is_null()),
        (&3.into(), true, true)
    );
    assert_eq!(with["regions"].as_array().map(Vec::len), Some(2));
    for (more, less) in with["regions"].as_array().unwrap().iter().zip(without["regions"].as_array().unwrap()) {
        let variance = |region: &serde_json::Value| region["covariance"][0][0].as_f64().unwrap();
        let drift = tile["drift_sd"][0].as_f64().unwrap().powi(2);
        // A new reading is off by more than the drift known from three: (1 + 1/3)·6/4 of it, as `card::tile` has it.
        assert!((variance(more) - variance(less) - 2.0 * drift).abs() < 1e-6 * (1.0 + drift), "{more}");
    }
    for end in ["low", "high"] {
        let of = |record: &serde_json::Value| record["differences"][0]["dl"][end].as_f64().unwrap();
        assert!((of(&with) - of(&without)).abs() < 1e-6, "{} {}", of(&with), of(&without));
    }
    let plain = run(&[&of[..], &["--tile-record", &shop.record]].concat(), "");
    let half = |axis: usize| format!("{:.1}", 1.645 * tile["drift_sd"][axis].as_f64().unwrap());
    let said = format!("check tile: 3 readings drift by ± {} L*, {} a*, {} b*.", half(0), half(1), half(2));
    assert!(plain.output.lines().last().is_some_and(|line| line.starts_with(&said)), "{} has not {said}", plain.output);
}

/// A place somewhat larger about its middle: corners of a polygon as they are written.
fn wider(place: &str) -> String {
    let corners: Vec<Vec<f64>> =
        place.split(';').map(|corner| corner.split(',').map(|number| number.parse().unwrap()).collect()).collect();
    let middle = [0, 1].map(|axis| corners.iter().map(|corner| corner[axis]).sum::<f64>() / corners.len() as f64);
    let wide =
        |corner: &Vec<f64>| [0, 1].map(|axis| format!("{:.1}", 1.05 * corner[axis] - 0.05 * middle[axis])).join(",");
    corners.iter().map(wide).collect::<Vec<_>>().join(";")
}

/// One photo is one reading, by whatever name it is given and wherever on the tile: the later takes the place of the earlier.
#[test]
fn a_photo_read_again_is_no_new_reading() {
    let shop = shop(&[105]);
    let (path, place) = &shop.photos[0];
    let copy = shop.folder.path().join("copy.jpg").display().to_string();
    std::fs::copy(path, &copy).expect("a copy");
    let first = run(&["read", path, "--tile", place, "--tile-record", &shop.record], "");
    assert_eq!((first.code, first.errors.as_str()), (0, ""));
    assert!(
        first.output.contains("check tile: L* ") && first.output.contains("at a time not noted\n"),
        "{}",
        first.output
    );
    assert!(
        first
            .output
            .ends_with("check tile: 1 reading of the tile. From 3 on, what they differ by enters the stated error.\n")
    );
    for (photos, place) in [(vec![path.as_str()], wider(place)), (vec![&copy, path], place.clone())] {
        let again = run(&[&["read"], &photos[..], &["--tile", &place, "--tile-record", &shop.record]].concat(), "");
        assert_eq!((again.code, again.errors.as_str()), (0, ""));
        let told =
            again.output.matches("this photo is in the record already: its reading gives way to this one").count();
        assert_eq!(told, photos.len(), "{}", again.output);
        assert!(again.output.contains("check tile: 1 reading of the tile."), "{}", again.output);
    }
}

/// Wood read in place of the tile would make all that is read later look uncertain: the record stays as it was, and the rest of the
/// photo is told.
#[test]
fn what_is_plainly_not_the_tile_is_left_out_of_the_record() {
    let shop = shop(&[109]);
    let (path, place) = &shop.photos[0];
    assert_eq!(run(&["read", path, "--tile", place, "--tile-record", &shop.record], "").code, 0);
    let mut record: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(&shop.record).unwrap()).unwrap();
    record["readings"][0]["lab"] = serde_json::json!([20.0, 30.0, 40.0]);
    for key in ["content", "taken"] {
        record["readings"][0].as_object_mut().unwrap().remove(key);
    }
    std::fs::write(&shop.record, record.to_string()).unwrap();
    let ran = run(&["read", path, "--tile", place, "--tile-record", &shop.record, "--json"], "");
    assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}", ran.errors);
    assert!(ran.errors.contains("draw the place on the tile"), "{}", ran.errors);
    let told = keeps_to("read", &ran.output);
    assert!(told["check_tile"]["lab"].is_null() && !told["card"].is_null(), "{told}");
    let after: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(&shop.record).unwrap()).unwrap();
    assert_eq!(after, record);
}

/// A tile that is not in the photo teaches nothing of drift: it is no reading of it, and said.
#[test]
fn a_tile_outside_the_photo_is_a_mistake_too() {
    let shop = shop(&[109]);
    let (path, _) = &shop.photos[0];
    let place = "99999,99999;100100,99999;100100,100100";
    let ran = run(&["read", path, "--tile", place, "--tile-record", &shop.record, "--json"], "");
    assert_eq!((ran.code, ran.errors.lines().count()), (2, 1), "{}", ran.errors);
    assert!(ran.errors.contains("The region 'check tile' lies outside the photo"), "{}", ran.errors);
    assert!(keeps_to("read", &ran.output)["check_tile"]["lab"].is_null());
    assert!(!std::path::Path::new(&shop.record).exists(), "no record is begun with nothing");
}

#[test]
fn a_record_that_is_not_there_or_broken_and_a_name_that_is_taken_are_refused() {
    let shop = shop(&[108]);
    let (path, place) = &shop.photos[0];
    refused(&run(&["read", path, "--tile-record", &shop.record], ""), &["--tile", "no such record"]);
    assert!(!std::path::Path::new(&shop.record).exists());
    let named = format!("check tile={place}");
    let twice = ["read", path, "--tile", place, "--tile-record", &shop.record, "--region", &named];
    refused(&run(&twice, ""), &["'check tile'", "name the region differently"]);
    let plain = run(&["read", path, "--region", &named], "");
    assert!(
        plain.code == 0 && plain.output.contains("check tile  "),
        "without a tile it is a name like any: {}",
        plain.output
    );
    std::fs::write(&shop.record, "{\"version\": 1, \"rea").unwrap();
    refused(&run(&["read", path, "--tile-record", &shop.record], ""), &["is no record of a check tile"]);
}
