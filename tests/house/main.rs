//! The house: which crate may depend on which, and what the source of a crate may not name.
//!
//! A crate is worth having where it forbids something. These tests read every Cargo.toml and the sources, so that a
//! forbidden arrow fails before it becomes a habit.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

/// What each crate may use of ours. `scene` is absent on purpose: only the tests may use it.
const ARROWS: &[(&str, &[&str])] = &[
    ("colour", &[]),
    ("scene", &[]),
    ("card", &["colour"]),
    ("piece", &["colour"]),
    ("predict", &["colour", "piece"]),
    ("sheet", &["colour", "piece", "predict"]),
    ("workbench", &["colour", "card", "piece", "predict", "sheet"]),
    ("app", &["workbench"]),
    ("cli", &["workbench"]),
    ("tonewright", &["app", "cli"]),
];

/// Libraries that a crate may never depend on, with the reason.
const FORBIDDEN: &[(&str, &[&str], &str)] = &[
    ("colour", &["serde", "serde_json", "image", "csv"], "colour knows no file and no image"),
    ("piece", &["image", "nalgebra", "egui"], "piece does not know how a colour was measured"),
    ("predict", &["rand", "rand_pcg", "jiff", "time", "chrono"], "predict reads no clock and no unseeded randomness"),
    ("workbench", &["egui", "eframe", "rfd"], "workbench names no window and no dialog"),
    ("app", &["serde_json", "image", "palette", "nalgebra"], "app draws, and computes nothing"),
    ("cli", &["egui", "eframe", "rfd"], "cli names no window"),
];

/// Text that may not stand in a crate's sources, where it may after all, and the reason.
const UNSPOKEN: &[(&str, &[&str], &[&str], &str)] = &[
    ("colour", &["std::fs", "serde", "std::path"], &[], "colour knows no file"),
    ("card", &["image::"], &["photo"], "only card::photo names an image decoder"),
    ("piece", &["std::fs", "File::"], &["store"], "only the store of piece touches the disk"),
    ("predict", &["std::fs", "std::time", "SystemTime", "Instant::now"], &[], "predict reads no clock and no file"),
    ("workbench", &["egui", "rfd::"], &[], "workbench names no window and no dialog"),
    ("app", &["std::fs", "serde_json"], &[], "app touches no file and parses no JSON"),
    ("cli", &["egui", "eframe"], &[], "cli names no window"),
    ("scene", &["use colour", "use card", "colour::", "card::"], &[], "scene would test itself"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests lies in the workspace").to_path_buf()
}

/// Names of the dependencies in one table of a manifest (`[dependencies]`, `[dev-dependencies]`).
fn dependencies(manifest: &str, table: &str) -> BTreeSet<String> {
    let mut inside = false;
    let mut names = BTreeSet::new();
    for line in manifest.lines().map(str::trim) {
        if line.starts_with('[') {
            inside = line == format!("[{table}]");
        } else if inside && !line.is_empty() && !line.starts_with('#') {
            let name = line.split(['.', '=', ' ']).next().unwrap_or_default();
            names.insert(name.trim_matches('"').to_owned());
        }
    }
    names
}

fn manifests() -> BTreeMap<String, String> {
    let crates = root().join("crates");
    let folders = fs::read_dir(crates).expect("crates is there").map(|entry| entry.expect("readable").path());
    folders
        .map(|folder| {
            let name = folder.file_name().expect("named").to_string_lossy().into_owned();
            (name, fs::read_to_string(folder.join("Cargo.toml")).expect("each crate has a Cargo.toml"))
        })
        .collect()
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("readable").map(|entry| entry.expect("readable").path()) {
        if entry.is_dir() {
            sources(&entry, found);
        } else if entry.extension().is_some_and(|extension| extension == "rs") {
            found.push(entry);
        }
    }
}

/// Source text without comments: documentation may speak of what code may not use. Tests at the end of a file are cut.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).expect("source is readable");
    let text = text.split("#[cfg(test)]").next().unwrap_or_default().to_owned();
    text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

#[test]
fn arrows_point_down_only() {
    let manifests = manifests();
    let ours: BTreeSet<&String> = manifests.keys().collect();
    assert_eq!(ours.len(), ARROWS.len(), "a crate is missing from the list of arrows: {ours:?}");
    for (name, allowed) in ARROWS {
        let used = dependencies(&manifests[*name], "dependencies");
        assert!(!used.is_empty() || *name == "scene", "no dependencies were read of {name}");
        for dependency in used.iter().filter(|dependency| ours.contains(dependency)) {
            assert!(allowed.contains(&dependency.as_str()), "{name} may not depend on {dependency}");
        }
    }
}

#[test]
fn scene_serves_tests_only() {
    for (name, manifest) in manifests() {
        assert!(!dependencies(&manifest, "dependencies").contains("scene"), "{name} depends on scene");
    }
}

#[test]
fn forbidden_libraries_stay_out() {
    let manifests = manifests();
    for (name, libraries, reason) in FORBIDDEN {
        let used = dependencies(&manifests[*name], "dependencies");
        for library in *libraries {
            assert!(!used.contains(*library), "{name} depends on {library}: {reason}");
        }
    }
}

#[test]
fn forbidden_words_stay_out_of_sources() {
    for (name, words, except, reason) in UNSPOKEN {
        let folder = root().join("crates").join(name).join("src");
        let mut files = Vec::new();
        sources(&folder, &mut files);
        assert!(!files.is_empty(), "no sources of {name}");
        for file in files {
            let place = file.strip_prefix(&folder).expect("inside").to_string_lossy().into_owned();
            if except.iter().any(|allowed| place.starts_with(allowed)) {
                continue;
            }
            let code = code(&file);
            for word in *words {
                assert!(!code.contains(word), "{name}/src/{place} names '{word}': {reason}");
            }
        }
    }
}

#[test]
fn libraries_of_the_design_are_really_used() {
    let used_by = [
        ("egui", "app"),
        ("eframe", "app"),
        ("palette", "colour"),
        ("image", "card"),
        ("rfd", "app"),
        ("serde_json", "piece"),
    ];
    let manifests = manifests();
    for (library, name) in used_by {
        assert!(dependencies(&manifests[name], "dependencies").contains(library), "{name} does not list {library}");
        let mut files = Vec::new();
        sources(&root().join("crates").join(name).join("src"), &mut files);
        let named = format!("{library}::");
        assert!(files.iter().any(|file| code(file).contains(&named)), "{name} lists {library} and never uses it");
    }
}

#[test]
fn every_member_obeys_the_lints_and_no_code_is_unsafe() {
    for (name, manifest) in manifests() {
        assert!(manifest.contains("[lints]\nworkspace = true"), "{name} leaves the workspace lints");
    }
    let workspace = fs::read_to_string(root().join("Cargo.toml")).expect("workspace manifest");
    assert!(workspace.contains("unsafe_code = \"forbid\""));
}

#[test]
fn a_forbidden_arrow_would_be_seen() {
    let manifest = "[package]\nname = \"x\"\n[dependencies]\ncolour.workspace = true\nserde = \"1\"\n[dev-dependencies]\nscene.workspace = true\n";
    let used = dependencies(manifest, "dependencies");
    assert_eq!(used, BTreeSet::from(["colour".to_owned(), "serde".to_owned()]));
    assert_eq!(dependencies(manifest, "dev-dependencies"), BTreeSet::from(["scene".to_owned()]));
}
