//! Routes: the schedule of the chosen part, in the panel.

use piece::Step;
use predict::{Row, time};

use super::part_name;
use crate::{Workbench, words};

/// The panel beside it.
#[derive(Clone, Debug)]
pub struct ScheduleView {
    /// The part.
    pub head: String,
    /// `seven steps, three days`.
    pub note: String,
    /// Steps: name, and how much or how long to wait.
    pub steps: Vec<(String, String)>,
    /// Cautions: first clause, and the rest.
    pub cautions: Vec<(String, String)>,
    /// ΔE2000 to the match, and the odds.
    pub gives: String,
    /// What stands behind it.
    pub evidence: String,
    /// What to know about the evidence.
    pub notes: Vec<String>,
    /// Whether it is the plan already.
    pub is_plan: bool,
}

impl Workbench {
    /// The schedule the panel tells about: the chosen row's, for the chosen part.
    pub fn schedule_view(&self) -> Option<ScheduleView> {
        let (piece, part) = (self.piece()?, self.part()?);
        let ranking = self.results.rankings.get(&part)?.value.as_ref().ok()?;
        let row = self.chosen_row(ranking)?;
        let piece = &*predict::with_mixes(piece, &ranking.mixes);
        let name = words::capital(&part_name(piece, part));
        let count = row.steps.iter().filter(|step| !matches!(step, Step::LeaveNatural)).count();
        let days = words::days(row.hours, row.wait_hours);
        let note = match (count, days) {
            (0, _) => "left natural".into(),
            (1, 0 | 1) => "one step, in a day".into(),
            (n, 0 | 1) => format!("{n} steps, in a day"),
            (n, d) => format!("{n} steps, {d} days"),
        };
        let (area, units) = (piece.part(part)?.area_m2, self.units());
        let step = |step: &Step| {
            let (name, how) = words::step_parts(piece, step);
            let wait = predict::trade::drying_hours(piece, step);
            let ml = area.and_then(|area| predict::trade::millilitres(piece, step, area));
            let amount = ml.map(|ml| units.liquid(units.rounded_up(ml)));
            let how = [Some(how), amount, (wait > 0.0).then(|| format!("dry {}", time::wait(wait)))];
            (name, how.into_iter().flatten().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", "))
        };
        let in_plan = piece.plan.as_ref().and_then(|plan| plan.schedules.iter().find(|(id, _)| *id == part));
        Some(ScheduleView {
            head: name,
            note,
            steps: row
                .steps
                .iter()
                .filter(|step| count == 0 || !matches!(step, Step::LeaveNatural))
                .map(step)
                .collect(),
            cautions: row.cautions.iter().map(|c| (c.lead.clone(), c.text.clone())).collect(),
            gives: format!(
                "{} ΔE2000 ({}) to the match, {} to be within {}",
                words::number(row.de00.mean),
                words::range(row.de00),
                match words::odds(row.chance_within) {
                    odds if odds == "hardly any" => "hardly any chance".into(),
                    odds => odds,
                },
                words::number(ranking.tolerance_de00)
            ),
            evidence: row.because.as_ref().map_or_else(
                || "Nothing is done to the colour.".into(),
                |because| format!("{}.", words::capital(because)),
            ),
            notes: notes_of(row),
            is_plan: in_plan.is_some_and(|(_, steps)| *steps == row.steps),
        })
    }
}

/// What to know of a schedule: of its evidence, of an uneven part, and of its colour in a year.
fn notes_of(row: &Row) -> Vec<String> {
    let evidence = row.evidence.notes.iter().map(|note| words::trials_by_number(note));
    let patchiness = row.patchiness.iter().map(|patchiness| patchiness.words());
    let ageing = row.ageing.iter().map(|note| format!("In a year: {} ({})", note.text, note.source));
    patchiness.chain(evidence).chain(ageing).collect()
}
