//! Unreadable, truncated, huge and wrong files: one clear line, exit code 2, nothing half done.

use std::fs;

use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder};

use crate::{demo_folder, refused, run};

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

fn written(folder: &tempfile::TempDir, name: &str, bytes: &[u8]) -> String {
    let path = folder.path().join(name);
    fs::write(&path, bytes).expect("a temporary file");
    path.display().to_string()
}

fn jpeg() -> Vec<u8> {
    let pixels: Vec<u8> = (0..200 * 150 * 3).map(|at| (at * 37 % 251) as u8).collect();
    let mut bytes = Vec::new();
    JpegEncoder::new(&mut bytes).write_image(&pixels, 200, 150, ExtendedColorType::Rgb8).expect("a JPEG");
    bytes
}

#[test]
fn photos_that_are_none() {
    let folder = folder();
    refused(&run(&["read", "no-such-photo.jpg"], ""), &["no-such-photo.jpg", "no such file"]);
    refused(&run(&["read", &folder.path().display().to_string()], ""), &["is a folder"]);
    refused(&run(&["read", &written(&folder, "empty.jpg", b"")], ""), &["empty.jpg", "empty"]);
    refused(&run(&["read", &written(&folder, "text.jpg", b"a letter, not a photo")], ""), &["text.jpg", "not a photo"]);
}

/// What a camera's raw file is known by, whatever its name: a DNG by its version's tag (50706), others by their filter's colours
/// (photometric 32803) or first words. TIFF 6.0, section 2; DNG 1.7, chapter 4.
#[test]
fn camera_raw_is_told_what_to_do_with() {
    let folder = folder();
    let tiff = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let entry = [&tag.to_le_bytes()[..], &kind.to_le_bytes(), &count.to_le_bytes(), &value].concat();
        [b"II\x2a\0\x08\0\0\0\x01\0".as_slice(), &entry, &[0; 4]].concat()
    };
    for (name, bytes) in [
        ("phone.dng", tiff(50_706, 1, 4, [1, 4, 0, 0])),
        ("camera.tif", tiff(262, 3, 1, [0x23, 0x80, 0, 0])),
        ("first-words.jpg", [b"IIRO\x08\0\0\0".as_slice(), &[0; 64]].concat()),
        ("film-like.raw", b"\0\0\0\x18ftypcrx \0\0\0\x01crx isom".to_vec()),
    ] {
        let told = ["a camera raw file cannot be measured from: save the photo as a 16-bit TIFF or a full-size JPEG"];
        refused(&run(&["read", &written(&folder, name, &bytes)], ""), &[&[name], &told[..]].concat());
    }
    // By its name alone nothing is raw.
    refused(&run(&["read", &written(&folder, "text.dng", b"a letter, not a photo")], ""), &["text.dng", "not a photo"]);
    refused(&run(&["read", &written(&folder, "empty.raw", b"")], ""), &["empty.raw", "0 bytes"]);
}

#[test]
fn a_photo_cut_off_in_copying() {
    let folder = folder();
    let whole = jpeg();
    let path = written(&folder, "cut.jpg", &whole[..whole.len() / 2]);
    refused(&run(&["read", &path], ""), &["cut.jpg", "cut off"]);
}

/// A header that promises 60 000 × 60 000 pixels is refused before memory is taken for them. The size stands in the
/// frame header (marker SOF0, ISO/IEC 10918-1, B.2.2): height, then width, two bytes each, after length and precision.
#[test]
fn a_photo_that_claims_to_be_huge() {
    let mut bytes = jpeg();
    let frame = bytes.windows(2).position(|pair| pair == [0xFF, 0xC0]).expect("a baseline frame");
    bytes[frame + 5..frame + 9].copy_from_slice(&[0xEA, 0x60, 0xEA, 0x60]);
    let folder = folder();
    refused(&run(&["read", &written(&folder, "huge.jpg", &bytes)], ""), &["huge.jpg", "60000"]);
}

/// What decoders say of such files is for those who build decoders: the PNG's header (PNG specification, 11.2.2) claims no pixels, or more
/// than there can be; the JPEG has lost bytes in its middle.
#[test]
fn damaged_photos_are_told_in_plain_words() {
    let mut png = Vec::new();
    let pixels = [90; 8 * 8 * 3];
    image::codecs::png::PngEncoder::new(&mut png).write_image(&pixels, 8, 8, ExtendedColorType::Rgb8).expect("a PNG");
    let claiming = |side: u32| [&png[..16], &side.to_be_bytes(), &side.to_be_bytes(), &png[24..]].concat();
    let whole = jpeg();
    let gap = [&whole[..whole.len() / 2], &whole[whole.len() / 2 + 2000..]].concat();
    let folder = folder();
    for (name, bytes, told) in [
        ("none.png", claiming(0), "the PNG is damaged (it has no pixels): copy it from the camera again"),
        (
            "huge.png",
            claiming(0x7FFF_FFFF),
            "the PNG says it is 2147483647 × 2147483647 pixels; at most 160 megapixels",
        ),
        ("gap.jpg", gap, "the JPEG is damaged (its picture data make no sense): copy it from the camera again"),
    ] {
        refused(&run(&["read", &written(&folder, name, &bytes)], ""), &[name, told]);
    }
}

#[test]
fn corners_and_regions_that_make_no_sense() {
    let folder = folder();
    let photo = written(&folder, "photo.jpg", &jpeg());
    refused(&run(&["read", &photo, "--corners", "1,2,3"], ""), &["--corners", "eight numbers"]);
    refused(&run(&["read", &photo, "--corners", "1,1,1,1,1,1,1,1"], ""), &["corners"]);
    refused(&run(&["read", &photo, "--region", "top=1,1;2,2"], ""), &["--region", "three corners"]);
    refused(&run(&["read", &photo, "--region", "1,1;2,2;3,3"], ""), &["--region", "NAME="]);
    let twice = ["read", &photo, "--region", "top=1,1;9,1;9,9", "--region", "top=2,2;9,2;9,9"];
    refused(&run(&twice, ""), &["top", "twice"]);
    refused(&run(&["read", &photo, "--region", "a\nb=1,1;9,1;9,9"], ""), &["--region", "NAME="]);
    refused(&run(&["read", &photo, "--card", "no-such-card"], ""), &["no-such-card", "card file"]);
}

#[test]
fn card_files_that_are_none() {
    let folder = folder();
    refused(&run(&["cards", "no-such-card.json"], ""), &["no-such-card.json", "no such file"]);
    refused(&run(&["cards", &written(&folder, "card.json", b"{\"id\": 3}")], ""), &["card.json", "line 1"]);
    refused(&run(&["cards", &written(&folder, "bytes.json", &[0xFF, 0xFE, 0])], ""), &["bytes.json", "not text"]);
}

#[test]
fn pieces_that_are_none() {
    let folder = folder();
    let path = folder.path().display().to_string();
    for command in ["compare", "routes", "next", "check"] {
        let ran = run(&[command, &path], "");
        refused(&ran, &["piece.json"]);
        assert_eq!(ran.errors.matches(&path).count(), 1, "the folder is named once: {}", ran.errors);
    }
    written(&folder, "piece.json", b"{\"version\": 1, \"name\": 7}");
    refused(&run(&["check", &path], ""), &["piece.json", "name"]);
    written(&folder, "piece.json", b"{\"version\": 999}");
    refused(&run(&["check", &path], ""), &["999", "newer"]);
}

#[test]
fn a_part_that_is_not_there() {
    let ran = run(&["rank", &demo_folder("oak-chest"), "--part", "lid"], "");
    refused(&ran, &["lid", "front four"]);
}

#[test]
fn a_sheet_that_cannot_be_written_leaves_nothing_behind() {
    let chest = demo_folder("oak-chest");
    let folder = folder();
    let into = |name: &str| folder.path().join(name).display().to_string();
    refused(
        &run(&["sheet", &chest, "-o", &into("no/such/folder.html")], ""),
        &["no/such/folder.html", "there is no folder"],
    );
    refused(&run(&["sheet", &chest, "-o", &into("sheet.docx")], ""), &["sheet.docx", ".html"]);
    assert_eq!(fs::read_dir(folder.path()).expect("readable").count(), 0);
}

/// A number that cannot have been meant is refused in one line of a readable length, with where it stands, by whatever opens the piece;
/// one that is only out of range is told as short by `check`.
#[test]
fn a_number_too_large_to_be_meant_is_refused_where_it_stands_and_not_printed_in_full() {
    use crate::assumed::{demo_value, folder_with};
    let chest = demo_value("oak-chest");
    let put = |place: &str, number: f64| {
        let mut value = chest.clone();
        *value.pointer_mut(place).unwrap_or_else(|| panic!("{place}")) = number.into();
        folder_with(&value)
    };
    for (place, path_of_it) in [
        ("/parts/0/area_m2", "parts[0].area_m2"),
        ("/tolerances/fronts_de00", "tolerances.fronts_de00"),
        ("/trials/3/stages/1/step/dye/grams_per_litre", "trials[3].stages[1].step.dye.grams_per_litre"),
        ("/readings/0/lab/0", "readings[0].lab[0]"),
    ] {
        let (folder, path) = put(place, 1e300);
        let sheet = folder.path().join("sheet.html").display().to_string();
        for arguments in [
            vec!["check", &path],
            vec!["compare", &path],
            vec!["rank", &path, "--part", "carcass"],
            vec!["routes", &path],
            vec!["next", &path],
            vec!["sheet", &path, "-o", &sheet],
        ] {
            let ran = run(&arguments, "");
            refused(&ran, &["piece.json", path_of_it, "1e+300", "mend it there"]);
            assert!(ran.errors.len() < 300, "{}", ran.errors);
        }
        let (_folder, path) = put(place, 123_456_789.5);
        let ran = run(&["check", &path], "");
        assert_eq!(ran.code, 1, "{}", ran.errors);
        assert!(ran.output.contains(" is 1.234567895e8: expected "), "{}", ran.output);
    }
    let ran = run(&["differ"], "L1,a1,b1,L2,a2,b2\n1e300,0,0,50,0,0\n");
    refused(&ran, &["line 2", "L* is 1e300", "between 0 and 100"]);
    assert!(ran.errors.len() < 300, "{}", ran.errors);
    let photo = format!("{}/photos/2-front-bare-dry.jpg", crate::demo_folder("oak-chest"));
    for option in ["--leave-out", "--region"] {
        let text = if option == "--region" { "a=1e300,1;5,5;1,5" } else { "1e300,1;5,5;1,5" };
        let ran = run(&["read", &photo, option, text], "");
        assert!(
            ran.code == 2 && ran.errors.len() < 400 && ran.errors.contains("none beyond a million"),
            "{}",
            ran.errors
        );
    }
}

/// Which of two parts of one name is meant nobody can tell.
#[test]
fn a_name_that_two_parts_have_is_refused() {
    let mut bureau = crate::assumed::demo_value("cherry-bureau");
    let name = bureau["parts"][1]["name"].clone();
    bureau["parts"][2]["name"] = name.clone();
    let (_folder, path) = crate::assumed::folder_with(&bureau);
    let name = name.as_str().expect("a name");
    refused(&run(&["rank", &path, "--part", name], ""), &[name, "2 parts have this name", "p2, p3"]);
}
