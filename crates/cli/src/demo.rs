//! `demo`: a demo piece in the window, or its answers in the terminal where there is no display.

use anyhow::{Result, bail};
use workbench::{Units, demo, record::RoutesRecord, task};

use crate::{DONE, Outcome, Surroundings, piece};

/// How many rows of a ranking a demo prints.
const RANKED: usize = 8;
/// How many trials a demo prints.
const WEIGHED: usize = 5;
/// The sheet of a demo, beside its piece.
const SHEET: &str = "work-sheet.html";

pub(crate) fn demo(name: Option<&str>, surroundings: &mut Surroundings<'_>) -> Result<Outcome> {
    let known: Vec<&str> = demo::DEMOS.iter().map(|demo| demo.id).collect();
    let chosen = match name {
        Some(name) => demo::by_id(name),
        None => demo::DEMOS.first(),
    };
    let Some(chosen) = chosen else {
        bail!("{}: is no demo: name one of {}", name.unwrap_or_default(), known.join(", "));
    };
    if surroundings.has_display {
        return Ok(Outcome::OpenDemo(chosen.id.to_owned()));
    }
    let output = &mut *surroundings.output;
    writeln!(output, "There is no display, so the window stays shut. Demos: {}.", known.join(", "))?;
    let folder = match chosen.copy_into(&demo::data_folder()) {
        Ok(folder) => folder,
        Err(problem) => bail!(problem),
    };
    writeln!(output, "{} is copied to {}.\n", chosen.name(), folder.display())?;

    let opened = task::open(&folder)?.piece;
    writeln!(output, "COMPARISON")?;
    piece::write_comparison(&task::compare(&opened)?, output)?;
    let routes = task::routes(&opened, Units::Metric)?;
    if let Some(part) = part_to_rank(&routes) {
        writeln!(output, "\nRANKING")?;
        piece::write_ranking(&task::rank(&opened, task::part_named(&opened, &part)?)?, RANKED, output)?;
    }
    writeln!(output, "\nROUTES")?;
    piece::write_routes(&routes, output)?;
    writeln!(output, "\nNEXT TRIAL")?;
    piece::write_next(&task::next(&opened)?, WEIGHED, output)?;
    let sheet = folder.join(SHEET);
    task::write_sheet(&opened, Units::Metric, &sheet)?;
    writeln!(output, "\nThe work sheet is {}.", sheet.display())?;
    Ok(Outcome::Exit(DONE))
}

/// The part that the best route changes most: the one whose ranking is worth reading.
fn part_to_rank(routes: &RoutesRecord) -> Option<String> {
    let best = routes.routes.first()?;
    let most = best.schedules.iter().max_by_key(|schedule| schedule.row.steps.len())?;
    Some(most.part.clone())
}
