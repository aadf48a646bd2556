//! The demo pieces: whole, sound, said to be invented, and written again as they are.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::{
    fs,
    path::{Path, PathBuf},
};

use piece::{Source, State, store};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every folder in `demo-projects`.
fn demos() -> Vec<PathBuf> {
    let entries = fs::read_dir(root().join("demo-projects")).unwrap();
    let mut demos: Vec<_> = entries.map(|entry| entry.unwrap().path()).filter(|path| path.is_dir()).collect();
    demos.sort();
    demos
}

fn photos(demo: &Path) -> Vec<PathBuf> {
    fs::read_dir(demo.join("photos")).unwrap().map(|entry| entry.unwrap().path()).collect()
}

#[test]
fn both_demos_are_there() {
    let names: Vec<_> = demos().iter().map(|demo| demo.file_name().unwrap().to_owned()).collect();
    assert_eq!(names, ["cherry-bureau", "oak-chest"]);
}

#[test]
fn every_demo_opens_whole_and_nothing_is_wrong_with_it() {
    for demo in demos() {
        let opened = store::open(&demo).unwrap();
        assert_eq!(opened.folder.check(&opened.piece), [], "{}", demo.display());
        assert!(opened.missing_photos.is_empty() && opened.autosave.is_none(), "{}", demo.display());
    }
}

/// The photos are stored as they were rendered, and no cloth in them may be taken for what storing does.
#[test]
fn no_photo_of_a_demo_is_said_to_be_altered() {
    for photo in demos().iter().flat_map(|demo| photos(demo)) {
        let decoded = card::decode(&fs::read(&photo).unwrap(), &card::Limits::default()).unwrap();
        let reading = card::read(&decoded, &card::Request::default(), &|_| true).unwrap();
        let altered = |code: &str| matches!(code, "enlarged" | "compressed");
        let told: Vec<_> = reading.warnings.iter().map(|warning| warning.code).filter(|code| altered(code)).collect();
        assert!(reading.card.is_some() && told.is_empty(), "{}: {told:?}", photo.display());
    }
}

#[test]
fn every_demo_says_that_its_data_are_invented() {
    for demo in demos() {
        let piece = store::open(&demo).unwrap().piece;
        assert!(piece.invented && piece.note.contains("All data are invented"), "{}: {}", demo.display(), piece.note);
    }
}

#[test]
fn every_demo_is_as_the_schema_says() {
    let read = |path: &Path| serde_json::from_str::<serde_json::Value>(&fs::read_to_string(path).unwrap()).unwrap();
    let schema = jsonschema::validator_for(&read(&root().join("assets/schema/piece.schema.json"))).unwrap();
    for demo in demos() {
        let value = read(&demo.join("piece.json"));
        let errors: Vec<_> =
            schema.iter_errors(&value).map(|error| format!("{} {error}", error.instance_path)).collect();
        assert_eq!(errors, [] as [String; 0], "{}", demo.display());
    }
}

#[test]
fn every_demo_saved_elsewhere_has_the_same_bytes() {
    for demo in demos() {
        let opened = store::open(&demo).unwrap();
        let place = tempfile::tempdir().unwrap();
        let copy = place.path().join("copy");
        opened.folder.save_as(&copy, &opened.piece).unwrap();
        let same = |name: &Path| fs::read(demo.join(name)).unwrap() == fs::read(copy.join(name)).unwrap();
        assert!(same(Path::new("piece.json")), "{}: piece.json", demo.display());
        for photo in &opened.piece.photos {
            assert!(same(Path::new(&photo.file)), "{}: {}", demo.display(), photo.file);
        }
    }
}

#[test]
fn every_demo_has_four_to_eight_small_photos_and_all_are_in_the_piece() {
    for demo in demos() {
        let piece = store::open(&demo).unwrap().piece;
        let found = photos(&demo);
        assert!((4..=8).contains(&found.len()), "{}: {} photos", demo.display(), found.len());
        for photo in found {
            let bytes = fs::metadata(&photo).unwrap().len();
            assert!(bytes < 1_000_000, "{}: {bytes} bytes", photo.display());
            let within = format!("photos/{}", photo.file_name().unwrap().to_str().unwrap());
            assert!(piece.photos.iter().any(|kept| kept.file == within), "{within} is in no piece");
        }
    }
}

#[test]
fn every_demo_has_readings_in_several_states_with_errors_shared_within_a_photo() {
    for demo in demos() {
        let piece = store::open(&demo).unwrap().piece;
        let states = [
            piece.readings.iter().any(|reading| reading.state == State::BareDry),
            piece.readings.iter().any(|reading| matches!(reading.state, State::SpiritWet { .. })),
            piece.readings.iter().any(|reading| reading.state == State::ColourDry),
            piece.readings.iter().any(|reading| matches!(reading.state, State::Topcoated { .. })),
        ];
        assert_eq!(states, [true; 4], "{}", demo.display());
        for reading in &piece.readings {
            let Source::Photo { photo, .. } = &reading.source else { continue };
            let of_photo = format!("photo:{photo}:");
            let shared = reading.shared.iter().filter(|shared| shared.factor.starts_with(&of_photo)).count();
            assert!(shared >= 2, "{}: reading {}", demo.display(), reading.id);
        }
    }
}

/// The regions of the readings are in the photos.
#[test]
fn every_region_lies_within_its_photo() {
    for demo in demos() {
        let opened = store::open(&demo).unwrap();
        for reading in &opened.piece.readings {
            let Source::Photo { photo, region, .. } = &reading.source else { continue };
            let file = opened.folder.photo_path(&opened.piece.photo(*photo).unwrap().file).unwrap();
            let (width, height) = image::image_dimensions(&file).unwrap();
            let inside =
                |[x, y]: &[f64; 2]| (0.0..f64::from(width)).contains(x) && (0.0..f64::from(height)).contains(y);
            assert!(region.points_px.iter().all(inside), "{}: reading {}", demo.display(), reading.id);
        }
    }
}
