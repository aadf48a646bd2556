//! Readings of a board on which something was put, and no trial says what: its trial was taken out, or never logged.

use std::collections::BTreeSet;

use piece::{Board, MatchSample, Piece, Reading, ReadingId, State, Surface};

/// The readings of no trial that are not of bare wood, on boards where one of them was read as coloured. A signed-off panel is what it
/// is, whatever was put on it.
pub fn adrift(piece: &Piece) -> BTreeSet<ReadingId> {
    of_boards(piece).flat_map(|(_, readings)| readings).map(|reading| reading.id).collect()
}

/// The same in words, a line for each board.
pub(crate) fn words(piece: &Piece) -> impl Iterator<Item = String> {
    of_boards(piece).map(|(board, readings)| {
        let ids: Vec<String> = readings.iter().map(|reading| reading.id.to_string()).collect();
        format!(
            "{}: nothing says what was put on it before it was read ({}), so that teaches nothing; log the trial, or take the readings out",
            board.name,
            ids.join(", ")
        )
    })
}

fn of_boards(piece: &Piece) -> impl Iterator<Item = (&Board, Vec<&Reading>)> {
    let in_trials: BTreeSet<ReadingId> = piece.trials.iter().flat_map(|trial| trial.readings()).collect();
    piece.boards.iter().filter_map(move |board| {
        let of_board = |reading: &&Reading| {
            let is_match = piece.match_sample == MatchSample::Reading(reading.id);
            reading.of == Surface::Board(board.id) && !in_trials.contains(&reading.id) && !is_match
        };
        let readings: Vec<&Reading> = piece.readings.iter().map(AsRef::as_ref).filter(of_board).collect();
        let coloured = |reading: &&Reading| matches!(reading.state, State::ColourDry | State::ColourWet);
        let is_panel = piece.match_sample == MatchSample::Board(board.id);
        let not_bare = |reading: &&Reading| reading.state != State::BareDry;
        let left = readings.iter().any(coloured) && !is_panel;
        left.then(|| (board.as_ref(), readings.into_iter().filter(not_bare).collect()))
    })
}
