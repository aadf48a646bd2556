//! Lists the files of the demo pieces, so that the program carries them with it.

use std::{
    env,
    fmt::Write as _,
    fs, io,
    path::{Path, PathBuf},
};

fn main() -> io::Result<()> {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default()).join("../../demo-projects");
    println!("cargo::rerun-if-changed={}", root.display());
    let mut list = String::from("/// The demos, in order.\npub static DEMOS: &[Demo] = &[\n");
    for demo in sorted(&root)? {
        if !demo.join("piece.json").is_file() {
            continue;
        }
        let id = demo.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let mut files = Vec::new();
        collect(&demo, &mut files)?;
        let _ = writeln!(list, "    Demo {{ id: {id:?}, files: &[");
        for file in files {
            let within = file.strip_prefix(&demo).unwrap_or(&file).to_string_lossy().replace('\\', "/");
            let full = file.canonicalize()?;
            let _ = writeln!(list, "        ({within:?}, include_bytes!({:?})),", full.display().to_string());
        }
        list.push_str("    ] },\n");
    }
    list.push_str("];\n");
    fs::write(PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default()).join("demo_list.rs"), list)
}

fn sorted(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut paths: Vec<_> = fs::read_dir(folder)?.map(|entry| entry.map(|e| e.path())).collect::<io::Result<_>>()?;
    paths.retain(|path| path.is_dir() || path.is_file());
    paths.sort();
    // The oak chest stands first.
    paths.sort_by_key(|path| path.file_name().is_none_or(|name| name != "oak-chest"));
    Ok(paths)
}

/// The files of a demo, without what is only needed to make it.
fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    for path in sorted(folder)? {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if name != "making" {
                collect(&path, files)?;
            }
        } else if !name.starts_with('.') && !name.ends_with(".bak") && name != "piece.autosave.json" {
            println!("cargo::rerun-if-changed={}", path.display());
            files.push(path);
        }
    }
    Ok(())
}
