//! Samples: boards with their columns.

use std::sync::Arc;

use piece::{Board, Piece, Reading, ReadingId, Step, Surface, Trial, TrialId};

use super::{
    Amount, Swatch, between,
    trial::{colour_steps, is_natural},
};
use crate::{Workbench, words};

/// A board with its columns.
#[derive(Clone, Debug)]
pub struct BoardView {
    /// `Board 1`.
    pub name: String,
    /// Which wood it stands for, and how truly.
    pub note: String,
    /// Its columns, in the order they were tried.
    pub columns: Vec<Column>,
}

/// One column: what was done, how it looks dry and coated, how far from the match sample.
#[derive(Clone, Debug)]
pub struct Column {
    /// The trial; none for the untreated wood.
    pub trial: Option<TrialId>,
    /// Two lines.
    pub head: [String; 2],
    /// Dry.
    pub dry: Option<Swatch>,
    /// Topcoated, or spirit-wet where it was not coated.
    pub coated: Option<Swatch>,
    /// ΔE2000 to the match sample.
    pub de00: Option<Amount>,
    /// Why no law explains it together with the others.
    pub odd: Option<String>,
    /// Whether the panel tells about it.
    pub chosen: bool,
}

/// The rows that columns are cut into.
#[derive(Clone, Debug, Default)]
pub struct Boards {
    /// The boards.
    pub boards: Vec<BoardView>,
    /// The match sample as it is butted beneath.
    pub matched: Option<Swatch>,
    /// `topcoated` or `spirit-wet`.
    pub judged: &'static str,
    /// The trial that the panel tells about; its column is the chosen one.
    pub chosen: Option<TrialId>,
    /// What to do first.
    pub empty: Option<String>,
}

impl Workbench {
    /// The boards with their columns.
    pub fn boards(&self) -> Boards {
        let Some(piece) = self.piece() else { return Boards::default() };
        let judged = self.judged();
        let matched = self.match_colour(judged).map(|(lab, _, of)| self.swatch(of, lab));
        let boards: Vec<BoardView> = piece.boards.iter().map(|board| self.board(piece, board, judged)).collect();
        let empty = match (piece.parts.is_empty(), boards.is_empty()) {
            (true, _) => Some(
                "Name the parts first. Then make a board that stands for one of them, and log what you try.".into(),
            ),
            (_, true) => {
                Some("No boards yet. Add one that stands for the chosen part; an offcut or hidden spot will do.".into())
            }
            _ => None,
        };
        Boards { boards, matched, judged, chosen: self.shown_trial(), empty }
    }

    /// The state trials are judged in: topcoated where the match sample is known so, else spirit-wet.
    pub(super) fn judged(&self) -> &'static str {
        if self.match_colour("topcoated").is_some() || self.match_colour("spirit-wet").is_none() {
            "topcoated"
        } else {
            "spirit-wet"
        }
    }

    fn board(&self, piece: &Piece, board: &Board, judged: &str) -> BoardView {
        let of = Surface::Board(board.id);
        let trials: Vec<&Arc<Trial>> = piece.trials.iter().filter(|trial| trial.on == of).collect();
        let mut columns = Vec::new();
        let before = trials.iter().flat_map(|trial| &trial.before).copied().collect::<Vec<_>>();
        // Wood left natural under the clear coat is the untreated column's own coated swatch.
        let (natural, trials): (Vec<_>, Vec<_>) = trials.into_iter().partition(|trial| is_natural(trial));
        let natural_chosen = natural.iter().any(|trial| self.shown_trial() == Some(trial.id));
        let natural = natural.iter().find_map(|trial| self.last_reading(trial, judged));
        let untreated = self.untreated_column(piece, board, &before, natural.as_ref(), judged);
        columns.extend(untreated.map(|column| Column { chosen: natural_chosen, ..column }));
        let mut last: Vec<Step> = Vec::new();
        for trial in trials {
            let steps = colour_steps(trial);
            columns.push(self.column(piece, trial, &last, judged));
            last = steps;
        }
        let note = if board.note.is_empty() {
            format!("stands for {}", super::part_name(piece, board.stands_for))
        } else {
            board.note.clone()
        };
        BoardView { name: words::capital(&board.name), note, columns }
    }

    fn untreated_column(
        &self,
        piece: &Piece,
        board: &Board,
        before: &[ReadingId],
        natural: Option<&Arc<Reading>>,
        judged: &str,
    ) -> Option<Column> {
        let reading = |id: &ReadingId| piece.reading(*id).cloned();
        let own = piece
            .readings
            .iter()
            .filter(|r| r.of == Surface::Board(board.id) && !super::after_step(piece, r.id))
            .cloned();
        let all: Vec<Arc<Reading>> = before.iter().filter_map(reading).chain(own).collect();
        let dry = all.iter().find(|r| words::state_kind(&r.state) == "bare dry");
        let coated = all.iter().find(|r| words::state_kind(&r.state) == judged);
        let coated = coated.or(natural);
        dry?;
        Some(Column {
            trial: None,
            head: ["untreated".into(), "wood as stripped".into()],
            dry: dry.map(|r| self.swatch(r.of, r.lab)),
            coated: coated.map(|r| self.swatch(Surface::Board(board.id), r.lab)),
            de00: coated.and_then(|r| self.to_match(r)),
            odd: None,
            chosen: false,
        })
    }

    fn column(&self, piece: &Piece, trial: &Trial, last: &[Step], judged: &str) -> Column {
        let steps = colour_steps(trial);
        let goes_on = !last.is_empty() && steps.len() > last.len() && steps.starts_with(last);
        let (name, how) = match (steps.last(), goes_on || steps.len() > 1) {
            (Some(step), true) => {
                let (name, how) = words::step_parts(piece, step);
                (format!("then {name}"), how)
            }
            (Some(step), false) => words::step_parts(piece, step),
            (None, _) => ("left natural".into(), String::new()),
        };
        let how = match how.strip_prefix('×') {
            Some("2") => "twice".into(),
            Some(n) => format!("{n} times"),
            None if how.is_empty() && steps.len() == 1 => "once".into(),
            None => how.clone(),
        };
        let coated = self.last_reading(trial, judged);
        Column {
            trial: Some(trial.id),
            head: [name, how],
            dry: self.dry_reading(trial).map(|r| self.swatch(trial.on, r.lab)),
            coated: coated.as_ref().map(|r| self.swatch(trial.on, r.lab)),
            de00: coated.and_then(|r| self.to_match(&r)),
            odd: self.odd(trial.id),
            chosen: self.shown_trial() == Some(trial.id),
        }
    }

    /// A trial's last reading in a kind of state.
    pub(super) fn last_reading(&self, trial: &Trial, kind: &str) -> Option<Arc<Reading>> {
        let piece = self.piece()?;
        let after = trial.stages.iter().flat_map(|stage| &stage.readings);
        after.rev().filter_map(|id| piece.reading(*id)).find(|r| words::state_kind(&r.state) == kind).cloned()
    }

    fn dry_reading(&self, trial: &Trial) -> Option<Arc<Reading>> {
        self.last_reading(trial, "colour dry").or_else(|| self.last_reading(trial, "bare dry"))
    }

    /// ΔE2000 of a reading to the match sample in its own state.
    fn to_match(&self, reading: &Reading) -> Option<Amount> {
        self.match_interval(reading).map(Amount::de00)
    }

    pub(super) fn match_interval(&self, reading: &Reading) -> Option<predict::Interval> {
        let (lab, _, of) = self.match_colour(words::state_kind(&reading.state))?;
        // The match sample's own errors, from its reading in this state.
        let against = self.readings(of, words::state_kind(&reading.state)).first().map(|r| (**r).clone());
        let against = Reading { lab, ..against.unwrap_or_else(|| reading.clone()) };
        Some(between::de00(&against, reading))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;

    /// The cherry bureau, its veneer offcut read bare and under nothing but bleach: its column of untreated wood shows no coated
    /// colour, for there is none of its own. In the plot the untreated wood of each part has one point.
    #[test]
    fn a_board_shows_its_own_colours_and_the_plot_each_wood_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = demo::by_id("cherry-bureau").unwrap().copy_into(folder.path()).unwrap();
        let mut bench = Workbench::in_folder(folder.path().to_path_buf());
        bench.put(piece::store::open(&path).unwrap().piece);
        let boards = bench.boards().boards;
        let untreated = |name: &str| {
            let board = boards.iter().find(|board| board.name == name).unwrap();
            let column = board.columns.iter().find(|column| column.trial.is_none()).unwrap();
            (column.dry.is_some(), column.coated.is_some(), column.de00.is_some())
        };
        assert_eq!(untreated("Veneer offcut"), (true, false, false));
        assert_eq!(untreated("Old veneer"), (true, true, true));
        let points = bench.plot(crate::view::plot::Axes::default()).points;
        let woods: Vec<[f64; 2]> =
            points.iter().filter(|point| point.name == "untreated").map(|point| point.at).collect();
        // Sides and fall front; the end grain was never read coated and untreated.
        assert_eq!(woods.len(), 2, "{woods:?}");
    }
}
