//! The record of a check tile: a JSON file of its readings, which says how far readings drift.

use std::{fs, path::Path};

use card::tile::{Drift, TileReading};
use colour::{Lab, de2000};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{Error, Result, file_error, write::write_whole};
use crate::words;

/// The version of the file that is written.
const VERSION: u32 = 1;
/// No record is larger: some ten thousand readings.
const LARGEST_BYTES: u64 = 8 << 20;

/// A reading farther than this from all others, ΔE2000, is of something else: one tile beside one card is read within a few units
/// from photo to photo (own judgement).
const OF_ANOTHER_DE00: f64 = 10.0;
/// Numbers of two readings that are the same but for how they were written down.
const SAME: f64 = 1e-9;
/// Standard deviations on either side of a normal mean that hold nine in ten.
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1.
const NINE_IN_TEN: f64 = 1.645;

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
    /// The [`fingerprint`] of the photo's file, by which it is known again under another name. None in records of earlier
    /// versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub content: Option<String>,
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
    /// From the region of a photo that shows the tile, when the photo was taken, and the fingerprint of its file.
    pub fn new(photo: &str, taken: Option<&str>, content: Option<String>, region: &card::RegionReading) -> Self {
        let reading = TileReading::from_region(region);
        Self {
            photo: photo.to_owned(),
            taken: taken.map(str::to_owned),
            content,
            lab: [reading.lab.l, reading.lab.a, reading.lab.b],
            covariance: reading.covariance,
            light: String::new(),
            method: card::METHOD.to_owned(),
            more: Map::new(),
        }
    }

    fn colour(&self) -> Lab {
        let [l, a, b] = self.lab;
        Lab::new(l, a, b)
    }

    /// Whether both are of one photo: of one file, taken in the same second, or alike to the last digit, which no two photos
    /// are.
    fn is_of_the_photo_of(&self, other: &Self) -> bool {
        let same = |one: &Option<String>, other: &Option<String>| one.is_some() && one == other;
        let numbers = |reading: &Self| reading.lab.into_iter().chain(reading.covariance.into_iter().flatten());
        let alike = || numbers(self).zip(numbers(other)).all(|(one, other)| (one - other).abs() < SAME);
        same(&self.content, &other.content) || same(&self.taken, &other.taken) || alike()
    }
}

impl TileRecord {
    /// Takes a reading in. A photo that was read before is no new one: its reading gives way to this, and true comes back.
    ///
    /// # Errors
    /// Where it is so far from the others that it must be of something else; it is left out then.
    pub fn take_in(&mut self, reading: TileReadingRecord) -> Result<bool> {
        let others: Vec<&TileReadingRecord> =
            self.readings.iter().filter(|old| !old.is_of_the_photo_of(&reading)).collect();
        if let Some(off) = others.iter().map(|other| de2000(other.colour(), reading.colour())).min_by(f64::total_cmp)
            && off > OF_ANOTHER_DE00
        {
            let problem = format!(
                "what was read as the check tile is ΔE2000 {off:.0} from its nearest earlier reading, so it is left out of the \
                 record: draw the place on the tile, or keep another record for another tile"
            );
            return Err(Error::Input { at: reading.photo, problem });
        }
        let Some(old) = self.readings.iter_mut().find(|old| old.is_of_the_photo_of(&reading)) else {
            self.readings.push(reading);
            return Ok(false);
        };
        let light = if reading.light.is_empty() { std::mem::take(&mut old.light) } else { reading.light.clone() };
        *old = TileReadingRecord { light, more: std::mem::take(&mut old.more), ..reading };
        Ok(true)
    }

    /// How far its readings drift, nine in ten, and from how many that is known; or how many are still wanted.
    pub fn words(&self) -> String {
        let readings = words::readings(self.readings.len());
        match self.drift().map(|drift| drift.sd().map(|sd| words::number(NINE_IN_TEN * sd))) {
            Some([l, a, b]) if [&l, &a, &b].iter().all(|half| *half == "0.0") => {
                format!("{readings} drift by no more than their own stated errors.")
            }
            Some([l, a, b]) => format!(
                "{readings} drift by ± {l} L*, {a} a*, {b} b*. That is in the stated error of every region from now on."
            ),
            None => format!(
                "{readings} of the tile. From {} on, what they differ by enters the stated error.",
                card::tile::FEWEST
            ),
        }
    }

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
        let reading =
            |reading: &TileReadingRecord| TileReading { lab: reading.colour(), covariance: reading.covariance };
        Drift::of(&self.readings.iter().map(reading).collect::<Vec<_>>())
    }
}

/// What a file's bytes are known by again: 64 bits of their hash, in hexadecimal digits. It guards against nothing but mistakes.
///
/// # Source
/// Fowler, Noll, Vo: FNV-1a, 64 bits (draft-eastlake-fnv).
pub fn fingerprint(bytes: &[u8]) -> String {
    let hash = bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3));
    format!("{hash:016x}")
}

/// The [`fingerprint`] of a file.
///
/// # Errors
/// Where the file cannot be read.
pub fn fingerprint_of(path: &Path) -> Result<String> {
    fs::read(path).map(|bytes| fingerprint(&bytes)).map_err(|error| file_error(path, &error))
}

#[cfg(test)]
mod tests;
