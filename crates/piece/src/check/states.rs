//! Which states of the surface can be read after which steps (common practice, no source).

use crate::{Piece, Reading, State, Step, Trial};

/// What lies on the wood after some steps.
#[derive(Clone, Copy, Default)]
struct Surface {
    /// A colour has gone on.
    coloured: bool,
    /// The last step put a colour on.
    just_coloured: bool,
    washcoated: bool,
    sealed: bool,
    topcoated: bool,
    /// The spot was bare before the trial; else it may have had a colour or coat from before.
    known: bool,
}

impl Surface {
    /// The surface that the readings before the first step show.
    fn before(readings: &[&Reading]) -> Self {
        let bare = |state: &State| matches!(state, State::BareDry | State::SpiritWet { .. });
        Self { known: readings.iter().all(|reading| bare(&reading.state)), ..Self::default() }
    }

    fn after(self, step: &Step) -> Self {
        let surface = Self { just_coloured: false, ..self };
        match step {
            Step::Dye { .. }
            | Step::Stain { .. }
            | Step::Glaze { .. }
            | Step::Toner { .. }
            | Step::Fill { product: Some(_) } => Self { coloured: true, just_coloured: true, ..surface },
            Step::Washcoat => Self { washcoated: true, ..surface },
            Step::Seal => Self { sealed: true, ..surface },
            Step::Topcoat { .. } => Self { topcoated: true, ..surface },
            _ => surface,
        }
    }

    /// Why a surface cannot be read in this state; none where it can.
    fn objection(self, state: &State) -> Option<&'static str> {
        let coated = self.sealed || self.topcoated;
        match state {
            State::BareDry if self.coloured || self.washcoated || coated => Some("bare dry, after a colour or a coat"),
            State::SpiritWet { .. } if coated => Some("spirit-wet, over a sealer or topcoat"),
            State::ColourWet if !self.just_coloured => Some("colour wet, where no colour was just put on"),
            State::ColourDry if self.known && !self.coloured => Some("colour dry, where no colour was put on"),
            State::ColourDry if self.topcoated => Some("colour dry, under a topcoat"),
            State::Washcoated if self.known && !self.washcoated => Some("washcoated, without a washcoat"),
            State::Sealed if self.known && !self.sealed => Some("sealed, without a sealer"),
            State::Sealed if self.topcoated => Some("sealed, under a topcoat"),
            State::Topcoated { .. } if self.known && !self.topcoated => Some("topcoated, without a topcoat"),
            State::Washcoated if coated => Some("washcoated, over a sealer or topcoat"),
            _ => None,
        }
    }
}

/// The first step that needs bare wood, of steps that do not sand down to it first.
fn first_on_bare_wood(trial: &Trial) -> Option<&Step> {
    let first = trial.steps().find(|step| !matches!(step, Step::LeaveNatural))?;
    let needs =
        matches!(first, Step::Dye { .. } | Step::Stain { .. } | Step::Bleach { .. } | Step::DampDown | Step::PreWet);
    needs.then_some(first)
}

/// Readings before the first step that show a coat, where that step needs bare wood.
pub(super) fn coated_before(piece: &Piece, trial: &Trial) -> Vec<String> {
    if first_on_bare_wood(trial).is_none() {
        return Vec::new();
    }
    let before = trial.before.iter().filter_map(|id| piece.reading(*id));
    let coated = before.filter(|reading| matches!(reading.state, State::Sealed | State::Topcoated { .. }));
    coated
        .map(|reading| {
            format!(
                "reading {}, taken before its first step, is said to be {}, but that step needs bare wood: correct its state, or \
                 attach a reading of the bare surface",
                reading.id,
                reading.state.kind()
            )
        })
        .collect()
}

/// Readings of a trial in states that its steps cannot have left.
pub(super) fn impossible(piece: &Piece, trial: &Trial) -> Vec<String> {
    let before: Vec<&Reading> = trial.before.iter().filter_map(|id| piece.reading(*id)).map(AsRef::as_ref).collect();
    let mut surface = Surface::before(&before);
    let mut found = Vec::new();
    for (index, stage) in trial.stages.iter().enumerate() {
        surface = surface.after(&stage.step);
        for reading in stage.readings.iter().filter_map(|id| piece.reading(*id)) {
            let place = format!("step {}, reading {}", index + 1, reading.id);
            if let Some(objection) = surface.objection(&reading.state) {
                found.push(format!(
                    "{place} is said to be {objection}: correct its state, or attach it to another step"
                ));
            }
            if let (Step::Topcoat { topcoat, sheen }, State::Topcoated { topcoat: read, sheen: read_sheen }) =
                (&stage.step, &reading.state)
                && (topcoat, sheen) != (read, read_sheen)
            {
                let text = format!(
                    "{place} is under '{read} {read_sheen}', but '{topcoat} {sheen}' went on: name one topcoat"
                );
                found.push(text);
            }
        }
    }
    found
}
