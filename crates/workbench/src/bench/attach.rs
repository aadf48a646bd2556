//! Readings of a board from photos find the step of its trial after which they were taken.

use piece::{
    Edit, Id, Piece, Reading, ReadingId, Stage, State, Step, Surface, Trial,
    edit::{ReadingEdit, TrialEdit},
};

use super::Workbench;
use crate::words;

impl Workbench {
    /// Puts a reading of a board into the trial that it was taken in, as part of the edit of this label that came last: into the chosen
    /// trial where that was made on the board, else into the last one made there. Says where it stands; none where it stands in none.
    pub(super) fn attach(&mut self, reading: ReadingId, label: &str) -> Option<String> {
        let piece = self.piece()?.clone();
        let reading = piece.reading(reading)?;
        let on_it = |trial: &&std::sync::Arc<Trial>| matches!(trial.on, Surface::Board(_)) && trial.on == reading.of;
        let chosen = self.samples.trial.and_then(|id| piece.trial(id)).filter(on_it);
        let trial = chosen.or_else(|| piece.trials.iter().rev().find(on_it))?;
        let (trial, stage) = with_reading(trial, reading)?;
        let said = format!("It stands in trial {}, after {}.", trial.id.number(), step_name(&piece, &trial, stage));
        let edits = vec![Edit::Trial(TrialEdit::Change(trial))];
        self.amend(&Edit::Together { label: label.to_owned(), edits }).then_some(said)
    }

    /// The edit that removes a reading, out of the trials that hold it too.
    pub fn taking_out(&self, reading: ReadingId) -> Edit {
        let removal = Edit::Reading(ReadingEdit::Remove(reading));
        let trials = self.piece().into_iter().flat_map(|piece| &piece.trials);
        let holding = trials.filter(|trial| trial.readings().any(|id| id == reading));
        let detached = holding.map(|trial| Edit::Trial(TrialEdit::Detach(trial.id, reading)));
        Edit::Together { label: removal.label().to_owned(), edits: detached.chain([removal.clone()]).collect() }
    }
}

fn step_name(piece: &Piece, trial: &Trial, stage: usize) -> String {
    words::step(piece, &trial.stages[stage].step)
}

/// A trial with a reading after the step that leaves such a state, and the place of that step. A sealer or a topcoat that the reading
/// shows and the trial does not name is added. None where no step leaves it, as bare wood.
fn with_reading(trial: &Trial, reading: &Reading) -> Option<(Trial, usize)> {
    let mut trial = trial.clone();
    let steps: Vec<Step> = trial.steps().cloned().collect();
    let is_coat = |step: &Step| matches!(step, Step::Seal | Step::Topcoat { .. });
    let bare = &steps[..steps.iter().position(is_coat).unwrap_or(steps.len())];
    let bleached = bare.iter().rposition(|step| matches!(step, Step::Bleach { .. }));
    let stage = match &reading.state {
        // Bare again once it was bleached; before that it is what the trial starts from, and is found without it.
        State::BareDry => bleached.filter(|_| !trial.before.is_empty())?,
        State::ColourDry | State::ColourWet | State::SpiritWet { .. } => bare.iter().rposition(changes_colour)?,
        State::Washcoated => bare.iter().rposition(|step| *step == Step::Washcoat)?,
        State::Sealed => {
            let added = || added(&mut trial, Step::Seal);
            let over = steps.iter().rposition(|step| !matches!(step, Step::Topcoat { .. }));
            if steps.contains(&Step::Seal) { over? } else { (bare.len() == steps.len()).then(added)? }
        }
        State::Topcoated { topcoat, sheen } => {
            let coat = Step::Topcoat { topcoat: topcoat.clone(), sheen: sheen.clone() };
            let there = steps.iter().rposition(|step| matches!(step, Step::Topcoat { .. }));
            there.unwrap_or_else(|| added(&mut trial, coat))
        }
    };
    trial.stages[stage].readings.push(reading.id);
    Some((trial, stage))
}

fn added(trial: &mut Trial, step: Step) -> usize {
    trial.stages.push(Stage { step, readings: Vec::new() });
    trial.stages.len() - 1
}

fn changes_colour(step: &Step) -> bool {
    matches!(step, Step::LeaveNatural | Step::Bleach { .. } | Step::Dye { .. } | Step::Stain { .. } | Step::Fill { .. })
}

#[cfg(test)]
mod tests {
    use colour::Lab;
    use piece::{Bleach, BoardId, ProductId, TrialId};

    use super::*;
    use crate::{FrameAction, SamplesAction, sample::oak_chest};

    const COVARIANCE: [[f64; 3]; 3] = [[0.1, 0.0, 0.0], [0.0, 0.1, 0.0], [0.0, 0.0, 0.1]];

    fn place(steps: &[Step], before: bool, state: State) -> Option<(Vec<Step>, usize)> {
        let on = Surface::Board(BoardId(1));
        let stages = steps.iter().map(|step| Stage { step: step.clone(), readings: Vec::new() }).collect();
        let before = if before { vec![ReadingId(1)] } else { Vec::new() };
        let trial = Trial::new(TrialId(1), on, before, stages);
        let reading = Reading::typed(ReadingId(9), on, state, Lab::new(50.0, 8.0, 20.0), COVARIANCE);
        let (trial, stage) = with_reading(&trial, &reading)?;
        assert_eq!(trial.stages[stage].readings, [ReadingId(9)]);
        Some((trial.steps().cloned().collect(), stage))
    }

    /// Each state is left by the step of the trade that ends in it (common practice, no source).
    #[test]
    fn a_state_is_that_after_the_step_which_leaves_it() {
        let bleach = Step::Bleach { kind: Bleach::Chlorine, times: 1 };
        let dye = Step::Dye { product: ProductId(1), grams_per_litre: 4.0, coats: 1 };
        let toner = Step::Toner { product: ProductId(1), passes: 1 };
        let coat = Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() };
        let coated = || State::Topcoated { topcoat: "oil".into(), sheen: "satin".into() };
        let all = [bleach, dye.clone(), Step::Seal, toner, coat.clone()];
        let at = |before, state| place(&all, before, state).map(|(_, stage)| stage);
        assert_eq!((at(false, State::BareDry), at(true, State::BareDry)), (None, Some(0)));
        assert_eq!(at(true, State::ColourDry), Some(1));
        assert_eq!(at(true, State::SpiritWet { liquid: "white spirit".into(), seconds: 20.0 }), Some(1));
        assert_eq!(
            (at(true, State::Sealed), at(true, coated()), at(true, State::Washcoated)),
            (Some(3), Some(4), None)
        );
        // A coat that is seen was put on.
        assert_eq!(place(std::slice::from_ref(&dye), true, coated()), Some((vec![dye.clone(), coat], 1)));
        assert_eq!(place(std::slice::from_ref(&dye), true, State::Sealed), Some((vec![dye, Step::Seal], 1)));
        assert_eq!(place(&[Step::Seal], true, State::ColourDry), None);
    }

    /// The oak chest, with a trial of dye logged on board 3 and nothing read of it yet.
    fn dyed() -> (Workbench, TrialId) {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        bench.apply(SamplesAction::Log("board 3 amber dye 4 g/L".into()).into());
        let trial = bench.piece().unwrap().trials.last().unwrap().id;
        (bench, trial)
    }

    /// Reads board 3 as a photo's region does.
    fn read(bench: &mut Workbench, state: State) -> (ReadingId, Option<String>) {
        let on = bench.piece().unwrap().trials.last().unwrap().on;
        let reading = Reading::typed(ReadingId(0), on, state, Lab::new(63.0, 6.5, 23.0), COVARIANCE);
        let edit = Edit::Reading(ReadingEdit::Add(Box::new(reading)));
        assert!(bench.edit(&edit), "{}", bench.status().happened);
        let id = bench.piece().unwrap().readings.last().unwrap().id;
        let said = bench.attach(id, edit.label());
        (id, said)
    }

    /// A trial learns from what is read of its board in a photo; reading and place are taken back as one.
    #[test]
    fn what_is_read_of_a_board_stands_in_its_trial() {
        let (mut bench, trial) = dyed();
        let before = bench.piece().unwrap().clone();
        let (id, said) = read(&mut bench, State::ColourDry);
        let number = trial.number();
        assert_eq!(said.as_deref(), Some(&*format!("It stands in trial {number}, after amber dye 4 g/L.")));
        let piece = bench.piece().unwrap().clone();
        assert_eq!(piece.trial(trial).unwrap().stages[0].readings, [id]);
        assert!(piece::check::check(&piece).is_empty(), "{:?}", piece::check::check(&piece));
        bench.apply(FrameAction::Undo.into());
        assert_eq!(*bench.piece().unwrap(), before);
        bench.apply(FrameAction::Redo.into());
        let removal = bench.taking_out(id);
        assert!(bench.edit(&removal), "{}", bench.status().happened);
        assert_eq!(
            (&bench.piece().unwrap().readings, &bench.piece().unwrap().trials),
            (&before.readings, &before.trials)
        );
    }

    /// Read first and logged afterwards comes to the same; what was read of bare wood is what the trial starts from.
    #[test]
    fn what_was_read_before_the_trial_was_logged_is_put_into_it() {
        let (mut bench, _) = dyed();
        bench.apply(FrameAction::Undo.into());
        let mut piece = (**bench.piece().unwrap()).clone();
        let board = piece.boards[2].id;
        piece.trials.retain(|trial| trial.on != Surface::Board(board));
        bench.put(piece);
        let on = Surface::Board(board);
        let reading = Reading::typed(ReadingId(0), on, State::ColourDry, Lab::new(63.0, 6.5, 23.0), COVARIANCE);
        assert!(bench.edit(&Edit::Reading(ReadingEdit::Add(Box::new(reading)))));
        let id = bench.piece().unwrap().readings.last().unwrap().id;
        bench.apply(SamplesAction::Log(format!("{} amber dye 4 g/L", bench.piece().unwrap().boards[2].name)).into());
        let trial = bench.piece().unwrap().trials.last().unwrap().clone();
        assert!(trial.on == on && trial.stages[0].readings.contains(&id), "{trial:?} {}", bench.status().happened);
    }
}
