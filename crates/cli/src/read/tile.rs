//! The check tile among what is read, and its record.

use std::path::Path;

use anyhow::{Result, bail};
use workbench::{
    record::CheckTileRecord,
    task::{self, Drift, PhotoReading, TileReadingRecord, TileRecord},
};

/// The region of the check tile among the others.
pub(super) const TILE: &str = "check tile";

/// The record, and what it said of drift when it was opened: that is in the errors of all photos of one command alike.
pub(super) struct Tile<'a> {
    path: &'a Path,
    record: TileRecord,
    drift: Option<Drift>,
    grown: bool,
}

impl<'a> Tile<'a> {
    /// Opens the record; one that is not there is begun only where it is said where the tile lies.
    pub(super) fn open(path: &'a Path, begin: bool) -> Result<Self> {
        if !begin && !path.exists() {
            let path = path.display();
            bail!("--tile-record {path}: there is no such record; say with --tile where the tile lies, to begin one");
        }
        let record = TileRecord::open(path)?;
        Ok(Self { path, drift: record.drift(), record, grown: false })
    }

    /// Takes the tile out of what was read of a photo and into the record, and the drift into the errors of the regions. With why
    /// the record does not take it, where it does not.
    pub(super) fn take_in(
        &mut self,
        photo: &Path,
        reading: &mut PhotoReading,
    ) -> Result<(CheckTileRecord, Option<String>)> {
        let found = reading.regions.iter().position(|region| region.name == TILE);
        let (mut taken_in, mut refused) = (None, None);
        if let Some(region) = found.map(|at| reading.regions.remove(at)) {
            let (name, content) = (photo.display().to_string(), task::fingerprint_of(photo)?);
            let of_tile = TileReadingRecord::new(&name, reading.taken.as_deref(), Some(content), &region);
            match self.record.take_in(of_tile.clone()) {
                Ok(again) => {
                    self.grown = true;
                    taken_in = Some((of_tile, again));
                }
                Err(error) => refused = Some(error.to_string()),
            }
        }
        if let Some(drift) = &self.drift {
            reading.regions.iter_mut().for_each(|region| drift.add_to(region));
        }
        let counted = self.drift.as_ref().map_or(0, |drift| drift.readings);
        let taken_in = taken_in.as_ref().map(|(reading, again)| (reading, *again));
        Ok((CheckTileRecord::new(taken_in, &self.record, counted), refused))
    }

    /// Saves the record where it has grown.
    pub(super) fn save(&self) -> Result<()> {
        if self.grown {
            self.record.save(self.path)?;
        }
        Ok(())
    }

    /// How far its readings drift, or how many are still wanted.
    pub(super) fn words(&self) -> String {
        self.record.words()
    }
}
