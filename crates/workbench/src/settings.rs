//! The user's settings: the neutral theme, the units of the sheet, and the piece that was open last. Kept in a file beside the pieces.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
pub use sheet::Units;

use crate::task;

/// The file within the folder for pieces.
const FILE: &str = "settings.json";

/// The neutral themes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// L* about 58: the one to judge colour in.
    #[default]
    MidGrey,
    /// For a dark room.
    Dark,
    /// For a bright one.
    Light,
}

impl Theme {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::MidGrey, Self::Dark, Self::Light];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::MidGrey => "mid-grey",
            Self::Dark => "dark",
            Self::Light => "light",
        }
    }
}

/// What the user has set.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Settings {
    /// The theme in force.
    pub(crate) theme: Theme,
    /// The units that amounts are written in.
    pub(crate) units: Units,
    /// The folder of the piece that was open last; none where it was closed.
    pub(crate) last: Option<PathBuf>,
    /// Settings of later versions, kept as they are.
    more: Map<String, Value>,
}

/// The settings as the file holds them, by name.
#[derive(Default, Deserialize, Serialize)]
#[serde(default)]
struct Kept {
    theme: String,
    units: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    last_piece: String,
    #[serde(flatten)]
    more: Map<String, Value>,
}

impl Settings {
    /// The settings kept in this folder; the usual ones where there are none or they cannot be read.
    pub(crate) fn in_folder(folder: &Path) -> Self {
        let kept: Kept = std::fs::read(folder.join(FILE))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default();
        Self {
            theme: Theme::ALL.into_iter().find(|theme| theme.name() == kept.theme).unwrap_or_default(),
            units: Units::ALL.into_iter().find(|units| units.name() == kept.units).unwrap_or_default(),
            last: Some(kept.last_piece).filter(|path| !path.is_empty()).map(PathBuf::from),
            more: kept.more,
        }
    }

    /// Keeps them in this folder.
    ///
    /// # Errors
    /// One line where the disk refuses.
    pub(crate) fn keep(&self, folder: &Path) -> Result<(), String> {
        let kept = Kept {
            theme: self.theme.name().into(),
            units: self.units.name().into(),
            last_piece: self.last.as_ref().map_or_else(String::new, |path| path.display().to_string()),
            more: self.more.clone(),
        };
        let path: PathBuf = folder.join(FILE);
        let refused = |problem: String| format!("{}: the settings cannot be kept ({problem})", path.display());
        let text = serde_json::to_vec_pretty(&kept).map_err(|error| refused(error.to_string()))?;
        std::fs::create_dir_all(folder).map_err(|error| refused(error.to_string()))?;
        task::write_whole(&path, &text).map_err(|error| refused(error.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_kept_and_those_of_later_versions_with_them() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(Settings::in_folder(folder.path()), Settings::default());
        std::fs::write(folder.path().join(FILE), r#"{"theme": "dark", "units": "ells", "bell": true}"#).unwrap();
        let mut settings = Settings::in_folder(folder.path());
        assert_eq!((settings.theme, settings.units), (Theme::Dark, Units::Metric));
        settings.units = Units::UsCustomary;
        settings.keep(folder.path()).unwrap();
        assert_eq!(Settings::in_folder(folder.path()), settings);
        assert!(std::fs::read_to_string(folder.path().join(FILE)).unwrap().contains("bell"));
    }
}
