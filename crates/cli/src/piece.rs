//! Commands about a piece folder: `open`, `compare`, `rank`, `routes`, `next`, `sheet`, `check`.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use anyhow::Result;
use workbench::{
    Units,
    record::{
        CompareRecord, ComparedRecord, NextRecord, NextRowRecord, NotComparedRecord, ProblemRecord, RankRecord,
        RankRowRecord, RoutesRecord, SetAsideRecord,
    },
    task,
    words::{hours, per_cent, shared, wait},
};

use crate::{DONE, NO, Outcome, table::table};

/// How many rows of a ranking are printed where not all are asked for.
const RANKED: usize = 12;
/// Of how many rows the reasons are said in words.
const EXPLAINED: usize = 3;

/// Opens the window on a piece, once it is known that it can be opened.
pub(crate) fn open(folder: PathBuf) -> Result<Outcome> {
    task::open(&folder)?;
    Ok(Outcome::OpenWindow(vec![folder]))
}

pub(crate) fn compare(folder: &Path, json: bool, output: &mut dyn Write) -> Result<u8> {
    let record = task::compare(&task::open(folder)?.piece)?;
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
    } else {
        write_comparison(&record, output)?;
    }
    Ok(if record.all_match() { DONE } else { NO })
}

pub(crate) fn rank(folder: &Path, part: &str, all: bool, json: bool, output: &mut dyn Write) -> Result<u8> {
    let piece = task::open(folder)?.piece;
    let record = task::rank(&piece, task::part_named(&piece, part)?)?;
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
    } else {
        write_invented(piece.invented, output)?;
        write_ranking(&record, if all { usize::MAX } else { RANKED }, output)?;
    }
    Ok(DONE)
}

pub(crate) fn routes(folder: &Path, units: Units, json: bool, output: &mut dyn Write) -> Result<u8> {
    let record = task::routes(&task::open(folder)?.piece, units)?;
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
    } else {
        write_invented(record.invented, output)?;
        write_routes(&record, output)?;
    }
    Ok(DONE)
}

pub(crate) fn next(folder: &Path, json: bool, output: &mut dyn Write) -> Result<u8> {
    let record = task::next(&task::open(folder)?.piece)?;
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
    } else {
        write_invented(record.invented, output)?;
        write_next(&record, usize::MAX, output)?;
    }
    Ok(DONE)
}

pub(crate) fn sheet(folder: &Path, file: &Path, units: Units, output: &mut dyn Write) -> Result<u8> {
    task::write_sheet(&task::open(folder)?.piece, units, file)?;
    writeln!(output, "wrote {}", file.display())?;
    Ok(DONE)
}

pub(crate) fn check(folder: &Path, json: bool, output: &mut dyn Write) -> Result<u8> {
    let record = task::check(folder)?;
    if json {
        writeln!(output, "{}", serde_json::to_string_pretty(&record)?)?;
    } else {
        if record.problems.is_empty() {
            writeln!(output, "{}: nothing wrong", record.folder)?;
        }
        for problem in &record.problems {
            writeln!(output, "{}: {}", problem.at, problem.text)?;
        }
        write_notes(&record.notes, output)?;
    }
    Ok(if record.problems.is_empty() { DONE } else { NO })
}

pub(crate) fn write_invented(invented: bool, output: &mut dyn Write) -> Result<()> {
    if invented {
        writeln!(output, "All data of this piece are invented.")?;
    }
    Ok(())
}

pub(crate) fn write_comparison(record: &CompareRecord, output: &mut dyn Write) -> Result<()> {
    write_invented(record.invented, output)?;
    let row = |name: String, found: &ComparedRecord| {
        vec![
            name,
            found.state.clone(),
            found.apart.de00.words(),
            format!("{:.1}", found.apart.tolerance_de00),
            per_cent(found.apart.chance_within),
            found.apart.words.clone(),
        ]
    };
    let meeting = || record.pairs.iter().filter(|pair| pair.meet);
    let pairs = meeting().map(|pair| row(format!("{} – {}", pair.a, pair.b), &pair.found));
    let to_match = record.to_match.iter().map(|one| row(format!("{} – match sample", one.part), &one.found));
    let rows: Vec<Vec<String>> = pairs.chain(to_match).collect();
    write!(output, "{}", table(&["pair", "state", "ΔE2000 (9 in 10)", "match at", "odds", "in words"], &rows))?;
    let mut said: Vec<&String> = Vec::new();
    let found = meeting().map(|pair| &pair.found).chain(record.to_match.iter().map(|one| &one.found));
    for carried in found.filter_map(|found| found.carried.as_ref()) {
        if !said.contains(&carried) {
            writeln!(output, "  {carried}")?;
            said.push(carried);
        }
    }
    for not in &record.not_compared {
        match not.parts.as_slice() {
            [] => writeln!(output, "  not compared: {}", not.reason)?,
            parts => writeln!(output, "  not compared: {}: {}", parts.join(", "), not.reason)?,
        }
    }
    write_notes(&record.notes, output)?;
    write_problems(&record.problems, output)
}

/// The ranking: the first `most` rows, and leaving natural wherever it stands.
pub(crate) fn write_ranking(record: &RankRecord, most: usize, output: &mut dyn Write) -> Result<()> {
    writeln!(output, "{}, to match {} within {:.1}", record.part, record.match_sample, record.tolerance_de00)?;
    let is_shown = |(at, row): &(usize, &RankRowRecord)| *at < most || row.evidence.kind == "nothing done";
    let shown = || record.rows.iter().enumerate().filter(is_shown).map(|(_, row)| row);
    let rows: Vec<Vec<String>> = shown().map(rank_row).collect();
    let head = ["schedule", "ΔE2000 (9 in 10)", "expected", "odds", "work", "wait", "way back", "evidence"];
    write!(output, "{}", table(&head, &rows))?;
    writeln!(output, "  {}", workbench::words::RANKING_ORDER)?;
    if rows.len() < record.rows.len() {
        writeln!(output, "  … and {} more (tonewright rank with --all or --json)", record.rows.len() - rows.len())?;
    }
    for row in record.rows.iter().take(EXPLAINED.min(most)) {
        let because = row.because.iter().chain(&row.evidence.notes);
        let because: Vec<&str> = because.map(String::as_str).collect();
        if !because.is_empty() {
            writeln!(output, "  {}: {}", row.schedule, because.join("; "))?;
        }
    }
    if let Some(patchiness) = record.rows.first().and_then(|first| first.patchiness.as_ref()) {
        writeln!(output, "  the first {}", patchiness.words)?;
    }
    for note in record.rows.first().iter().flat_map(|first| &first.ageing) {
        writeln!(output, "  in a year: {} ({})", note.text, note.source)?;
    }
    for barred in &record.barred {
        writeln!(output, "  barred: {}: {}", barred.what, barred.why)?;
    }
    for untried in &record.untried {
        writeln!(output, "  untried: {untried}")?;
    }
    write_cautions(shown().flat_map(|row| &row.cautions), output)?;
    write_set_aside(&record.set_aside, output)?;
    write_notes(&record.notes, output)?;
    write_problems(&record.problems, output)
}

/// The cautions of all that is printed, each once: whatever can be chosen from it.
fn write_cautions<'r>(of: impl IntoIterator<Item = &'r String>, output: &mut dyn Write) -> Result<()> {
    let mut told: Vec<&String> = Vec::new();
    for caution in of {
        if !told.contains(&caution) {
            writeln!(output, "  caution: {caution}")?;
            told.push(caution);
        }
    }
    Ok(())
}

/// Parts that nothing is said of, with the reason.
fn write_left_out(left_out: &[NotComparedRecord], output: &mut dyn Write) -> Result<()> {
    for one in left_out {
        writeln!(output, "left out: {}: {}", one.parts.join(", "), one.reason)?;
    }
    Ok(())
}

/// Trials that cannot be as they are written down, with the reason.
fn write_set_aside(trials: &[SetAsideRecord], output: &mut dyn Write) -> Result<()> {
    for one in trials {
        let learned = if one.left_out { "nothing is learned from it" } else { "what it teaches is doubtful" };
        writeln!(output, "trial {}, {learned}: {}", one.trial, one.why)?;
    }
    Ok(())
}

/// What else there is to know of what is reckoned with.
fn write_notes(notes: &[String], output: &mut dyn Write) -> Result<()> {
    for note in notes {
        writeln!(output, "note: {note}")?;
    }
    Ok(())
}

/// What else is wrong with the piece: what is reckoned from it is doubtful till it is put right.
fn write_problems(problems: &[ProblemRecord], output: &mut dyn Write) -> Result<()> {
    for problem in problems {
        writeln!(output, "to put right: {}: {}", problem.at, problem.text)?;
    }
    Ok(())
}

fn rank_row(row: &RankRowRecord) -> Vec<String> {
    let trials = row.evidence.trials.len();
    let evidence = match (row.evidence.kind, trials) {
        ("tested", 1) => "1 trial".to_owned(),
        ("tested", trials) => format!("{trials} trials"),
        (kind, _) => kind.to_owned(),
    };
    vec![
        row.schedule.clone(),
        row.de00.words(),
        format!("{:.1}", row.expected_de00),
        per_cent(row.chance_within),
        hours(row.hours),
        wait(row.wait_hours),
        row.reversible.to_owned(),
        evidence,
    ]
}

pub(crate) fn write_routes(record: &RoutesRecord, output: &mut dyn Write) -> Result<()> {
    for route in &record.routes {
        writeln!(output, "{}\n  {}", route.name, route.why)?;
        for schedule in &route.schedules {
            writeln!(output, "  {}: {}", schedule.part, schedule.row.schedule)?;
        }
        let rows = || route.schedules.iter().map(|schedule| (schedule.part.as_str(), &schedule.row));
        let treated = || rows().filter(|(_, row)| row.evidence.kind != "nothing done");
        for (part, patchiness) in treated().filter_map(|(part, row)| Some((part, row.patchiness.as_ref()?))) {
            writeln!(output, "  patchiness of {part}: {}", patchiness.words)?;
        }
        let ageing = rows().flat_map(|(part, row)| row.ageing.iter().map(move |note| (part, note)));
        for (parts, note) in shared(ageing) {
            writeln!(output, "  in a year: {}: {} ({})", parts.join(", "), note.text, note.source)?;
        }
        for mix in &route.mixing {
            writeln!(output, "  mix {}: {}", mix.what, mix.words)?;
        }
        let undone = route.irreversible_steps.iter().map(|step| step.split_once(": ").unwrap_or(("", step)));
        for (parts, what) in shared(undone) {
            writeln!(output, "  cannot be undone: {}: {what}", parts.join(", "))?;
        }
        write_cautions(route.schedules.iter().flat_map(|schedule| &schedule.row.cautions), output)?;
    }
    if record.routes.len() > 1 {
        writeln!(output, "{}", workbench::words::ROUTES_ORDER)?;
    }
    let barred = record.barred.iter().map(|one| (one.part.as_str(), (one.what.as_str(), one.why.as_str())));
    for (parts, (what, why)) in shared(barred) {
        writeln!(output, "barred on {}: {what}: {why}", parts.join(", "))?;
    }
    write_left_out(&record.left_out, output)?;
    write_set_aside(&record.set_aside, output)?;
    write_notes(&record.notes, output)?;
    write_problems(&record.problems, output)
}

/// What to try next: the first in full with its cautions, then the first `most` that save something in a table, and stopping
/// wherever it stands, with what other cautions belong to them.
pub(crate) fn write_next(record: &NextRecord, most: usize, output: &mut dyn Write) -> Result<()> {
    if let Some(first) = record.rows.first() {
        writeln!(output, "{}\n  {}", first.what, first.why)?;
        if let (Some(on), Some(note)) = (&first.on, &first.on_note) {
            writeln!(output, "  noted on {on}: {note}")?;
        }
        write_cautions(&first.cautions, output)?;
        if hours(record.expected_hours) != hours(0.0) {
            writeln!(
                output,
                "  the best route so far, {}, is expected to count for {}: its work, waiting and product, what cannot be undone, \
                 and {} of it for the chance of failing",
                record.best_route,
                hours(record.expected_hours),
                hours(record.failing_hours),
            )?;
        }
        writeln!(output)?;
    }
    let told: Vec<&NextRowRecord> = record.rows.iter().filter(|row| row.on.is_none() || row.saves()).collect();
    let shown = || told.iter().enumerate().filter(|(at, row)| *at < most || row.on.is_none()).map(|(_, row)| *row);
    let rows: Vec<Vec<String>> = shown()
        .map(|row| {
            let cells = [row.saves_hours, row.costs_hours, row.repeat_hours].map(hours);
            let cells = cells.into_iter().chain([wait(row.wait_hours)]);
            std::iter::once(row.what.clone()).chain(cells).collect()
        })
        .collect();
    write!(output, "{}", table(&["trial", "saves", "costs", "of it as a repeat", "wait"], &rows))?;
    let repeats = shown().any(|row| row.is_repeat());
    let charged = if repeats {
        "; what it is charged as a repeat is no work: it is like trials already made, so it tells that much less"
    } else {
        ""
    };
    if shown().any(|row| row.on.is_some()) {
        writeln!(output, "  costs: the work and the readings of the trial, and a little for its waiting{charged}")?;
    }
    if rows.len() < told.len() {
        writeln!(output, "  … and {} more (tonewright next)", told.len() - rows.len())?;
    }
    let trials = record.rows.iter().filter(|row| row.on.is_some()).count();
    match (trials, record.rows.len() - told.len()) {
        (_, 0) => {}
        (1, _) => writeln!(output, "  the one trial that was weighed is expected to save nothing")?,
        (trials, idle) if trials == idle => {
            writeln!(output, "  none of the {trials} trials that were weighed is expected to save anything")?;
        }
        (_, 1) => writeln!(output, "  one more was weighed, and is expected to save nothing")?,
        (_, idle) => writeln!(output, "  {idle} more were weighed, and are expected to save nothing")?,
    }
    // The note and the reason of the first stand on top.
    let mut noted: Vec<_> = record.rows.first().map(|first| (&first.on, &first.on_note)).into_iter().collect();
    for row in shown() {
        let Some((on, note)) = row.on.as_ref().zip(row.on_note.as_ref()) else { continue };
        if !noted.contains(&(&row.on, &row.on_note)) {
            writeln!(output, "  noted on {on}: {note}")?;
            noted.push((&row.on, &row.on_note));
        }
    }
    let explained = told.iter().enumerate().skip(1).filter(|(at, row)| *at <= EXPLAINED || row.on.is_none());
    for (_, row) in explained {
        writeln!(output, "  {}: {}", row.what, row.why)?;
    }
    // Those of the first stand on top.
    let of_first: Vec<&String> = record.rows.first().iter().flat_map(|first| &first.cautions).collect();
    let others = shown().map(|row| row.cautions.iter().filter(|one| !of_first.contains(one)));
    write_cautions(others.flatten(), output)?;
    write_left_out(&record.left_out, output)?;
    write_set_aside(&record.set_aside, output)?;
    write_notes(&record.notes, output)?;
    write_problems(&record.problems, output)
}
