//! Photos: evenness, spots left out, the light evened, the check tile, a plain card; on the oak chest's own photos.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use workbench::{
    FrameAction, PhotosAction, ReadingId, StartAction,
    action::Tool,
    piece::{Piece, Region, Source},
};

use crate::support::{Bench, bitmap, demo, quiet, with_photo};

/// The first region read from the photo on show.
fn first_region(harness: &Bench<'_>) -> (ReadingId, Region) {
    let bench = harness.state().bench();
    let shown = bench.shown_photo().expect("a photo is on show");
    let region = |piece: &Piece| {
        piece.readings.iter().find_map(|reading| match &reading.source {
            Source::Photo { photo, region, .. } if *photo == shown => Some((reading.id, region.clone())),
            _ => None,
        })
    };
    bench.piece().and_then(|piece| region(piece)).expect("the photo has a region")
}

fn with_region() -> (Bench<'static>, ReadingId, Region) {
    let mut harness = demo();
    let (id, region) = first_region(&harness);
    harness.state_mut().bench_mut().apply(PhotosAction::ChooseRegion(Some(id)).into());
    quiet(&mut harness);
    (harness, id, region)
}

fn method(harness: &Bench<'_>, id: ReadingId) -> String {
    match &harness.state().bench().piece().unwrap().reading(id).unwrap().source {
        Source::Photo { method, .. } => method.clone(),
        other => panic!("no reading of a photo: {other:?}"),
    }
}

/// The chart's cyan is the one of its colours that lies outside sRGB (its red would be below nothing: IEC 61966-2-1 on the
/// published CIELAB). Its struck corners are explained beside the strip and under the pointer; other patches say nothing of it.
#[test]
fn struck_corners_of_patches_are_explained() {
    let harness = demo();
    let patches = harness.state().bench().patches();
    assert_eq!(patches.len(), 24);
    let published: Vec<&str> =
        patches.iter().filter(|one| one.published.out_of_gamut).map(|one| one.id.as_str()).collect();
    assert_eq!(published, ["cyan"]);
    harness.get_by_label("beyond this screen");
    for patch in &patches {
        let beyond = patch.measured.out_of_gamut || patch.published.out_of_gamut;
        let name = format!("patch {}", patch.id);
        if !beyond {
            harness.get_by_label(&name);
            continue;
        }
        let explains = |label: &str| {
            label.starts_with(&format!("{name}: "))
                && label.contains("beyond what this screen shows")
                && label.contains("as published") == patch.published.out_of_gamut
        };
        harness.get_by(|node| node.label().is_some_and(|label| explains(&label)));
    }
}

#[test]
fn how_even_a_region_is_is_told_and_drawn() {
    let (mut harness, ..) = with_region();
    let told = harness.state().bench().evenness_told().expect("the region was looked at");
    harness.get_by_label(&told.head);
    assert!(harness.state().bench().contours().is_empty(), "not asked for yet");
    harness.get_by_role_and_label(Role::Button, "Show evenness").click();
    quiet(&mut harness);
    assert!(harness.state().bench().photos().evenness_shown);
    let spots = told.spots.len();
    let drawn = harness.state().bench().contours().len();
    assert!(drawn >= spots, "{spots} spots, {drawn} lines");
    harness.key_press(Key::E);
    quiet(&mut harness);
    assert!(!harness.state().bench().photos().evenness_shown);
}

#[test]
fn spots_are_left_out_of_a_region_and_taken_in_again() {
    let (mut harness, id, _) = with_region();
    harness.get_by_role_and_label(Role::CheckBox, "Leave spots out").click();
    quiet(&mut harness);
    assert!(harness.state().bench().spots_left_out(), "{}", harness.state().bench().status().happened);
    assert!(method(&harness, id).contains("spots left out"));
    harness.state_mut().bench_mut().apply(FrameAction::Undo.into());
    quiet(&mut harness);
    assert!(!harness.state().bench().spots_left_out());
}

/// A quarter of the region left out by hand: drawn in the window, kept in the file, taken back by undo.
#[test]
fn a_place_is_left_out_by_hand_and_taken_in_again() {
    let (mut harness, id, region) = with_region();
    let before = harness.state().bench().piece().unwrap().reading(id).unwrap().clone();
    let middle = [0, 1]
        .map(|axis| region.points_px.iter().map(|point| point[axis]).sum::<f64>() / region.points_px.len() as f64);
    let place = vec![middle, region.points_px[0], region.points_px[1]];
    let act = |harness: &mut Bench<'_>, action: PhotosAction| {
        harness.state_mut().bench_mut().apply(action.into());
        quiet(harness);
    };
    let left_out =
        |harness: &Bench<'_>| harness.state().bench().regions().into_iter().find(|r| r.chosen).unwrap().left_out_px;

    harness.get_by_label("Leave a place out").click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().photos().tool, Tool::LeaveOut);
    act(&mut harness, PhotosAction::LeaveOut { reading: id, points_px: place.clone() });
    assert_eq!(harness.state().bench().photos().tool, Tool::Hand);
    assert_eq!(left_out(&harness), std::slice::from_ref(&place), "{}", harness.state().bench().status().happened);
    let told = harness.state().bench().evenness_told().expect("the region was looked at").line;
    assert!(told.contains("of it is left out of the colour"), "{told}");
    let changed = harness.state().bench().piece().unwrap().reading(id).unwrap().clone();
    assert_ne!(changed.lab, before.lab);

    // It lies on the wood: moving the region leaves it where it is.
    let moved: Vec<[f64; 2]> = region.points_px.iter().map(|[x, y]| [x + 3.0, *y]).collect();
    act(&mut harness, PhotosAction::Move { reading: id, points_px: moved });
    assert_eq!(left_out(&harness), std::slice::from_ref(&place));
    harness.get_by_label("Take the place left out in again").click_accesskit();
    quiet(&mut harness);
    assert!(left_out(&harness).is_empty());
    for _ in 0..3 {
        harness.state_mut().bench_mut().apply(FrameAction::Undo.into());
        quiet(&mut harness);
    }
    assert_eq!(*harness.state().bench().piece().unwrap().reading(id).unwrap(), before);

    let far = place.iter().map(|[x, y]| [x + 1e5, *y]).collect();
    act(&mut harness, PhotosAction::LeaveOut { reading: id, points_px: far });
    assert!(harness.state().bench().status().failed && left_out(&harness).is_empty());
}

/// Clicking corners and pressing Enter marks the place, as the help line says.
#[test]
fn a_place_to_leave_out_is_drawn_point_by_point() {
    let (mut harness, _, region) = with_region();
    harness.get_by_label("Leave a place out").click_accesskit();
    quiet(&mut harness);
    let photo = harness.get_by_label("Photo").rect();
    let size = harness.state().bench().photo_view().and_then(|(_, view)| view.size_px).unwrap();
    let scale = (photo.width() / size[0] as f32).min(photo.height() / size[1] as f32);
    let whole = egui::vec2(size[0] as f32, size[1] as f32) * scale;
    let middle = [0, 1]
        .map(|axis| region.points_px.iter().map(|point| point[axis]).sum::<f64>() / region.points_px.len() as f64);
    for corner in [region.points_px[0], region.points_px[1], middle] {
        // Somewhat inside, so that no handle of a corner takes the click.
        let px = [0, 1].map(|axis| (corner[axis] * 0.4 + middle[axis] * 0.6) as f32 * scale);
        let at = photo.center() - whole / 2.0 + egui::vec2(px[0], px[1]);
        harness.event(egui::Event::PointerMoved(at));
        for pressed in [true, false] {
            let modifiers = egui::Modifiers::NONE;
            harness.event(egui::Event::PointerButton {
                pos: at,
                button: egui::PointerButton::Primary,
                pressed,
                modifiers,
            });
            harness.run_steps(1);
        }
        harness.run_steps(60);
    }
    harness.key_press(Key::Enter);
    quiet(&mut harness);
    let bench = harness.state().bench();
    assert_eq!((bench.photos().tool, bench.places_left_out()), (Tool::Hand, 1), "{}", bench.status().happened);
}

/// A photo teaches what the tile looks like once: drawn on again, its reading takes the place of the earlier one.
#[test]
fn the_check_tile_is_read_into_its_record() {
    let (mut harness, _, region) = with_region();
    harness.get_by_label("Read which part").click_accesskit();
    quiet(&mut harness);
    harness.get_by_label("check tile").click_accesskit();
    quiet(&mut harness);
    let before = harness.state().bench().piece().unwrap().readings.len();
    let photo = harness.state().bench().shown_photo().unwrap();
    let mut colours = Vec::new();
    for points in [&region.points_px[..], &region.points_px[..3]] {
        let draw = PhotosAction::Draw { photo, points_px: points.to_vec() };
        harness.state_mut().bench_mut().apply(draw.into());
        quiet(&mut harness);
        let told = harness.state().bench().tile_told();
        assert_eq!(told.rows.len(), 1, "{}", harness.state().bench().status().happened);
        assert!(told.head.starts_with("1 reading of the tile. From 3 on"), "{}", told.head);
        colours.push(told.rows[0].1.clone());
    }
    assert!(harness.state().bench().status().happened.starts_with("Check tile read again, in place of"));
    assert_ne!(colours[0], colours[1], "the later reading is the one that stays");
    assert_eq!(harness.state().bench().piece().unwrap().readings.len(), before, "the tile is no part");
    harness.get_by_label("Take the last reading out").click_accesskit();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().tile_told().rows.len(), 0);
}

#[test]
fn a_photo_of_a_plain_board_evens_the_light_and_nothing_else_does() {
    let (mut harness, id, _) = with_region();
    let choose = |harness: &mut Bench<'_>, label: &str| {
        harness.get_by_label("Even the light").click();
        quiet(harness);
        harness.get_by_label(label).click();
        quiet(harness);
    };
    choose(&mut harness, "by photo 2");
    let status = harness.state().bench().status().clone();
    assert!(status.failed && status.happened.contains("cannot even the light"), "{}", status.happened);
    assert!(!method(&harness, id).contains("evened"));

    let size = harness.state().bench().photo_view().and_then(|(_, view)| view.size_px).unwrap();
    let board = bitmap(harness.state().bench().data_folder(), "board.bmp", size[0], size[1]);
    harness.state_mut().bench_mut().apply(StartAction::Take(vec![board]).into());
    quiet(&mut harness);
    let count = harness.state().bench().piece().unwrap().photos.len();
    let (first, board) = {
        let photos = &harness.state().bench().piece().unwrap().photos;
        (photos[0].id, photos[count - 1].id)
    };
    harness.state_mut().bench_mut().apply(PhotosAction::Show(first).into());
    quiet(&mut harness);
    choose(&mut harness, &format!("by photo {count}"));
    assert!(!harness.state().bench().status().failed, "{}", harness.state().bench().status().happened);
    assert!(method(&harness, id).ends_with(&format!("light evened by {board}")), "{}", method(&harness, id));
    assert!(harness.state().bench().thumbs()[count - 1].name.ends_with("board"));
    assert_eq!(harness.state().bench().undo_label(), Some("even the light"));
}

/// Plain paper at the corners, and nothing else: exposure and white, and no error of patches to tell.
#[test]
fn a_card_that_is_too_plain_says_so() {
    let mut harness = with_photo();
    harness.get_by_label("Which card").click();
    quiet(&mut harness);
    let cards = harness.state().bench().cards_offered();
    let (id, name, _) = cards.iter().find(|(id, ..)| id == "paper").expect("paper is known");
    harness.get_by_label(name).click();
    quiet(&mut harness);
    assert_eq!(harness.state().bench().piece().unwrap().photos[0].card.as_ref(), Some(id));
    harness.get_by_label("Use these corners").click();
    quiet(&mut harness);
    let quality = harness.state().bench().quality();
    assert_eq!(quality.verdict, "Exposure and white only", "{:?}", quality.lines);
    assert_eq!(quality.error, None);
    harness.get_by_label("Exposure and white only");
}

/// A photo that knows when it was taken (EXIF): its readings say that time, also when they are read again.
#[test]
fn a_reading_is_of_the_time_that_its_photo_was_taken() {
    let mut harness = demo();
    let file = harness.state().bench().piece().unwrap().photos[0].file.clone();
    let plain = std::fs::read(harness.state().bench().piece_folder().unwrap().join(file)).unwrap();
    let dated = harness.state().bench().data_folder().join("dated.jpg");
    std::fs::write(&dated, with_time(&plain, "2024:02:29 14:02:11")).unwrap();
    harness.state_mut().bench_mut().apply(StartAction::Take(vec![dated]).into());
    quiet(&mut harness);
    let (_, region) = {
        harness.state_mut().bench_mut().apply(PhotosAction::Show(workbench::PhotoId(1)).into());
        first_region(&harness)
    };
    let photo = harness.state().bench().piece().unwrap().photos.last().unwrap().id;
    harness.state_mut().bench_mut().apply(PhotosAction::Show(photo).into());
    quiet(&mut harness);
    let draw = PhotosAction::Draw { photo, points_px: region.points_px.clone() };
    harness.state_mut().bench_mut().apply(draw.into());
    quiet(&mut harness);
    let last = |harness: &Bench<'_>| harness.state().bench().piece().unwrap().readings.last().unwrap().clone();
    assert_eq!(last(&harness).taken, "2024-02-29T14:02:11", "{}", harness.state().bench().status().happened);
    let moved = region.points_px.iter().map(|[x, y]| [x + 3.0, *y]).collect();
    let again = PhotosAction::Move { reading: last(&harness).id, points_px: moved };
    harness.state_mut().bench_mut().apply(again.into());
    quiet(&mut harness);
    assert_eq!(last(&harness).taken, "2024-02-29T14:02:11");
}

/// A JPEG with DateTimeOriginal (0x9003) in the EXIF directory that 0x8769 of the first one points to.
///
/// # Source
/// CIPA DC-008-2012, 4.5.4 and 4.6.3; TIFF 6.0, section 2: directories of entries of 12 bytes.
fn with_time(jpeg: &[u8], time: &str) -> Vec<u8> {
    let mut tiff = b"II*\0".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: u32| {
        let mut entry = Vec::from(1u16.to_le_bytes());
        entry.extend(tag.to_le_bytes());
        entry.extend(kind.to_le_bytes());
        entry.extend(count.to_le_bytes());
        entry.extend(value.to_le_bytes());
        entry.extend(0u32.to_le_bytes());
        entry
    };
    tiff.extend(8u32.to_le_bytes());
    tiff.extend(entry(0x8769, 4, 1, 26));
    tiff.extend(entry(0x9003, 2, 20, 44));
    tiff.extend(time.bytes().chain([0]));
    let mut file = jpeg[..2].to_vec();
    file.extend([0xFF, 0xE1]);
    file.extend((2 + 6 + tiff.len() as u16).to_be_bytes());
    file.extend(b"Exif\0\0");
    file.extend(tiff);
    file.extend(&jpeg[2..]);
    file
}

/// However small the region is on screen, no number of a spot lies on another's.
#[test]
fn the_numbers_of_spots_lie_on_no_other() {
    let mut harness = demo();
    let shown = harness.state().bench().shown_photo().unwrap();
    let regions: Vec<ReadingId> = {
        let piece = harness.state().bench().piece().unwrap();
        let of_shown = |source: &Source| matches!(source, Source::Photo { photo, .. } if *photo == shown);
        piece.readings.iter().filter(|reading| of_shown(&reading.source)).map(|reading| reading.id).collect()
    };
    let mut looked_at = 0;
    harness.state_mut().bench_mut().apply(PhotosAction::ShowEvenness(true).into());
    for region in regions {
        harness.state_mut().bench_mut().apply(PhotosAction::ChooseRegion(Some(region)).into());
        quiet(&mut harness);
        let Some(told) = harness.state().bench().evenness_told().filter(|told| told.spots.len() > 1) else { continue };
        let canvas = harness.get_by_role_and_label(Role::Image, "Photo").rect();
        let mut tags: Vec<egui::Rect> = Vec::new();
        for spot in &told.spots {
            let kind = if spot.lighter { "lighter" } else { "darker" };
            for label in [spot.number.clone(), format!("{} {kind}", spot.number)] {
                let on_photo = harness.query_all_by_label(&label).map(|tag| tag.rect());
                tags.extend(on_photo.filter(|tag| canvas.intersects(*tag)));
            }
        }
        looked_at += tags.len();
        for (n, tag) in tags.iter().enumerate() {
            assert!(tags[..n].iter().all(|other| !other.shrink(1.0).intersects(*tag)), "{tags:?}");
        }
    }
    assert!(looked_at > 2, "the demo has regions with several spots: {looked_at}");
}

#[test]
fn the_difference_to_a_neighbour_is_told_with_how_sure_it_is() {
    let (harness, ..) = with_region();
    let told = harness.state().bench().told().unwrap();
    let (_, difference) = told.lines.iter().find(|(what, _)| *what == "ΔE2000").expect("the photo has two parts");
    let words: Vec<&str> = difference.split(' ').collect();
    let sure = words.iter().position(|word| *word == "±").unwrap();
    assert!(words[sure - 1].parse::<f64>().is_ok() && words[sure + 1].parse::<f64>().is_ok(), "{difference}");
    harness.get_by_label(difference);
}
