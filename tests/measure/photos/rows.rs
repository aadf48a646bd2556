//! A line per photo.

use std::io::{self, Write};

use acceptance::figures::quantile;

use crate::manifest::Chart;
use crate::photo::Photo;
use crate::quality;

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    writeln!(
        out,
        "Per photo. Errors are ΔE2000 of patches left out, everything fitted anew without them: mean, of wood colours, 90th\n\
         percentile; held: share whose stated 90 % region holds the published colour; times in ms.\n\
         Quality by what is known beforehand ({}).\n\n\
         file        group chart found right mirr  mean  wood   p90  held clip black pitch quality edition      decode find  fit regions total  warnings",
        quality::definition()
    )?;
    photos.iter().try_for_each(|photo| writeln!(out, "{}", line(photo)))
}

fn line(photo: &Photo) -> String {
    let listed = &photo.listed;
    let chart = match listed.chart {
        Chart::Whole => "yes",
        Chart::None => "no",
        Chart::Other => "other",
        Chart::Cut => "cut",
    };
    let start = format!("{:<11} {:<5} {chart:<5}", listed.file, listed.group);
    let outcome = match &photo.outcome {
        Ok(outcome) => outcome,
        Err(error) => return format!("{start} not read: {error}"),
    };
    let yes = |is: bool| if is { "yes" } else { "-" };
    let card = outcome.card.as_ref().map_or_else(
        || {
            format!(
                "{:<5} {:<5} {:<4} {:>5} {:>5} {:>5} {:>5} {:>4} {:>5} {:>5} {:<7} {:<12}",
                "-", "-", "-", "-", "-", "-", "-", "-", "-", "-", "-", "-"
            )
        },
        |card| {
            format!(
                "{:<5} {:<5} {:<4} {:>5.2} {:>5.2} {:>5.2} {:>5.2} {:>4} {:>5} {:>5.0} {:<7} {:<12}",
                "yes",
                yes(card.right),
                yes(card.mirrored),
                card.mean(),
                card.wood(),
                quantile(card.patches.iter().map(|patch| patch.de00), 0.9),
                card.held(),
                card.clipped,
                card.black,
                card.pitch_px,
                card.quality.name(),
                card.edition
            )
        },
    );
    let ms = |seconds: f64| 1000.0 * seconds;
    let s = &outcome.seconds;
    format!(
        "{start} {card} {:>6.0} {:>4.0} {:>4.0} {:>7.0} {:>5.0}  {}",
        ms(s.decode),
        ms(s.find),
        ms(s.fit),
        ms(s.regions),
        ms(s.total),
        outcome.warnings.join(" ")
    )
}
