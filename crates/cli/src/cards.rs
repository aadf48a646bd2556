//! `cards`: the cards known, or the check of a card file.

use std::{io::Write, path::Path};

use anyhow::Result;
use workbench::task;

use crate::{DONE, table::table};

pub(crate) fn cards(file: Option<&Path>, json: bool, output: &mut dyn Write) -> Result<u8> {
    let record = match file {
        Some(file) => task::check_card_file(file)?,
        None => task::cards_known(),
    };
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
        return Ok(DONE);
    }
    let mut rows = Vec::new();
    for card in &record.cards {
        for edition in &card.editions {
            rows.push(vec![
                format!("{}/{}", card.id, edition.id),
                format!("{} × {}", card.columns, card.rows),
                card.pitch_mm.map_or_else(|| "not stated".to_owned(), |pitch| format!("{pitch} mm")),
                edition.name.clone(),
                edition.source.clone(),
            ]);
        }
    }
    write!(output, "{}", table(&["card", "patches", "patch to patch", "edition", "source"], &rows))?;
    Ok(DONE)
}
