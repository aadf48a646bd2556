//! What was read, for people.

use std::io::Write;

use anyhow::Result;
use workbench::{
    record::{
        CardInPhotoRecord, CheckTileRecord, DifferenceRecord, FitRecord, ReadRecord, RegionRecord, WarningRecord,
    },
    words::day_and_time,
};

use crate::{table::table, words};

/// Pairs of regions that are printed.
const MOST_PAIRS: usize = 12;
/// Odds that say nothing beside an interval which holds a match: nine in ten leave one in twenty on either side; own judgement.
const LEAST_ODDS: f64 = 0.05;

/// What was read of one photo; `elsewhere` are warnings that are told on standard error.
pub(super) fn write(record: &ReadRecord, elsewhere: &[&WarningRecord], output: &mut dyn Write) -> Result<()> {
    writeln!(output, "{}: {} × {}, {}", record.photo, record.width_px, record.height_px, record.profile)?;
    if let Some(taken) = &record.taken {
        writeln!(output, "  taken {}", day_and_time(taken))?;
    }
    match &record.card {
        Some(card) => write_card(card, record.fit.as_ref(), output)?,
        None => writeln!(output, "  no card found")?,
    }
    for warning in record.warnings.iter().filter(|warning| !elsewhere.contains(warning)) {
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
    write_differences(record, output)?;
    record.check_tile.as_ref().map_or(Ok(()), |tile| write_tile(tile, record.taken.as_deref(), output))
}

/// The card, and how well it was fitted; of one that sets exposure and white only, a warning says that.
fn write_card(card: &CardInPhotoRecord, fit: Option<&FitRecord>, output: &mut dyn Write) -> Result<()> {
    let mirrored = if card.mirrored { ", mirrored" } else { "" };
    writeln!(output, "  card {}, edition {}{mirrored}", card.id, card.edition)?;
    if let Some(FitRecord { left_out_de00: left_out, .. }) = fit {
        writeln!(
            output,
            "  each patch left out: ΔE2000 {:.1} in the mean, {:.1} in the median, {:.1} at the 90th percentile",
            left_out.mean, left_out.median, left_out.p90
        )?;
    }
    Ok(())
}

/// How the regions differ: all pairs where they are few, else those furthest apart.
fn write_differences(record: &ReadRecord, output: &mut dyn Write) -> Result<()> {
    let Some(first) = record.differences.first() else { return Ok(()) };
    let mut shown: Vec<&DifferenceRecord> = record.differences.iter().collect();
    let beyond = (shown.len() + record.differences_left_out).saturating_sub(MOST_PAIRS);
    if beyond > 0 {
        shown.sort_by(|one, other| other.apart.de00.mean.total_cmp(&one.apart.de00.mean));
        shown.truncate(MOST_PAIRS);
    }
    let row = |pair: &&DifferenceRecord| {
        vec![
            format!("{} – {}", pair.a, pair.b),
            pair.apart.de00.words(),
            workbench::words::per_cent(pair.apart.chance_within),
            pair.apart.words.clone(),
        ]
    };
    let rows: Vec<Vec<String>> = shown.iter().map(row).collect();
    write!(output, "{}", table(&["difference", "ΔE2000 (9 in 10)", "odds", "in words"], &rows))?;
    if beyond > 0 {
        writeln!(output, "  … and {beyond} more pairs, all nearer to one another (tonewright read with --json)")?;
    }
    writeln!(
        output,
        "  surer than the colours, as regions of one photo share its errors; odds of a match at {:.1}, for parts touching in one \
         plane, both in one state (bare, wet or coated)",
        first.apart.tolerance_de00
    )?;
    let vague: Vec<String> =
        shown.iter().filter(|pair| is_vague(pair)).map(|pair| format!("{} – {}", pair.a, pair.b)).collect();
    if !vague.is_empty() {
        writeln!(
            output,
            "  {}: a match is not ruled out, but the colours are known too badly for the odds to show one: make the ± narrower",
            vague.join(", ")
        )?;
    }
    Ok(())
}

/// Whether the interval leaves a match open to which the odds give next to nothing: among all that the errors allow it is rare, and not
/// for that unlikely to be so.
fn is_vague(pair: &DifferenceRecord) -> bool {
    pair.apart.de00.low <= pair.apart.tolerance_de00 && pair.apart.chance_within < LEAST_ODDS
}

/// What the record of the check tile took in.
fn write_tile(tile: &CheckTileRecord, taken: Option<&str>, output: &mut dyn Write) -> Result<()> {
    let Some(lab) = tile.lab else { return Ok(()) };
    let taken = taken.map_or_else(|| "at a time not noted".to_owned(), day_and_time);
    let [l, a, b] = lab.map(words::signed);
    let again =
        if tile.again { "; this photo is in the record already: its reading gives way to this one" } else { "" };
    writeln!(output, "  check tile: L* {l}  a* {a}  b* {b}, {taken}{again}")?;
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
