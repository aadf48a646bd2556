//! What to try next, and why.

use piece::{Piece, Step, Surface};
use predict::{Next, NextRow};

use crate::{Workbench, words};

/// What to try next as the panel tells of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NextView {
    /// `Oak stain reduced 1:2 on board 4`, or to stop.
    pub what: String,
    /// What was noted on the board or part that it is made on: `Noted on board 4: inside face.`
    pub noted: Option<String>,
    /// What it would tell, and because of what.
    pub why: String,
    /// Parts that nothing is said of, and why; none where all were read.
    pub left_out: Option<String>,
    /// What the trial counts for and saves in hours; of stopping, what the route counts for.
    pub worth: String,
    /// Whether to stop is best.
    pub stop: bool,
    /// Cautions for its steps and those of the next best: first clause, and the rest.
    pub cautions: Vec<(String, String)>,
    /// The line that would log it, or the next best where to stop is best; none where nothing is left to try.
    pub line: Option<String>,
    /// The next best, in one line.
    pub or: Option<String>,
    /// Why there is nothing to say.
    pub empty: Option<String>,
    /// Whether it was weighed for an older piece, or is being weighed.
    pub updating: bool,
}

impl Workbench {
    /// What to try next.
    pub fn next_view(&self) -> NextView {
        let Some(piece) = self.piece() else { return NextView::default() };
        let Some(tagged) = &self.results.next else { return NextView { updating: true, ..NextView::default() } };
        let updating = !tagged.is_current(piece);
        let next = match &tagged.value {
            Ok(next) => next,
            Err(line) => return NextView { empty: Some(words::sentence(line)), updating, ..NextView::default() },
        };
        let Some(first) = next.rows.first() else { return NextView { updating, ..NextView::default() } };
        let to_log = next.rows.iter().find_map(|row| Some((row.on?, row)));
        let or = next.rows.get(1).map(|row| {
            let noted = noted(piece, row).map(|noted| format!(" {noted}"));
            format!("Or {}.{}", row.words, noted.unwrap_or_default())
        });
        NextView {
            what: words::sentence(&first.words),
            noted: noted(piece, first),
            why: words::sentence(&first.why),
            left_out: left_out(next),
            worth: worth(first, next),
            stop: first.on.is_none(),
            cautions: cautions(next.rows.iter().take(2)),
            line: to_log.map(|(on, row)| log_line(&predict::with_mixes(piece, &row.mixes), on, &row.steps)),
            or,
            empty: None,
            updating,
        }
    }
}

/// Parts that nothing is said of, as a sentence.
fn left_out(next: &Next) -> Option<String> {
    let reasons: Vec<&str> = next.left_out.iter().map(|one| one.reason.as_str()).collect();
    (!reasons.is_empty()).then(|| format!("Left out: {}.", reasons.join("; ")))
}

/// The cautions of what can be chosen, each once.
fn cautions<'r>(rows: impl Iterator<Item = &'r NextRow>) -> Vec<(String, String)> {
    let mut told: Vec<(String, String)> = Vec::new();
    for caution in rows.flat_map(|row| &row.cautions) {
        let words = (caution.lead.clone(), caution.text.clone());
        if !told.contains(&words) {
            told.push(words);
        }
    }
    told
}

/// What was noted where a trial would be made, as a sentence.
fn noted(piece: &Piece, row: &NextRow) -> Option<String> {
    let on = row.on?;
    let note = piece.surface_note(on)?;
    Some(words::sentence(&format!("noted on {}: {note}", words::surface(piece, on))))
}

fn worth(row: &NextRow, next: &Next) -> String {
    if row.on.is_none() {
        let [all, failing] = [next.expected_hours, next.failing_hours].map(words::hours);
        return format!("Its work, waiting and risk count as {all}, {failing} of that because it may fail.");
    }
    let wait = if row.wait_hours < 0.5 { String::new() } else { format!("; {} to dry", words::wait(row.wait_hours)) };
    let repeat = if predict::time::is_told(row.repeat_hours) {
        format!(", {} of that for repeating what was tried", words::hours(row.repeat_hours))
    } else {
        String::new()
    };
    let [costs, saves] = [row.costs_hours, row.saves_hours].map(words::hours);
    format!("Counts for {costs}{repeat}{wait}; expected to save {saves}.")
}

/// The line that would log these steps.
fn log_line(piece: &Piece, on: Surface, steps: &[Step]) -> String {
    let step = |step: &Step| match step {
        Step::DampDown => "damp down".to_owned(),
        Step::Topcoat { topcoat, sheen } => match &piece.topcoat {
            Some((name, own)) if name == topcoat && own == sheen => "topcoat".to_owned(),
            _ => format!("{topcoat} {sheen}"),
        },
        other => words::step(piece, other),
    };
    let steps: Vec<String> = steps.iter().map(step).collect();
    format!("{} {}", words::surface(piece, on), steps.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{log_line::parse, sample::oak_chest};
    use piece::Bleach;

    #[test]
    fn the_line_logs_the_very_steps() {
        let piece = oak_chest();
        let on = Surface::Board(piece.boards[0].id);
        let product = piece.products[0].id;
        let coat = piece.topcoat.clone().map(|(topcoat, sheen)| Step::Topcoat { topcoat, sheen });
        let mut steps = vec![
            Step::Sand { grit: 180 },
            Step::Bleach { kind: Bleach::Chlorine, times: 2 },
            Step::Bleach { kind: Bleach::TwoPart, times: 1 },
            Step::PreWet,
            Step::DampDown,
            Step::Washcoat,
            Step::Dye { product, grams_per_litre: 4.0, coats: 2 },
            Step::Stain { product: piece.products[1].id, reducer_parts: 2.0, coats: 2, wipe_minutes: Some(7.5) },
            Step::Seal,
        ];
        steps.extend(coat);
        let line = log_line(&piece, on, &steps);
        let logged = parse(&line, &piece).expect(&line);
        assert_eq!(logged.on, on);
        assert_eq!(logged.stages.into_iter().map(|(step, _)| step).collect::<Vec<_>>(), steps, "{line}");
    }

    /// What a repeat is charged is no work, and drying is none either: neither stands as part of the other.
    #[test]
    fn what_a_repeat_is_charged_is_told_apart() {
        let mut row = NextRow {
            words: "oak stain neat on board 4".into(),
            on: Some(Surface::Board(piece::BoardId(4))),
            steps: Vec::new(),
            saves_hours: 4.0,
            costs_hours: 3.0,
            repeat_hours: 1.5,
            wait_hours: 16.0,
            why: String::new(),
            trials: Vec::new(),
            cautions: Vec::new(),
            mixes: Vec::new(),
        };
        let next = Next {
            best_route: "Leave natural".into(),
            chance_all_within: 0.5,
            expected_hours: 8.0,
            failing_hours: 8.0,
            rows: Vec::new(),
            left_out: Vec::new(),
        };
        let told = worth(&row, &next);
        assert_eq!(
            told,
            "Counts for 3 h, 1½ h of that for repeating what was tried; 16 h to dry; expected to save 4 h."
        );
        (row.repeat_hours, row.wait_hours) = (0.0, 0.0);
        assert_eq!(worth(&row, &next), "Counts for 3 h; expected to save 4 h.");
    }
}
