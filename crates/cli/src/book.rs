//! `book`: what the shop book knows; a piece entered into it or taken up from it; another book merged into it.

use std::io::Write;

use anyhow::Result;
use workbench::{
    record::{BookRecord, MergedRecord},
    task,
};

use crate::{DONE, arguments::Book, table::table};

pub(crate) fn book(asked: &Book, output: &mut dyn Write) -> Result<u8> {
    let path = asked.book.as_path();
    if let Some(folder) = &asked.enter {
        let opened = task::open(folder)?;
        let merged = task::enter_piece(path, &opened.piece)?;
        writeln!(output, "{}: {}", path.display(), words(merged))?;
    } else if let Some(other) = &asked.merge {
        let merged = task::merge_book(path, other)?;
        writeln!(output, "{}: {}", path.display(), words(merged))?;
    } else if let Some(folder) = &asked.take_up {
        let uses = task::take_up(path, folder)?;
        writeln!(output, "{}: {uses} uses on earlier pieces taken up", folder.display())?;
    } else {
        let record = BookRecord::new(&task::known_book(path)?);
        if asked.json.json {
            writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
            return Ok(DONE);
        }
        let rows: Vec<Vec<String>> = record
            .products
            .iter()
            .map(|product| {
                vec![
                    product.name.clone(),
                    product.uses.to_string(),
                    product.woods.join(", "),
                    product.pieces.join(", "),
                    product.lots.join(", "),
                ]
            })
            .collect();
        write!(output, "{}", table(&["product", "uses", "woods", "pieces", "lots"], &rows))?;
    }
    Ok(DONE)
}

fn words(merged: MergedRecord) -> String {
    format!("{} new uses, {} renewed, {} new products", merged.uses, merged.renewed, merged.products)
}
