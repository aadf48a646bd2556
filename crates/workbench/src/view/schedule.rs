//! Routes: the schedule of the chosen part, in the panel.

use piece::{Part, Piece, Step};
use predict::{Row, time, trade};

use super::part_name;
use crate::{Workbench, words};

/// The panel beside it.
#[derive(Clone, Debug)]
pub struct ScheduleView {
    /// The part.
    pub head: String,
    /// `7 steps with the clear coats, 3 days`: of all steps that are listed.
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
        let note = note(piece, piece.part(part)?, &row.steps);
        let done = row.steps.iter().any(|step| !matches!(step, Step::LeaveNatural));
        let (area, units) = (piece.part(part)?.area_m2, self.units());
        let step = |step: &Step| {
            let (name, how) = words::step_parts(piece, step);
            let wait = trade::drying_hours(piece, step);
            let ml = area.and_then(|area| trade::millilitres(piece, step, area));
            let amount = ml.map(|ml| units.liquid(units.rounded_up(ml)));
            let how = [Some(how), amount, (wait > 0.0).then(|| format!("dry {}", time::wait(wait)))];
            (name, how.into_iter().flatten().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", "))
        };
        let in_plan = piece.plan.as_ref().and_then(|plan| plan.schedules.iter().find(|(id, _)| *id == part));
        Some(ScheduleView {
            head: name,
            note,
            steps: row.steps.iter().filter(|step| !done || !matches!(step, Step::LeaveNatural)).map(step).collect(),
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

/// How many steps there are and how long they take, the clear coats and their drying among them: the row's own hours are
/// those of the colour alone.
fn note(piece: &Piece, part: &Part, steps: &[Step]) -> String {
    let area_m2 = part.usable_area_m2().unwrap_or(trade::DEFAULT_AREA_M2);
    let sum = |of: &dyn Fn(&Step) -> f64| steps.iter().map(of).sum::<f64>();
    let days = words::days(sum(&|step| trade::hours(step, area_m2)), sum(&|step| trade::drying_hours(piece, step)));
    let count = match steps.iter().filter(|step| !matches!(step, Step::LeaveNatural)).count() {
        0 => return "left natural".into(),
        1 => "one step".to_owned(),
        n => format!("{n} steps"),
    };
    let coated = steps.iter().any(|step| matches!(step, Step::Topcoat { .. }));
    let with = if coated { " with the clear coats" } else { "" };
    match days {
        0 | 1 => format!("{count}{with}, in a day"),
        days => format!("{count}{with}, {days} days"),
    }
}

/// What to know of a schedule: of its evidence, of an uneven part, and of its colour in a year.
fn notes_of(row: &Row) -> Vec<String> {
    let evidence = row.evidence.notes.iter().map(|note| words::trials_by_number(note));
    let patchiness = row.patchiness.iter().map(|patchiness| patchiness.words());
    let ageing = row.ageing.iter().map(|note| format!("In a year: {} ({})", note.text, note.source));
    patchiness.chain(evidence).chain(ageing).collect()
}

#[cfg(test)]
mod tests {
    use piece::{Bleach, PartId};

    use super::*;
    use crate::sample::oak_chest;

    /// The default waits, common practice: 24 h after chlorine, 2 h after the sealer, 24 h after the clear coats; with the work
    /// that is over two days. In a day is only what is dry again within it.
    #[test]
    fn the_days_are_those_of_the_very_steps_that_are_counted() {
        let piece = oak_chest();
        let part = piece.part(PartId(1)).unwrap();
        let chlorine = Step::Bleach { kind: Bleach::Chlorine, times: 1 };
        let coat = Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() };
        let told = |steps: &[Step]| note(&piece, part, steps);
        assert_eq!(told(&[chlorine, Step::Seal, coat.clone()]), "3 steps with the clear coats, 3 days");
        assert_eq!(told(&[Step::LeaveNatural, Step::Seal, coat]), "2 steps with the clear coats, 2 days");
        assert_eq!(told(&[Step::Sand { grit: 180 }]), "one step, in a day");
        assert_eq!(told(&[Step::LeaveNatural]), "left natural");
    }
}
