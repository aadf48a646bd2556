//! Who uses what: why something cannot be removed.

use crate::{
    BoardId, MatchSample, PartId, PhotoId, Piece, ProductId, ReadingId, Source, Step, Surface, TrialId, valid,
};

/// Up to three users in words, and how many more.
pub(crate) fn in_words(users: &[String]) -> Option<String> {
    let more = users.len().saturating_sub(3);
    let first = users.iter().take(3).cloned().collect::<Vec<_>>().join(", ");
    match (users.len(), more) {
        (0, _) => None,
        (_, 0) => Some(first),
        _ => Some(format!("{first} and {more} more")),
    }
}

/// Boards, readings, trials and the match sample that need this part. Joints, pair tolerances and plans go with it.
pub(crate) fn of_part(piece: &Piece, id: PartId) -> Vec<String> {
    let boards = piece.boards.iter().filter(|board| board.stands_for == id);
    let mut users: Vec<String> = boards.map(|board| format!("board '{}'", board.name)).collect();
    users.extend(on_surface(piece, Surface::Part(id)));
    users.extend((piece.match_sample == MatchSample::Part(id)).then(|| "the match sample".into()));
    users
}

/// Readings, trials and the match sample that need this board.
pub(crate) fn of_board(piece: &Piece, id: BoardId) -> Vec<String> {
    let mut users = on_surface(piece, Surface::Board(id));
    users.extend((piece.match_sample == MatchSample::Board(id)).then(|| "the match sample".into()));
    users
}

fn on_surface(piece: &Piece, surface: Surface) -> Vec<String> {
    let trials = piece.trials.iter().filter(|trial| trial.on == surface).map(|trial| format!("trial {}", trial.id));
    let readings = piece.readings.iter().filter(|reading| reading.of == surface);
    trials.chain(readings.map(|reading| format!("reading {}", reading.id))).collect()
}

/// Trials, mixes and the plan that need this product.
pub(crate) fn of_product(piece: &Piece, id: ProductId) -> Vec<String> {
    let needs = |step: &Step| valid::product_of(step) == Some(id);
    let trials = piece.trials.iter().filter(|trial| trial.steps().any(needs));
    let mut users: Vec<String> = trials.map(|trial| format!("trial {}", trial.id)).collect();
    let mixes = piece.products.iter().filter(|product| product.mix.iter().any(|share| share.product == id));
    users.extend(mixes.map(|product| format!("the mix '{}'", product.name)));
    let planned = piece.plan.iter().flat_map(|plan| &plan.schedules).any(|(_, steps)| steps.iter().any(needs));
    users.extend(planned.then(|| "the plan".into()));
    users
}

/// Readings taken from this photo, and the match sample.
pub(crate) fn of_photo(piece: &Piece, id: PhotoId) -> Vec<String> {
    let from = |source: &Source| matches!(source, Source::Photo { photo, .. } if *photo == id);
    let readings = piece.readings.iter().filter(|reading| from(&reading.source));
    let mut users: Vec<String> = readings.map(|reading| format!("reading {}", reading.id)).collect();
    users.extend((piece.match_sample == MatchSample::Photo(id)).then(|| "the match sample".into()));
    users
}

/// Trials that hold this reading, and the match sample.
pub(crate) fn of_reading(piece: &Piece, id: ReadingId) -> Vec<String> {
    let trials = piece.trials.iter().filter(|trial| trial.readings().any(|reading| reading == id));
    let mut users: Vec<String> = trials.map(|trial| format!("trial {}", trial.id)).collect();
    users.extend((piece.match_sample == MatchSample::Reading(id)).then(|| "the match sample".into()));
    users
}

/// The match sample, if it is what this trial gave.
pub(crate) fn of_trial(piece: &Piece, id: TrialId) -> Vec<String> {
    (piece.match_sample == MatchSample::Trial(id)).then(|| "the match sample".into()).into_iter().collect()
}
