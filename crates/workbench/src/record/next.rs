//! `next --json`.

use ::piece::{Piece, Surface};
use predict::{Next, NextRow};
use serde::Serialize;

use super::{
    NotComparedRecord, OfferedMixRecord, ProblemRecord, SetAsideRecord,
    check::problems_beside,
    set_aside::{notes, set_aside},
};

/// What to try next, or to stop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextRecord {
    /// The piece's name.
    pub piece: String,
    /// True where the data are invented (demo pieces).
    pub invented: bool,
    /// The route that is best on the evidence so far.
    pub best_route: String,
    /// Its chance that all is within tolerance at once.
    pub chance_all_within: f64,
    /// Hours it is expected to count for: work, what cannot be undone, failing.
    pub expected_hours: f64,
    /// How many of these are for the chance of failing.
    pub failing_hours: f64,
    /// Trials that could be made, and to stop; best first.
    pub rows: Vec<NextRowRecord>,
    /// Parts that nothing is said of, and why.
    pub left_out: Vec<NotComparedRecord>,
    /// Trials that cannot be as they are written down, and why.
    pub set_aside: Vec<SetAsideRecord>,
    /// What is assumed of how the parts meet and of the grit, what stands in where a trial's reading is missing, and which trials the others
    /// contradict.
    pub notes: Vec<String>,
    /// What else is wrong with the piece, as `check` says it: numbers made from it are doubtful.
    pub problems: Vec<ProblemRecord>,
}

/// A trial that could be made; or to stop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextRowRecord {
    /// In words.
    pub what: String,
    /// The board or part it is made on; null for stopping.
    pub on: Option<String>,
    /// What was noted on that board or part, in the user's own words; null where nothing was.
    pub on_note: Option<String>,
    /// Each step in words, in order; none for stopping.
    pub steps: Vec<String>,
    /// Hours it is expected to save.
    pub saves_hours: f64,
    /// Hours it costs, waiting reckoned in, and what a repeat is worth less.
    pub costs_hours: f64,
    /// How many of these are no work, but what it is worth less for being like trials already made.
    pub repeat_hours: f64,
    /// Hours of waiting.
    pub wait_hours: f64,
    /// What it would tell, and because of what.
    pub why: String,
    /// The trials behind its steps so far.
    pub trials: Vec<String>,
    /// Cautions for its steps.
    pub cautions: Vec<String>,
    /// Mixes that its steps name and that are not in the piece yet.
    pub mixes: Vec<OfferedMixRecord>,
}

impl NextRecord {
    /// The record of what to try next on this piece.
    pub fn new(piece: &Piece, next: &Next) -> Self {
        let set_aside = set_aside(piece);
        Self {
            piece: piece.name.clone(),
            invented: piece.invented,
            best_route: next.best_route.clone(),
            chance_all_within: next.chance_all_within,
            expected_hours: next.expected_hours,
            failing_hours: next.failing_hours,
            rows: next.rows.iter().map(|row| NextRowRecord::new(piece, row)).collect(),
            left_out: NotComparedRecord::all(piece, &next.left_out),
            notes: notes(piece),
            problems: problems_beside(piece, &set_aside),
            set_aside,
        }
    }
}

impl NextRowRecord {
    /// Whether it is expected to save anything to speak of.
    pub fn saves(&self) -> bool {
        predict::time::is_told(self.saves_hours)
    }

    /// Whether it is charged anything to speak of for being like trials already made.
    pub fn is_repeat(&self) -> bool {
        predict::time::is_told(self.repeat_hours)
    }

    fn new(piece: &Piece, row: &NextRow) -> Self {
        let piece = &*predict::with_mixes(piece, &row.mixes);
        Self {
            what: row.words.clone(),
            on: row.on.map(|surface: Surface| piece.surface_name(surface)),
            on_note: row.on.and_then(|surface| piece.surface_note(surface)),
            steps: row.steps.iter().map(|step| predict::trade::step_words(piece, step)).collect(),
            saves_hours: row.saves_hours,
            costs_hours: row.costs_hours,
            repeat_hours: row.repeat_hours,
            wait_hours: row.wait_hours,
            why: row.why.clone(),
            trials: row.trials.iter().map(ToString::to_string).collect(),
            cautions: row.cautions.iter().map(|caution| format!("{} {}", caution.lead, caution.text)).collect(),
            mixes: OfferedMixRecord::all(piece, &row.mixes),
        }
    }
}
