//! The record of a check tile: a JSON file of its readings, which says how far readings drift.

use std::{fs, path::Path};

use card::tile::{Drift, TileReading};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{Error, Result, file_error, write::write_whole};

/// The version of the file that is written.
const VERSION: u32 = 1;
/// No record is larger: some ten thousand readings.
const LARGEST_BYTES: u64 = 8 << 20;

/// A record of one tile. Fields of later versions are kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TileRecord {
    /// Version of the file.
    pub version: u32,
    /// Its readings, oldest first.
    pub readings: Vec<TileReadingRecord>,
    #[serde(flatten)]
    more: Map<String, Value>,
}

/// One reading of the tile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TileReadingRecord {
    /// The photo, as it was named.
    pub photo: String,
    /// When the photo was taken, by its own data: RFC 3339, without an offset where the camera noted none. None where it says
    /// nothing, and in records of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<String>,
    /// CIELAB, D50, 2°.
    pub lab: [f64; 3],
    /// Covariance of what may differ from photo to photo.
    pub covariance: [[f64; 3]; 3],
    /// The light, in the user's words; empty where none was named.
    #[serde(default)]
    pub light: String,
    /// Version of the method that read it.
    pub method: String,
    #[serde(flatten)]
    more: Map<String, Value>,
}

impl Default for TileRecord {
    fn default() -> Self {
        Self { version: VERSION, readings: Vec::new(), more: Map::new() }
    }
}

impl TileReadingRecord {
    /// From the region of a photo that shows the tile, and when the photo was taken.
    pub fn new(photo: &str, taken: Option<&str>, region: &card::RegionReading) -> Self {
        let reading = TileReading::from_region(region);
        Self {
            photo: photo.to_owned(),
            taken: taken.map(str::to_owned),
            lab: [reading.lab.l, reading.lab.a, reading.lab.b],
            covariance: reading.covariance,
            light: String::new(),
            method: card::METHOD.to_owned(),
            more: Map::new(),
        }
    }
}

impl TileRecord {
    /// Reads a record; one that does not exist yet is empty.
    ///
    /// # Errors
    /// Where the file cannot be read or is no record.
    pub fn open(path: &Path) -> Result<Self> {
        let refuse = |problem: String| Error::File { path: path.display().to_string(), problem };
        match fs::metadata(path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Self::default()),
            Err(error) => return Err(file_error(path, &error)),
            Ok(about) if about.is_dir() => return Err(refuse("is a folder: name a file".into())),
            Ok(about) if about.len() > LARGEST_BYTES => {
                return Err(refuse("is larger than 8 MiB: a tile record is a short JSON text".into()));
            }
            Ok(_) => {}
        }
        let bytes = fs::read(path).map_err(|error| file_error(path, &error))?;
        let record: Self = serde_json::from_slice(&bytes).map_err(|error| {
            refuse(format!(
                "is no record of a check tile ({}): name another file",
                error.to_string().replace('\n', " ")
            ))
        })?;
        if record.version > VERSION {
            return Err(refuse(format!(
                "is of version {}, this program knows {VERSION}: use a newer one",
                record.version
            )));
        }
        let finite = |reading: &TileReadingRecord| {
            reading.lab.iter().chain(reading.covariance.iter().flatten()).all(|value| value.is_finite())
        };
        match record.readings.iter().position(|reading| !finite(reading)) {
            Some(place) => Err(refuse(format!("reading {} holds what is no number: remove it", place + 1))),
            None => Ok(record),
        }
    }

    /// Writes it, whole or not at all.
    ///
    /// # Errors
    /// Where the disk refuses.
    pub fn save(&self, path: &Path) -> Result<()> {
        let mut text = serde_json::to_string_pretty(self)
            .map_err(|error| Error::File { path: path.display().to_string(), problem: error.to_string() })?;
        text.push('\n');
        write_whole(path, text.as_bytes())
    }

    /// How far readings drift; none for too few of them.
    pub fn drift(&self) -> Option<Drift> {
        let reading = |reading: &TileReadingRecord| {
            let [l, a, b] = reading.lab;
            TileReading { lab: colour::Lab::new(l, a, b), covariance: reading.covariance }
        };
        Drift::of(&self.readings.iter().map(reading).collect::<Vec<_>>())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_keeps_what_it_does_not_know() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tile.json");
        assert_eq!(TileRecord::open(&path).unwrap(), TileRecord::default());
        let one = r#"{"photo": "a.jpg", "lab": [70, 1, 2], "covariance": [[1,0,0],[0,1,0],[0,0,1]], "method": "x", "mood": 3}"#;
        fs::write(&path, format!("{{\"version\": 1, \"tile\": \"grey\", \"readings\": [{one}]}}")).unwrap();
        let record = TileRecord::open(&path).unwrap();
        assert_eq!(record.readings[0].taken, None, "a record from before times were noted");
        assert!(record.drift().is_none());
        record.save(&path).unwrap();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains("\"tile\": \"grey\"") && text.contains("\"mood\": 3"), "{text}");
        assert_eq!(TileRecord::open(&path).unwrap(), record);
    }

    #[test]
    fn the_time_of_a_reading_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tile.json");
        let one = r#"{"photo": "a.jpg", "taken": "2026-03-05T14:02:11", "lab": [70, 1, 2], "covariance": [[1,0,0],[0,1,0],[0,0,1]], "method": "x"}"#;
        fs::write(&path, format!("{{\"version\": 1, \"readings\": [{one}]}}")).unwrap();
        let record = TileRecord::open(&path).unwrap();
        record.save(&path).unwrap();
        let again = TileRecord::open(&path).unwrap();
        assert_eq!(again.readings[0].taken.as_deref(), Some("2026-03-05T14:02:11"));
        assert!(!fs::read_to_string(&path).unwrap().contains("null"));
    }

    #[test]
    fn what_is_no_record_is_told_in_one_line() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tile.json");
        for (text, expected) in [
            ("", "no record of a check tile"),
            ("{\"version\": 1}", "missing field `readings`"),
            ("{\"version\": 9, \"readings\": []}", "version 9"),
        ] {
            fs::write(&path, text).unwrap();
            let told = TileRecord::open(&path).unwrap_err().to_string();
            assert!(told.contains(expected) && !told.contains('\n'), "{told}");
        }
        assert!(TileRecord::open(folder.path()).unwrap_err().to_string().contains("is a folder"));
    }
}
