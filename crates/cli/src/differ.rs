//! `differ`: pairs on standard input, differences on standard output.

use std::io::{Read, Write};

use anyhow::{Context, Result, bail};
use workbench::{record::DifferRecord, task};

use crate::DONE;

/// Input larger than this is a mistake: half a million pairs.
const LARGEST_BYTES: u64 = 64 << 20;

pub(crate) fn differ(json: bool, input: &mut dyn Read, output: &mut dyn Write) -> Result<u8> {
    let mut bytes = Vec::new();
    if let Err(error) = input.take(LARGEST_BYTES).read_to_end(&mut bytes) {
        bail!("standard input: cannot be read: {error}");
    }
    let text = std::str::from_utf8(&bytes)
        .context("standard input: is not text in UTF-8: give CSV with the header L1,a1,b1,L2,a2,b2")?;
    let rows = task::differ(text)?;
    if json {
        writeln!(output, "{}", serde_json::to_string(&rows)?)?;
    } else {
        output.write_all(csv(&rows).as_bytes())?;
    }
    Ok(DONE)
}

fn csv(rows: &[DifferRecord]) -> String {
    let mut text = String::from("L1,a1,b1,L2,a2,b2,dE00,dL,dC,dH\n");
    for row in rows {
        let ([l1, a1, b1], [l2, a2, b2]) = (row.lab1, row.lab2);
        let DifferRecord { de00, dl, dc, dh, .. } = row;
        text.push_str(&format!("{l1},{a1},{b1},{l2},{a2},{b2},{de00:.4},{dl:.4},{dc:.4},{dh:.4}\n"));
    }
    text
}
