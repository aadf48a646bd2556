//! The user's own check tile: its record is the shop's, kept beside the pieces.

use std::path::PathBuf;

use card::RegionReading;
use piece::Photo;

use super::Workbench;
use crate::{
    status::Status,
    task::{self, TileReadingRecord, TileRecord, fingerprint},
    words,
};

/// The file of the record within the folder for pieces.
const FILE: &str = "check tile.json";

impl Workbench {
    fn tile_path(&self) -> PathBuf {
        self.folder.join(FILE)
    }

    /// The record as it stands on the disk; an unreadable one stays as it is and says nothing of drift.
    pub(super) fn open_tile(&mut self) {
        self.tile = TileRecord::open(&self.tile_path()).unwrap_or_default();
    }

    /// A region with the drift that the check tile shows in its stated error.
    pub(super) fn with_drift(&self, region: &RegionReading) -> RegionReading {
        let mut region = region.clone();
        if let Some(drift) = self.tile.drift() {
            drift.add_to(&mut region);
        }
        region
    }

    /// Takes a reading of the tile into its record; that of a photo read before gives way to it.
    pub(super) fn tile_read(&mut self, photo: &Photo, taken: Option<&str>, region: &RegionReading) {
        let content = self.bytes_of(photo).and_then(|bytes| bytes().ok()).map(|bytes| fingerprint(&bytes));
        let mut reading = TileReadingRecord::new(&photo.file, taken, content, region);
        reading.light.clone_from(&photo.light);
        let lab = words::lab(region.lab);
        self.change_tile(
            |record| record.take_in(reading),
            |again, count| {
                let again = if again { " again, in place of this photo's earlier reading" } else { "" };
                let said = format!("Check tile read{again}: {lab}. {}.", words::readings(count));
                (said, "read your parts beside the same card")
            },
        );
    }

    /// Takes the last reading out of the record.
    pub(super) fn forget_tile(&mut self) {
        let last = |record: &mut TileRecord| {
            record.readings.pop();
            Ok(())
        };
        self.change_tile(last, |(), count| {
            (format!("The last reading is taken out: {} left.", words::readings(count)), "")
        });
    }

    fn change_tile<T>(
        &mut self,
        change: impl FnOnce(&mut TileRecord) -> task::Result<T>,
        say: impl FnOnce(T, usize) -> (String, &'static str),
    ) {
        let path = self.tile_path();
        let changed = TileRecord::open(&path).and_then(|mut record| {
            let done = change(&mut record)?;
            record.save(&path)?;
            Ok((done, record))
        });
        match changed {
            Ok((done, record)) => {
                let (said, next) = say(done, record.readings.len());
                self.tile = record;
                self.status = Status::done(said, next);
            }
            Err(error) => self.status = Status::failed(error.to_string()),
        }
    }
}
