//! The demo pieces: whole folders inside the program, copied to the user's data folder before they are opened.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::open::free_folder;

/// A demo inside the program.
#[derive(Clone, Copy, Debug)]
pub struct Demo {
    /// Stable id, as typed after `tonewright demo`: `oak-chest`.
    pub id: &'static str,
    /// Its files: path within the folder with forward slashes, and bytes.
    pub files: &'static [(&'static str, &'static [u8])],
}

include!(concat!(env!("OUT_DIR"), "/demo_list.rs"));

impl Demo {
    /// Its name for people.
    pub fn name(&self) -> String {
        crate::words::capital(&self.id.replace('-', " "))
    }

    /// Two lines about it.
    pub fn about(&self) -> [&'static str; 2] {
        match self.id {
            "oak-chest" => ["One front was replaced and dyed.", "Lighten it, or darken the rest?"],
            "cherry-bureau" => ["Sanded pale round an old veneered fall.", "What may the fall bear?"],
            _ => ["A piece to try things on.", ""],
        }
    }

    /// Its parts' colours as a strip for the start page, sRGB with a share of the width each. The data are invented.
    pub fn strip(&self) -> Vec<([u8; 3], f32)> {
        let of = |l: f64, a: f64, b: f64| crate::display::shown(colour::Lab::new(l, a, b)).rgb;
        match self.id {
            "cherry-bureau" => {
                let pale = [(56.0, 0.19), (55.6, 0.14), (56.5, 0.14), (55.0, 0.14)];
                let pale = pale.map(|(l, width)| (of(l, 13.0, 29.0), width));
                pale.into_iter().chain([(of(41.0, 18.0, 28.0), 0.39)]).collect()
            }
            _ => [(55.0, 0.29), (55.5, 0.12), (54.8, 0.12), (55.7, 0.11), (39.0, 0.12), (55.3, 0.12), (55.0, 0.12)]
                .map(|(l, width)| (if l < 45.0 { of(l, 10.0, 20.0) } else { of(l, 10.0, 29.0) }, width))
                .to_vec(),
        }
    }

    /// Copies it to a new folder within this one, and says where.
    ///
    /// # Errors
    /// One line saying what could not be written.
    pub fn copy_into(&self, within: &Path) -> Result<PathBuf, String> {
        let target = free_folder(within, self.id);
        for (path, bytes) in self.files {
            let file = target.join(path);
            let write = file.parent().map_or(Ok(()), fs::create_dir_all).and_then(|()| fs::write(&file, bytes));
            write.map_err(|error| {
                format!("{}: the demo cannot be copied here ({error}): choose another folder", file.display())
            })?;
        }
        Ok(target)
    }
}

/// The demo with this id.
pub fn by_id(id: &str) -> Option<&'static Demo> {
    DEMOS.iter().find(|demo| demo.id == id)
}

/// The folder that demos and new pieces go to: `tonewright` in the user's data folder.
pub fn data_folder() -> PathBuf {
    let from = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let base = from("XDG_DATA_HOME")
        .or_else(|| from("HOME").map(|home| home.join(".local/share")))
        .or_else(|| from("LOCALAPPDATA"))
        .unwrap_or_else(std::env::temp_dir);
    base.join("tonewright")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_demo_opens_from_its_copy() {
        let folder = tempfile::tempdir().unwrap();
        for demo in DEMOS {
            let path = demo.copy_into(folder.path()).unwrap();
            let opened = piece::store::open(&path).unwrap_or_else(|error| panic!("{}: {error}", demo.id));
            assert!(opened.piece.invented, "{}: a demo says that its data are invented", demo.id);
            assert_eq!(opened.missing_photos, [], "{}", demo.id);
            let second = demo.copy_into(folder.path()).unwrap();
            assert_ne!(path, second, "a copy is never written over");
        }
    }
}
