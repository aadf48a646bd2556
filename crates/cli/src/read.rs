//! `read`: the card and the colours in photos.

use std::{io::Write, path::Path};

use anyhow::{Context, Result, bail};
use workbench::{
    record::{ReadRecord, RegionRecord},
    task::{self, Choice, TileReadingRecord, TileRecord},
    words::day_and_time,
};

use crate::{DONE, FAILED, NO, arguments, one_line, table::table, words};

/// The region of the check tile among the others; no name given on the command line can begin with a space.
const TILE: &str = " check tile";

pub(crate) fn read(read: &arguments::Read, output: &mut dyn Write, errors: &mut dyn Write) -> Result<u8> {
    if let (Some(path), None) = (&read.tile_record, &read.tile)
        && !path.exists()
    {
        let path = path.display();
        bail!("--tile-record {path}: there is no such record; say with --tile where the tile lies, to begin one");
    }
    let mut tile = read.tile_record.as_deref().map(TileRecord::open).transpose()?;
    let drift = tile.as_ref().and_then(TileRecord::drift);
    let mut choice = Choice {
        card: read.card.clone(),
        corners_px: read.corners.as_deref().map(corners).transpose()?,
        regions: read.regions.iter().map(|region| named_polygon(region)).collect::<Result<_>>()?,
        left_out_px: read.left_out.iter().map(|place| polygon_option("--leave-out", place)).collect::<Result<_>>()?,
        leave_spots_out: read.leave_spots_out,
        board: read.board.as_deref().map(task::read_board).transpose()?,
    };
    if let Some(name) = twice(&choice.regions) {
        bail!("--region '{name}': the name is given twice: name each region differently");
    }
    if let Some(place) = &read.tile {
        choice.regions.push((TILE.to_owned(), polygon_option("--tile", place)?));
    }
    if let Some(tile) = tile.as_ref().filter(|tile| tile.drift().is_none()) {
        let count = match tile.readings.len() {
            0 => "no reading".to_owned(),
            1 => "one reading".to_owned(),
            count => format!("{count} readings"),
        };
        writeln!(errors, "tonewright: the tile record has {count}: from three on their drift enters the error")?;
    }
    let mut code = DONE;
    task::read_photos(&read.photos, &choice, |photo, reading| -> Result<()> {
        match reading {
            Ok(mut reading) => {
                let name = photo.display().to_string();
                let taken = reading.taken.clone();
                let of_tile = reading.regions.extract_if(.., |region| region.name == TILE);
                let of_tile: Vec<_> =
                    of_tile.map(|region| TileReadingRecord::new(&name, taken.as_deref(), &region)).collect();
                if let Some(tile) = &mut tile {
                    tile.readings.extend(of_tile.iter().cloned());
                }
                if let Some(drift) = &drift {
                    reading.regions.iter_mut().for_each(|region| drift.add_to(region));
                }
                let record = ReadRecord::new(&name, &reading);
                code = code.max(if record.card.is_some() { DONE } else { NO });
                let is_measured = |name: &str| match name {
                    TILE => !of_tile.is_empty(),
                    name => record.regions.iter().any(|measured| measured.name == name),
                };
                for (region, _) in choice.regions.iter().filter(|_| record.card.is_some()) {
                    if !is_measured(region) {
                        code = FAILED;
                        writeln!(errors, "tonewright: {name}: {}", not_measured(region, &record))?;
                    }
                }
                if read.json.json {
                    writeln!(output, "{}", serde_json::to_string(&record)?)?;
                } else {
                    write_plain(photo, &record, output)?;
                    of_tile.iter().try_for_each(|tile| write_tile(tile, output))?;
                }
            }
            Err(error) => {
                code = FAILED;
                writeln!(errors, "tonewright: {}", one_line(&error.to_string()))?;
            }
        }
        Ok(())
    })?;
    if let (Some(_), Some(tile), Some(path)) = (&read.tile, &tile, &read.tile_record)
        && !tile.readings.is_empty()
    {
        tile.save(path)?;
    }
    Ok(code)
}

/// Why a region was not measured, as the warnings have it.
fn not_measured(region: &str, record: &ReadRecord) -> String {
    let named = format!("'{region}'");
    let warning = record.warnings.iter().find(|one| one.code.starts_with("region") && one.text.contains(&named));
    let told =
        warning.map_or_else(|| format!("The region {named} was not measured."), |warning| one_line(&warning.text));
    told.replace(TILE, TILE.trim())
}

fn write_plain(photo: &Path, record: &ReadRecord, output: &mut dyn Write) -> Result<()> {
    writeln!(output, "{}: {} × {}, {}", photo.display(), record.width_px, record.height_px, record.profile)?;
    if let Some(taken) = &record.taken {
        writeln!(output, "  taken {}", day_and_time(taken))?;
    }
    match (&record.card, &record.fit) {
        (Some(card), Some(fit)) => {
            let mirrored = if card.mirrored { ", mirrored" } else { "" };
            let left_out = fit.left_out_de00;
            writeln!(output, "  card {}, edition {}{mirrored}", card.id, card.edition)?;
            writeln!(
                output,
                "  each patch left out: ΔE2000 {:.1} in the mean, {:.1} in the median, {:.1} at the 90th percentile",
                left_out.mean, left_out.median, left_out.p90
            )?;
        }
        _ => writeln!(output, "  no card found")?,
    }
    for warning in &record.warnings {
        writeln!(output, "  {}: {}", warning.code, warning.text)?;
    }
    if !record.regions.is_empty() {
        let rows: Vec<Vec<String>> = record.regions.iter().map(region_row).collect();
        write!(output, "{}", table(&["region", "L*", "a*", "b*", "± L*", "± a*", "± b*", "grain L*"], &rows))?;
        writeln!(output, "  CIELAB, D50, 2°; ± holds 9 in 10")?;
        for region in &record.regions {
            write_extent(region, output)?;
        }
    }
    Ok(())
}

/// What the record of the check tile takes in.
fn write_tile(tile: &TileReadingRecord, output: &mut dyn Write) -> Result<()> {
    let taken = tile.taken.as_deref().map_or_else(|| "at a time not noted".to_owned(), day_and_time);
    let [l, a, b] = tile.lab.map(words::signed);
    writeln!(output, "  check tile: L* {l}  a* {a}  b* {b}, {taken}")?;
    Ok(())
}

/// How even a region is, and what was left out of it.
fn write_extent(region: &RegionRecord, output: &mut dyn Write) -> Result<()> {
    if let Some(evenness) = &region.evenness {
        writeln!(output, "  {} is {}", region.name, evenness.words())?;
    }
    if region.left_out_share > 0.0 {
        writeln!(output, "  {}: {:.1} % of it was left out of the colour", region.name, 100.0 * region.left_out_share)?;
    }
    Ok(())
}

fn region_row(region: &RegionRecord) -> Vec<String> {
    let mut row = vec![region.name.clone()];
    row.extend(region.lab.map(words::signed));
    row.extend([0, 1, 2].map(|axis| format!("{:.1}", 1.645 * region.covariance[axis][axis].sqrt())));
    row.push(format!("{:.1}", region.grain_sd[0]));
    row
}

/// `x1,y1,…,x4,y4`.
fn corners(text: &str) -> Result<[[f64; 2]; 4]> {
    let numbers: Vec<f64> = numbers(text).with_context(|| wrong_corners(text))?;
    let [x1, y1, x2, y2, x3, y3, x4, y4] = numbers[..] else { bail!(wrong_corners(text)) };
    Ok([[x1, y1], [x2, y2], [x3, y3], [x4, y4]])
}

fn wrong_corners(text: &str) -> String {
    format!("--corners '{text}': give eight numbers, x1,y1,x2,y2,x3,y3,x4,y4, in pixels of the upright picture")
}

/// `NAME=x,y;x,y;x,y…`.
fn named_polygon(text: &str) -> Result<(String, Vec<[f64; 2]>)> {
    let wrong = || format!("--region '{text}': write NAME=x,y;x,y;x,y with at least three corners in pixels");
    let (name, corners) = text.split_once('=').with_context(wrong)?;
    let is_name = !name.trim().is_empty() && !name.contains(char::is_control);
    let points = polygon(corners).filter(|_| is_name).with_context(wrong)?;
    Ok((name.trim().to_owned(), points))
}

/// `x,y;x,y;x,y…`.
fn polygon_option(option: &str, text: &str) -> Result<Vec<[f64; 2]>> {
    let wrong = || format!("{option} '{text}': write x,y;x,y;x,y with at least three corners in pixels");
    polygon(text).with_context(wrong)
}

fn polygon(text: &str) -> Option<Vec<[f64; 2]>> {
    let points: Option<Vec<[f64; 2]>> =
        text.split(';').map(|point| numbers(point).ok().and_then(|numbers| numbers.try_into().ok())).collect();
    points.filter(|points| points.len() >= 3)
}

/// A name that two regions have.
fn twice(regions: &[(String, Vec<[f64; 2]>)]) -> Option<&str> {
    let mut names = regions.iter().map(|(name, _)| name.as_str());
    while let Some(name) = names.next() {
        if names.clone().any(|other| other == name) {
            return Some(name);
        }
    }
    None
}

fn numbers(text: &str) -> Result<Vec<f64>> {
    let number = |cell: &str| cell.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    text.split(',').map(|cell| number(cell).with_context(|| format!("'{cell}' is not a number"))).collect()
}
