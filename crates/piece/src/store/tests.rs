use std::{fs::FileTimes, time::SystemTime};

use super::*;
use crate::{Edit, PhotoEdit, PieceEdit, apply, sample};

/// A folder with the sample piece, its photo missing.
fn chest() -> (tempfile::TempDir, Folder) {
    let place = tempfile::tempdir().unwrap();
    let folder = create(&place.path().join("chest"), &sample::piece()).unwrap();
    (place, folder)
}

fn noted(piece: &Piece, note: &str) -> Piece {
    apply(piece, &Edit::Piece(PieceEdit::Note(note.into()))).unwrap()
}

fn text(folder: &Folder, name: &str) -> Option<String> {
    fs::read_to_string(folder.path().join(name)).ok()
}

#[test]
fn a_new_piece_is_made_saved_and_opened() {
    let (_place, folder) = chest();
    let opened = open(folder.path()).unwrap();
    assert_eq!(opened.piece, sample::piece());
    assert!(opened.autosave.is_none());
    assert_eq!(opened.missing_photos, [PhotoId(1)]);
    assert!(folder.path().join("photos").is_dir());
    assert_eq!(open(&folder.path().join("piece.json")).unwrap().piece, sample::piece());
    let error = create(folder.path(), &sample::piece()).unwrap_err().to_string();
    assert!(error.ends_with("chest: there is a piece here already: open it, or choose another folder"), "{error}");
}

#[test]
fn a_folder_without_a_piece_says_what_to_do() {
    let place = tempfile::tempdir().unwrap();
    for path in [place.path().to_path_buf(), place.path().join("nowhere")] {
        let error = open(&path).unwrap_err().to_string();
        assert!(
            error.ends_with("there is no piece.json here: choose the folder of a piece, or make a new piece"),
            "{error}"
        );
    }
    fs::write(place.path().join("piece.json"), [0xff, 0xfe, 0x00]).unwrap();
    assert!(open(place.path()).unwrap_err().to_string().contains("is not text in UTF-8"));
}

#[test]
fn a_save_keeps_the_version_before_and_leaves_nothing_else() {
    let (_place, mut folder) = chest();
    let first = text(&folder, PIECE_FILE).unwrap();
    let changed = noted(&sample::piece(), "changed");
    folder.save(&changed).unwrap();
    assert_eq!(text(&folder, BACKUP_FILE).unwrap(), first);
    assert_eq!(open(folder.path()).unwrap().piece, changed);
    let mut names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["photos", "piece.json", "piece.json.bak"]);
}

#[test]
fn nothing_is_written_where_nothing_changed() {
    let (_place, folder) = chest();
    // As another hand might lay it out.
    let squeezed = serde_json::from_str::<serde_json::Value>(&text(&folder, PIECE_FILE).unwrap()).unwrap().to_string();
    fs::write(folder.path().join(PIECE_FILE), &squeezed).unwrap();
    let mut opened = open(folder.path()).unwrap();
    opened.folder.save(&opened.piece).unwrap();
    assert_eq!(text(&folder, PIECE_FILE).unwrap(), squeezed);
    assert_eq!(text(&folder, BACKUP_FILE), None);
}

#[test]
fn unknown_fields_survive_open_edit_and_save() {
    let (_place, folder) = chest();
    let with =
        text(&folder, PIECE_FILE).unwrap().replace(r#""name": "flap","#, r#""name": "flap", "moisture_percent": 8.5,"#);
    fs::write(folder.path().join(PIECE_FILE), &with).unwrap();
    let mut opened = open(folder.path()).unwrap();
    opened.folder.save(&noted(&opened.piece, "changed")).unwrap();
    assert!(text(&folder, PIECE_FILE).unwrap().contains(r#""moisture_percent": 8.5"#));
}

/// A copy in another place is no loss either: not of what a newer version wrote, nor after an edit.
#[test]
fn unknown_fields_go_along_into_a_copy() {
    let (place, folder) = chest();
    let with =
        text(&folder, PIECE_FILE).unwrap().replace(r#""name": "flap","#, r#""name": "flap", "moisture_percent": 8.5,"#);
    let with = with.replacen('{', r#"{ "shop": { "bench": 2 }, "#, 1);
    fs::write(folder.path().join(PIECE_FILE), &with).unwrap();
    let opened = open(folder.path()).unwrap();
    let copy = opened.folder.save_as(&place.path().join("copy"), &noted(&opened.piece, "a copy")).unwrap();
    let value: serde_json::Value = serde_json::from_str(&text(&copy, PIECE_FILE).unwrap()).unwrap();
    let flap = value["parts"].as_array().unwrap().iter().find(|part| part["name"] == "flap").unwrap();
    assert_eq!((&flap["moisture_percent"], &value["shop"]["bench"]), (&8.5.into(), &2.into()));
    assert_eq!(text(&folder, PIECE_FILE).unwrap(), with);
}

/// Whoever has the file open, another program or a backup that runs, has the whole of the old one.
#[cfg(unix)]
#[test]
fn a_save_leaves_the_old_file_to_who_has_it_open() {
    use std::io::Read;
    let (_place, mut folder) = chest();
    let before = text(&folder, PIECE_FILE).unwrap();
    let mut old = fs::File::open(folder.path().join(PIECE_FILE)).unwrap();
    folder.save(&noted(&sample::piece(), "changed")).unwrap();
    let mut still = String::new();
    old.read_to_string(&mut still).unwrap();
    assert_eq!(still, before);
    assert!(text(&folder, PIECE_FILE).unwrap().contains("changed"));
}

/// The way back is named where there is one, and only there.
#[test]
fn the_version_before_is_advised_where_it_is() {
    let (_place, mut folder) = chest();
    let spoil = |folder: &Folder, bytes: &[u8]| fs::write(folder.path().join(PIECE_FILE), bytes).unwrap();
    let told = |folder: &Folder| open(folder.path()).unwrap_err().to_string();
    let damages: [&[u8]; 3] = [b"{ \"version\": 1, \"na", b"{ \"version\": 1 }", &[0xff, 0xfe, 0x00]];
    for damage in damages {
        spoil(&folder, damage);
        assert!(!told(&folder).contains(".bak"), "{}", told(&folder));
    }
    spoil(&folder, folder.on_disk.clone().unwrap().1.as_bytes());
    folder.save(&noted(&sample::piece(), "changed")).unwrap();
    for damage in damages {
        spoil(&folder, damage);
        assert!(told(&folder).ends_with("or go back to the version before it, piece.json.bak"), "{}", told(&folder));
    }
}

#[test]
fn what_another_program_wrote_is_not_lost() {
    let (_place, mut folder) = chest();
    let theirs = noted(&sample::piece(), "theirs");
    open(folder.path()).unwrap().folder.save(&theirs).unwrap();
    let ours = noted(&sample::piece(), "ours");
    let error = folder.save(&ours).unwrap_err();
    assert!(matches!(error, Error::ChangedOnDisk { .. }), "{error}");
    assert_eq!(open(folder.path()).unwrap().piece, theirs);
    folder.save_over(&ours).unwrap();
    assert_eq!(open(folder.path()).unwrap().piece, ours);
    assert_eq!(file::read(&text(&folder, BACKUP_FILE).unwrap()).unwrap().0, theirs);
}

#[test]
fn a_save_that_fails_leaves_the_old_file() {
    let (_place, mut folder) = chest();
    let before = text(&folder, PIECE_FILE).unwrap();
    // The place of the backup cannot be taken, so the save cannot begin.
    fs::create_dir_all(folder.path().join(BACKUP_FILE).join("in the way")).unwrap();
    let error = folder.save(&noted(&sample::piece(), "changed")).unwrap_err().to_string();
    assert!(
        error.contains("piece.json.bak: cannot be written") && error.contains("the old file is untouched"),
        "{error}"
    );
    assert_eq!(text(&folder, PIECE_FILE).unwrap(), before);
    // What could not be read back is never written.
    let mut broken = sample::piece();
    sample::changed(&mut broken.readings, 0, |reading| reading.lab.a = f64::INFINITY);
    assert!(folder.save(&broken).is_err());
    assert_eq!(text(&folder, PIECE_FILE).unwrap(), before);
}

#[test]
fn an_autosave_is_offered_if_newer_and_gone_after_a_save() {
    let (_place, mut folder) = chest();
    let changed = noted(&sample::piece(), "not saved yet");
    folder.autosave(&changed).unwrap();
    let found = open(folder.path()).unwrap().autosave.unwrap();
    assert_eq!(found.piece, changed);
    // An older one is not offered, nor one that says the same.
    let file = fs::File::options().write(true).open(folder.path().join(AUTOSAVE_FILE)).unwrap();
    file.set_times(FileTimes::new().set_modified(SystemTime::UNIX_EPOCH)).unwrap();
    assert!(open(folder.path()).unwrap().autosave.is_none());
    folder.autosave(&sample::piece()).unwrap();
    assert!(open(folder.path()).unwrap().autosave.is_none());
    // One that is cut short is no reason not to open the piece.
    fs::write(folder.path().join(AUTOSAVE_FILE), "{\"version\": 1, \"na").unwrap();
    assert!(open(folder.path()).unwrap().autosave.is_none());
    folder.save(&changed).unwrap();
    assert_eq!(text(&folder, AUTOSAVE_FILE), None);
}

#[test]
fn photos_are_taken_in_read_and_missed() {
    let (place, folder) = chest();
    let from = place.path().join("wet.jpg");
    fs::write(&from, "a photo").unwrap();
    let within = folder.take_in_photo(&from).unwrap();
    let piece = apply(&sample::piece(), &Edit::Photo(PhotoEdit::Add(sample::photo(&within)))).unwrap();
    assert_eq!(folder.read_photo(&within).unwrap(), b"a photo");
    assert_eq!(folder.missing_photos(&piece), [PhotoId(1)]);
    let told = folder.check(&piece);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].at, "photo f1");
    assert!(matches!(folder.read_photo("../wet.jpg"), Err(Error::PathEscapes { .. })));
    assert!(folder.read_photo("photos/dry.jpg").unwrap_err().to_string().contains("dry.jpg: the photo cannot be read"));
    // A copy has the photos too.
    let copy = folder.save_as(&place.path().join("copy"), &piece).unwrap();
    assert_eq!(copy.read_photo(&within).unwrap(), b"a photo");
    assert_eq!(open(copy.path()).unwrap().piece, piece);
}
