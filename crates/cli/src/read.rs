//! `read`: the card and the colours in photos.

mod given;
mod plain;
mod tile;

use std::{io::Write, path::Path};

use anyhow::{Result, bail};
use workbench::{
    record::{ReadRecord, WarningRecord},
    task::{self, Choice, PhotoReading},
};

use crate::{DONE, FAILED, NO, arguments, one_line};
use tile::{TILE, Tile};

pub(crate) fn read(read: &arguments::Read, output: &mut dyn Write, errors: &mut dyn Write) -> Result<u8> {
    let mut tile = read.tile_record.as_deref().map(|path| Tile::open(path, read.tile.is_some())).transpose()?;
    let choice = choice(read)?;
    let mut code = DONE;
    task::read_photos(&read.photos, &choice, |photo, reading| -> Result<()> {
        match reading {
            Ok(reading) => {
                let of_photo = write_photo(photo, reading, &choice, tile.as_mut(), read.json.json, output, errors)?;
                code = code.max(of_photo);
            }
            Err(error) => {
                code = FAILED;
                writeln!(errors, "tonewright: {}", one_line(&error.to_string()))?;
            }
        }
        Ok(())
    })?;
    if let Some(tile) = &tile {
        tile.save()?;
        if !read.json.json {
            writeln!(output, "check tile: {}", tile.words())?;
        }
    }
    Ok(code)
}

/// What is wanted of each photo, from the arguments.
fn choice(read: &arguments::Read) -> Result<Choice> {
    let mut regions: Vec<given::Named> =
        read.regions.iter().map(|region| given::named_polygon(region)).collect::<Result<_>>()?;
    if let Some(name) = given::twice(&regions) {
        bail!("--region '{name}': the name is given twice: name each region differently");
    }
    if let Some(place) = &read.tile {
        if regions.iter().any(|(name, _)| name == TILE) {
            bail!("--region '{TILE}': with --tile that is the tile's own name: name the region differently");
        }
        regions.push((TILE.to_owned(), given::polygon_option("--tile", place)?));
    }
    Ok(Choice {
        card: read.card.clone(),
        corners_px: read.corners.as_deref().map(given::corners).transpose()?,
        regions,
        left_out_px: read
            .left_out
            .iter()
            .map(|place| given::polygon_option("--leave-out", place))
            .collect::<Result<_>>()?,
        leave_spots_out: read.leave_spots_out,
        board: read.board.as_deref().map(task::read_board).transpose()?,
    })
}

/// Tells what was read of a photo, with a line on standard error for each region that could not be measured.
fn write_photo(
    photo: &Path,
    mut reading: PhotoReading,
    choice: &Choice,
    tile: Option<&mut Tile<'_>>,
    json: bool,
    output: &mut dyn Write,
    errors: &mut dyn Write,
) -> Result<u8> {
    let name = photo.display().to_string();
    let measured: Vec<String> = reading.regions.iter().map(|region| region.name.clone()).collect();
    let (check_tile, refused) = tile.map(|tile| tile.take_in(photo, &mut reading)).transpose()?.unzip();
    let record = ReadRecord::new(&name, &reading, check_tile);
    if record.card.is_none() {
        write_record(&record, &[], json, output)?;
        return Ok(NO);
    }
    let failed = choice.regions.iter().map(|(region, _)| region).filter(|region| !measured.contains(region));
    let failed: Vec<(&String, Option<&WarningRecord>)> =
        failed.map(|region| (region, why_not_measured(region, &record))).collect();
    let told: Vec<&WarningRecord> = failed.iter().filter_map(|(_, why)| *why).collect();
    write_record(&record, &told, json, output)?;
    for (region, why) in &failed {
        let why = why.map_or_else(|| format!("The region '{region}' was not measured."), |why| one_line(&why.text));
        writeln!(errors, "tonewright: {name}: {why}")?;
    }
    let refused = refused.flatten();
    if let Some(refused) = &refused {
        writeln!(errors, "tonewright: {}", one_line(refused))?;
    }
    Ok(if failed.is_empty() && refused.is_none() { DONE } else { FAILED })
}

/// All of it for programs; for people without the warnings that are told on standard error.
fn write_record(record: &ReadRecord, told: &[&WarningRecord], json: bool, output: &mut dyn Write) -> Result<()> {
    if json {
        writeln!(output, "{}", serde_json::to_string(record)?)?;
        return Ok(());
    }
    plain::write(record, told, output)
}

/// Why a region was not measured, as the warnings have it.
fn why_not_measured<'r>(region: &str, record: &'r ReadRecord) -> Option<&'r WarningRecord> {
    let named = format!("'{region}'");
    record.warnings.iter().find(|one| one.code.starts_with("region") && one.text.contains(&named))
}
