//! A window without a screen, on a folder that goes away.

use std::{
    cell::RefCell,
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use app::{Start, Window};
use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::{Harness, kittest::Queryable};
use tempfile::TempDir;
use workbench::{Area, FrameAction, StartAction, Workbench, sample::oak_chest};

pub(crate) type Bench<'a> = Harness<'a, Window>;

/// Enough for the slowest machine that runs the checks; nothing is asserted about it.
const LONG: Duration = Duration::from_secs(300);

fn window(bench: Workbench) -> Bench<'static> {
    Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_max_steps(64)
        .build_eframe(move |cc| Window::new(&cc.egui_ctx, bench, Start::default()))
}

/// A window on this workbench, with everything computed that the area shows.
pub(crate) fn window_on(bench: Workbench) -> Bench<'static> {
    let mut harness = window(bench);
    quiet(&mut harness);
    harness
}

/// Types into a field in place of what stands there, and presses Enter.
pub(crate) fn type_into(harness: &mut Bench<'_>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    quiet(harness);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    quiet(harness);
    harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
    quiet(harness);
    harness.key_press(Key::Enter);
    quiet(harness);
}

/// A folder of this test's own, which goes away with the thread that the test runs in.
pub(crate) fn folder() -> PathBuf {
    thread_local! {
        static FOLDERS: RefCell<Vec<TempDir>> = const { RefCell::new(Vec::new()) };
    }
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().to_path_buf();
    FOLDERS.with_borrow_mut(|folders| folders.push(folder));
    path
}

/// The start page.
pub(crate) fn empty() -> Bench<'static> {
    let mut harness = window(Workbench::in_folder(folder()));
    quiet(&mut harness);
    harness
}

/// The oak chest in code, with everything computed that the area shows.
pub(crate) fn open() -> Bench<'static> {
    let mut bench = Workbench::in_folder(folder());
    bench.put(oak_chest());
    bench.apply(FrameAction::Go(Area::Photos).into());
    let mut harness = window(bench);
    quiet(&mut harness);
    harness
}

/// The oak chest of the demos, with its photos read.
pub(crate) fn demo() -> Bench<'static> {
    let mut bench = Workbench::in_folder(folder());
    bench.apply(StartAction::Demo(workbench::demo::DEMOS[0].id.to_owned()).into());
    let mut harness = window(bench);
    quiet(&mut harness);
    harness
}

/// A new piece with one photo that has no card in it.
pub(crate) fn with_photo() -> Bench<'static> {
    let folder = folder();
    let photo = photo_in(&folder);
    let mut bench = Workbench::in_folder(folder);
    bench.apply(StartAction::Take(vec![photo]).into());
    let mut harness = window(bench);
    quiet(&mut harness);
    harness
}

/// A small BMP of plain grey: a photo without a card.
pub(crate) fn photo_in(folder: &Path) -> PathBuf {
    bitmap(folder, "grey.bmp", 320, 240)
}

/// A BMP of plain grey.
pub(crate) fn bitmap(folder: &Path, name: &str, width: u32, height: u32) -> PathBuf {
    let stride = (width * 3).next_multiple_of(4);
    let size = 54 + stride * height;
    let mut bytes = b"BM".to_vec();
    for value in [size, 0, 54, 40, width, height] {
        bytes.extend(value.to_le_bytes());
    }
    bytes.extend(1u16.to_le_bytes());
    bytes.extend(24u16.to_le_bytes());
    for value in [0, stride * height, 2835, 2835, 0, 0] {
        bytes.extend(value.to_le_bytes());
    }
    bytes.extend(std::iter::repeat_n(128u8, (stride * height) as usize));
    std::fs::create_dir_all(folder).expect("the folder is ours");
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the folder is ours");
    path
}

/// Lets every job end and every frame settle.
pub(crate) fn quiet(harness: &mut Bench<'_>) {
    for _ in 0..2 {
        harness.run_steps(2);
        assert!(harness.state_mut().bench_mut().settle(LONG), "jobs still run");
    }
    harness.run_steps(2);
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

/// A file as the desktop drops it.
pub(crate) fn dropped(path: &Path) -> Arc<dyn egui::DroppedFile + Send + Sync> {
    Arc::new(Dropped(path.to_path_buf()))
}
