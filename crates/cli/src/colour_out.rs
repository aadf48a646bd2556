//! `colour-out`: which sticks to mix for the colour of a spot.

use std::io::Write;

use anyhow::{Result, bail};
use workbench::task::{self, Stick};

use crate::{DONE, arguments::ColourOut, table::table, words};

pub(crate) fn colour_out(asked: &ColourOut, output: &mut dyn Write) -> Result<u8> {
    let mut sticks = match &asked.sticks {
        Some(path) => task::open_sticks(path)?,
        None => Vec::new(),
    };
    let typed: Vec<Stick> = asked.typed.iter().map(|typed| task::stick_typed(typed)).collect::<Result<_, _>>()?;
    for (at, stick) in typed.iter().enumerate() {
        if typed[..at].iter().any(|other| other.name.to_lowercase() == stick.name.to_lowercase()) {
            bail!("--stick {}: two sticks of one name; give each its own", stick.name);
        }
        sticks = task::with_stick(sticks, stick.clone())?;
    }
    let piece = task::open(&asked.piece)?.piece;
    let mut record = task::colour_out(&piece, task::spot_named(&piece, &asked.spot)?, &sticks)?;
    if record.state.contains("wet") {
        let text = format!(
            "The spot was read {}, a look that fades as it dries: the mix will not be that of the dry or finished spot; \
             read it sealed or topcoated.",
            record.state
        );
        record.cautions.insert(0, text);
    }
    if asked.json.json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
        return Ok(DONE);
    }
    crate::piece::write_invented(piece.invented, output)?;
    let [l, a, b] = record.lab.map(words::signed);
    writeln!(output, "{}, {} (reading {}): L* {l}, a* {a}, b* {b}", record.of, record.state, record.spot)?;
    let rows: Vec<Vec<String>> = record
        .mixes
        .iter()
        .map(|mix| vec![mix.words.clone(), mix.de00.words(), format!("{:.1}", mix.expected_de00)])
        .collect();
    write!(output, "{}", table(&["mix", "ΔE2000 (9 in 10)", "expected"], &rows))?;
    for caution in &record.cautions {
        writeln!(output, "  caution: {caution}")?;
    }
    Ok(DONE)
}
