//! What keeps a trial from teaching anything, and what the trade does not do.

use crate::{Kind, Piece, Step, Trial};

/// Reducers that break a gel, as they stand in a name (common practice, no source).
const SPIRITS: [&str; 8] = ["spirit", "meths", "alcohol", "turpentine", "turps", "naphtha", "thinner", "acetone"];

/// A trial that was read after its steps, with nothing read of its surface before any: no effect can be learned from it.
pub(super) fn nothing_before(piece: &Piece, trial: &Trial) -> Option<String> {
    let read_after = trial.stages.iter().any(|stage| !stage.readings.is_empty());
    if !trial.before.is_empty() || !read_after {
        return None;
    }
    let others = || piece.trials.iter().filter(|other| other.on == trial.on);
    let in_a_stage = |id| others().any(|other| other.stages.iter().any(|stage| stage.readings.contains(&id)));
    let read_apart = piece.readings.iter().any(|one| one.of == trial.on && !in_a_stage(one.id));
    (!read_apart).then(|| {
        "nothing was read before its first step, so it teaches nothing: attach a reading of the bare surface".to_owned()
    })
}

/// Steps that reduce a gel with spirit: it breaks, and takes unevenly (common practice, no source).
pub(super) fn gels_in_spirit(piece: &Piece, trial: &Trial) -> Vec<String> {
    let reduced = trial.steps().filter_map(|step| match step {
        Step::Stain { product, reducer_parts, .. } if *reducer_parts > 0.0 => piece.product(*product),
        _ => None,
    });
    let broken = reduced.filter(|product| {
        let reducer = product.reducer.to_lowercase();
        product.kind == Kind::Gel && SPIRITS.iter().any(|spirit| reducer.contains(spirit))
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
