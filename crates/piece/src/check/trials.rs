//! What keeps a trial from teaching anything, and what the trade does not do.

use crate::{Kind, Piece, ReadingId, Step, Surface, Trial};

/// Reducers that break a gel, as they stand in a name (common practice, no source).
const BREAK_A_GEL: [&str; 13] = [
    "spirit",
    "meths",
    "alcohol",
    "turpentine",
    "turps",
    "naphtha",
    "thinner",
    "acetone",
    "water",
    "benzine",
    "petrol",
    "ethanol",
    "paraffin",
];

/// A trial that was read after its steps, with nothing read before any, neither of its surface nor of the part it stands for: no
/// effect can be learned from it.
pub(super) fn nothing_before(piece: &Piece, trial: &Trial) -> Option<String> {
    let read_after = trial.stages.iter().any(|stage| !stage.readings.is_empty());
    if !trial.before.is_empty() || !read_after {
        return None;
    }
    let in_a_stage = |id| piece.trials.iter().any(|one| one.stages.iter().any(|stage| stage.readings.contains(&id)));
    let read_apart = |of: Surface| piece.readings.iter().any(|one| one.of == of && !in_a_stage(one.id));
    let part = match trial.on {
        Surface::Part(id) => Some(id),
        Surface::Board(id) => piece.board(id).map(|board| board.stands_for),
    };
    let stands_in = read_apart(trial.on) || part.is_some_and(|id| read_apart(Surface::Part(id)));
    // In the very words of what is learned from trials.
    (!stands_in)
        .then(|| "nothing was read before its first step, so it teaches nothing; read the bare surface".to_owned())
}

/// A trial with readings that stand after steps of an earlier one. Going on from where that one was read is no matter; else the
/// same readings would count as if they had been taken again.
pub(super) fn used_again(piece: &Piece, trial: &Trial) -> Option<String> {
    let earlier = || piece.trials.iter().take_while(|other| other.id != trial.id);
    let steps = |one: &Trial, last: usize| one.steps().take(last + 1).cloned().collect::<Vec<Step>>();
    let stood = |id: ReadingId| {
        let at = |other: &Trial| other.stages.iter().position(|stage| stage.readings.contains(&id));
        earlier().find_map(|other| Some((other, at(other)?)))
    };
    let stages = || trial.stages.iter().enumerate();
    let read = || stages().flat_map(|(index, stage)| stage.readings.iter().map(move |id| (index, *id)));
    let reads_something = read().any(|(_, id)| stood(id).is_none());
    let again = read().find_map(|(index, id)| {
        let (other, at) = stood(id)?;
        let goes_on = reads_something && steps(trial, index) == steps(other, at);
        (!goes_on).then_some((id, other.id))
    });
    again.map(|(id, other)| {
        format!(
            "reading {id} stands after a step of trial {other} already: a reading counts once, so here it teaches nothing; read \
             this spot, or remove it here"
        )
    })
}

/// 'Leave natural' in a trial that changes the colour: one of the two is not what was done.
pub(super) fn natural_and_not(trial: &Trial) -> Option<String> {
    let colours = |step: &Step| match step {
        Step::Dye { .. } | Step::Stain { .. } | Step::Bleach { .. } | Step::Glaze { .. } | Step::Toner { .. } => true,
        Step::Fill { product } => product.is_some(),
        _ => false,
    };
    let left_natural = trial.steps().any(|step| matches!(step, Step::LeaveNatural));
    (left_natural && trial.steps().any(colours)).then(|| {
        "'leave natural' stands beside steps that change the colour: remove it, or log them as a trial of their own"
            .to_owned()
    })
}

/// Steps that reduce a gel with spirit or water: it breaks, and takes unevenly (common practice, no source).
pub(super) fn gels_in_spirit(piece: &Piece, trial: &Trial) -> Vec<String> {
    let reduced = trial.steps().filter_map(|step| match step {
        Step::Stain { product, reducer_parts, .. } if *reducer_parts > 0.0 => piece.product(*product),
        _ => None,
    });
    let broken = reduced.filter(|product| {
        let reducer = product.reducer.to_lowercase();
        product.kind == Kind::Gel && BREAK_A_GEL.iter().any(|one| reducer.contains(one))
    });
    broken
        .map(|gel| {
            format!(
                "'{}' is a gel reduced with {}: a gel is let down with its own neutral base; correct the reducer or the kind",
                gel.name, gel.reducer
            )
        })
        .collect()
}
