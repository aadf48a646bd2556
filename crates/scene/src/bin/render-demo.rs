//! `render-demo [NAME…]`, run in the workspace's folder: renders the photos of the demo pieces described in
//! `crates/scene/demo/NAME.json` into `demo-projects/NAME/photos`, and writes their truths to
//! `crates/scene/demo/NAME.truth.json`. Without a name: all pieces.

use scene::demo::{Description, PhotoTruth};
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

const DESCRIPTIONS: &str = "crates/scene/demo";
const PIECES: &str = "demo-projects";

fn main() -> ExitCode {
    let mut names: Vec<String> = std::env::args().skip(1).collect();
    if names.is_empty() {
        names = ["oak-chest", "cherry-bureau"].map(String::from).to_vec();
    }
    for name in names {
        if let Err(err) = piece(&name) {
            let _ = writeln!(std::io::stderr().lock(), "{name}: {err}");
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

fn piece(name: &str) -> Result<(), Box<dyn std::error::Error>> {
    let described = Path::new(DESCRIPTIONS).join(format!("{name}.json"));
    let text = std::fs::read_to_string(&described)
        .map_err(|err| format!("{}: {err}; run this in the workspace's folder", described.display()))?;
    let description = Description::from_json(&text)?;
    let folder = Path::new(PIECES).join(&description.piece).join("photos");
    std::fs::create_dir_all(&folder)?;
    let mut truths = Vec::new();
    for photo in &description.photos {
        let scene = description.scene(photo)?;
        let rendered = scene::render(&scene)?;
        let bytes = scene::jpeg(&rendered, &scene.file)?;
        let out = folder.join(&photo.file);
        std::fs::write(&out, &bytes)?;
        writeln!(std::io::stdout().lock(), "{}: {} kB", out.display(), bytes.len() / 1000)?;
        let state = |name: &str| photo.panels.iter().find(|panel| panel.name == name).map(|panel| panel.state.clone());
        let states = rendered.truth.panels.iter().filter_map(|panel| state(&panel.name)).collect();
        truths.push(PhotoTruth { file: photo.file.clone(), states, truth: rendered.truth });
    }
    std::fs::write(
        Path::new(DESCRIPTIONS).join(format!("{name}.truth.json")),
        serde_json::to_string_pretty(&truths)? + "\n",
    )?;
    Ok(())
}
