//! Samples: logging a trial from a line, boards, and taking a trial into the plan.

use piece::{
    Board, BoardId, Edit, Fidelity, Piece, Plan, Reading, ReadingId, Stage, State, Step, Surface, Trial, TrialId,
    edit::{BoardEdit, ProductEdit, ReadingEdit, TargetEdit, TrialEdit},
};

use super::{Workbench, mixes::entering};
use crate::{
    action::SamplesAction,
    log_line::{self, Logged, Typed, TypedState},
    photos::now,
    product_line::product_line,
    status::Status,
    words,
};

const LOG: &str = "log trial";
/// A typed colour is taken to be good to one unit of L*, a*, b* where nothing else is said: own estimate.
const TYPED_VARIANCE: f64 = 1.0;

impl Workbench {
    pub(super) fn samples_action(&mut self, action: SamplesAction) {
        match action {
            SamplesAction::Choose(trial) => self.samples.trial = Some(trial),
            SamplesAction::Log(line) => self.log(&line),
            SamplesAction::AddBoard => self.add_board(),
            SamplesAction::Use(trial) => self.use_trial(trial),
        }
    }

    fn log(&mut self, line: &str) {
        let Some(piece) = self.piece().cloned() else { return };
        if let Some(typed) = product_line(line, &piece) {
            self.product(typed);
            return;
        }
        let logged = match self.logged(line, &piece) {
            Ok(logged) => logged,
            Err(complaint) => {
                self.status = Status::failed(complaint);
                return;
            }
        };
        if let Some((trial, said)) = self.log_trial(&logged) {
            self.samples.trial = Some(trial);
            self.samples.last_line = line.trim().into();
            self.status = Status::done(said, "Esc, then 1 to read it from a photo, or 4 for the routes");
        }
    }

    fn product(&mut self, typed: Result<ProductEdit, String>) {
        let edit = match typed {
            Ok(edit) => edit,
            Err(complaint) => {
                self.status = Status::failed(complaint);
                return;
            }
        };
        let status = match &edit {
            ProductEdit::Add(product) => Status::done(format!("At hand: {}.", product.name), "log a trial with it"),
            ProductEdit::Change(product) => Status::done(format!("Changed: {}.", product.name), ""),
            _ => return,
        };
        if self.edit(&Edit::Product(edit)) {
            self.status = status;
        }
    }

    /// A trial as it was typed; one line where it is not understood, or its steps harm or cannot be.
    fn logged(&self, line: &str, piece: &Piece) -> Result<Logged, String> {
        let piece = self.piece_with_mixes(piece);
        let logged = log_line::parse(line, &piece)?;
        let steps: Vec<Step> = logged.stages.iter().map(|(step, _)| step.clone()).collect();
        let why = predict::trade::order_objection(&piece, &steps).or_else(|| uncoated_over_coat(&logged));
        match why {
            Some(why) => Err(format!("Not logged: {why}.")),
            None => Ok(logged),
        }
    }

    /// Whether a line for the log would be taken: else it stays to be mended.
    pub fn would_log(&self, line: &str) -> bool {
        let Some(piece) = self.piece() else { return false };
        product_line(line, piece).map_or_else(|| self.logged(line, piece).is_ok(), |typed| typed.is_ok())
    }

    /// Adds the typed readings, the mixes that it names and the trial as one step to undo.
    fn log_trial(&mut self, logged: &Logged) -> Option<(TrialId, String)> {
        let mixes = self.offered_mixes();
        let typed = logged.before.iter().chain(logged.stages.iter().flat_map(|(_, typed)| typed)).count();
        let first_new = self.piece()?.readings.len();
        if typed > 0 {
            let edits = self.typed_readings(logged);
            if !self.edit(&Edit::Together { label: LOG.into(), edits }) {
                return None;
            }
        }
        let piece = self.piece()?.clone();
        let mut new = piece.readings[first_new..].iter().map(|reading| reading.id);
        let mut before: Vec<ReadingId> = new.by_ref().take(logged.before.len()).collect();
        if before.is_empty() {
            before = self.untreated(logged.on);
        }
        let (mut edits, renamed) = entering(&piece, &mixes, logged.stages.iter().map(|(step, _)| step));
        let stage = |(step, typed): &(Step, Vec<Typed>)| Stage {
            step: renamed.step(step),
            readings: new.by_ref().take(typed.len()).collect(),
        };
        let stages = logged.stages.iter().map(stage).collect();
        let trial = Trial { made: now(), ..Trial::new(TrialId(0), logged.on, before, stages) };
        edits.push(Edit::Trial(TrialEdit::Log(trial)));
        let edit = Edit::Together { label: LOG.into(), edits };
        let done = if typed > 0 { self.amend(&edit) } else { self.edit(&edit) };
        if !done {
            return None;
        }
        let (on, trial) = (logged.on, self.piece()?.trials.last()?.id);
        self.samples.trial = Some(trial);
        // What was read there before the trial was logged, and can only be of it.
        let of_it = |id: &ReadingId| self.piece().and_then(|piece| piece.reading(*id)).is_some_and(|one| one.of == on);
        let adrift: Vec<ReadingId> = predict::adrift(self.piece()?).into_iter().filter(of_it).collect();
        adrift.into_iter().for_each(|reading| drop(self.attach(reading, LOG)));
        let piece = self.piece()?;
        let trial = piece.trial(trial)?;
        let steps: Vec<Step> = trial.steps().cloned().collect();
        let said = format!("Logged on {}: {}.", words::surface(piece, logged.on), words::steps(piece, &steps));
        // On a board it may be tried out; what was done to the part itself is told at once.
        let against = match logged.on {
            Surface::Part(id) => piece.part(id).and_then(|part| predict::trade::objection(piece, part, &steps)),
            Surface::Board(_) => None,
        };
        let against = against.map(|why| format!(" Against the trade: {}", words::sentence(&why)));
        Some((trial.id, said + &against.unwrap_or_default()))
    }

    pub(super) fn amend(&mut self, edit: &Edit) -> bool {
        let Some(open) = &mut self.open else { return false };
        match open.history.amend(edit) {
            Ok(()) => {
                self.autosave();
                true
            }
            Err(error) => {
                // The readings that were to belong to it go too.
                open.history.undo();
                self.status = Status::failed(error.to_string());
                false
            }
        }
    }

    fn typed_readings(&self, logged: &Logged) -> Vec<Edit> {
        let add = |typed: &Typed, coloured: bool| {
            Edit::Reading(ReadingEdit::Add(Box::new(self.typed(logged.on, typed, coloured))))
        };
        let mut coloured = false;
        let mut edits: Vec<Edit> = logged.before.iter().map(|typed| add(typed, false)).collect();
        for (step, typed) in &logged.stages {
            coloured |= matches!(step, Step::Dye { .. } | Step::Stain { .. } | Step::Glaze { .. } | Step::Toner { .. });
            edits.extend(typed.iter().map(|typed| add(typed, coloured)));
        }
        edits
    }

    fn typed(&self, of: Surface, typed: &Typed, coloured: bool) -> Reading {
        let (topcoat, sheen) = self.piece().and_then(|piece| piece.topcoat.clone()).unwrap_or_default();
        let state = match typed.state {
            TypedState::Dry if coloured => State::ColourDry,
            TypedState::Dry => State::BareDry,
            TypedState::Wet => State::SpiritWet { liquid: "white spirit".into(), seconds: 0.0 },
            TypedState::Sealed => State::Sealed,
            TypedState::Coated => State::Topcoated { topcoat, sheen },
        };
        let v = TYPED_VARIANCE;
        let covariance = [[v, 0.0, 0.0], [0.0, v, 0.0], [0.0, 0.0, v]];
        let light = self.light.clone().unwrap_or_else(|| "daylight".into());
        Reading { light, taken: now(), ..Reading::typed(ReadingId(0), of, state, typed.lab, covariance) }
    }

    /// Readings of a place before anything was done there.
    fn untreated(&self, on: Surface) -> Vec<ReadingId> {
        let Some(piece) = self.piece() else { return Vec::new() };
        if let Some(trial) = piece.trials.iter().rev().find(|trial| trial.on == on && !trial.before.is_empty()) {
            return trial.before.clone();
        }
        let after_a_step = |id| piece.trials.iter().any(|t| t.stages.iter().any(|stage| stage.readings.contains(&id)));
        let bare = piece.readings.iter().filter(|r| r.of == on && r.state == State::BareDry && !after_a_step(r.id));
        bare.map(|reading| reading.id).collect()
    }

    fn add_board(&mut self) {
        let (Some(piece), Some(part)) = (self.piece().cloned(), self.part()) else {
            self.status = Status::failed("Name a part first: a board stands for the wood of a part.");
            return;
        };
        let free = |name: &String| piece.boards.iter().all(|board| board.name.to_lowercase() != *name);
        let name = (1..).map(|n| format!("board {n}")).find(free).unwrap_or_default();
        let fidelity = Fidelity { same_exposure: false, same_grit: true, same_stripping: true };
        let board = Board { fidelity, ..Board::new(BoardId(0), name.clone(), part) };
        if self.edit(&Edit::Board(BoardEdit::Add(board))) {
            let part = piece.part(part).map(|part| part.name.clone()).unwrap_or_default();
            let said = format!("{name} stands for {part}: same grit and stripping, not the same light over the years.");
            self.status = Status::done(said, "log what you try on it, press /");
        }
    }

    fn use_trial(&mut self, trial: TrialId) {
        let Some(piece) = self.piece().cloned() else { return };
        let (Some(trial), Some(part)) = (piece.trial(trial), self.part()) else { return };
        let part = match trial.on {
            Surface::Board(board) => piece.board(board).map_or(part, |board| board.stands_for),
            Surface::Part(part) => part,
        };
        let steps: Vec<Step> = trial.steps().cloned().collect();
        let name = format!("As tried on {}", words::surface(&piece, trial.on));
        let mut plan = piece.plan.clone().unwrap_or(Plan { name: name.clone(), schedules: Vec::new() });
        plan.name = name;
        plan.schedules.retain(|(other, _)| *other != part);
        let Some(part) = piece.part(part) else { return };
        if let Some(why) = predict::trade::objection(&piece, part, &steps) {
            self.status = Status::failed(words::sentence(&format!("not planned for {}: {why}", part.name)));
            return;
        }
        plan.schedules.push((part.id, predict::trade::under_clear_coats(&piece, steps)));
        if self.edit(&Edit::Target(TargetEdit::Plan(Some(plan)))) {
            self.status = Status::done(format!("This is the plan for {}.", part.name), "see the sheet, press 5");
        }
    }
}

/// Why a colour that was typed behind a coat cannot have been read as it says: under a coat wood is neither dry nor wet.
fn uncoated_over_coat(logged: &Logged) -> Option<String> {
    let is_coat = |step: &Step| matches!(step, Step::Seal | Step::Topcoat { .. });
    let first_coat = logged.stages.iter().position(|(step, _)| is_coat(step))?;
    let typed = logged.stages[first_coat..].iter().flat_map(|(_, typed)| typed);
    let word = typed.map(|typed| typed.state).find_map(|state| match state {
        TypedState::Dry => Some("dry"),
        TypedState::Wet => Some("wet"),
        TypedState::Sealed | TypedState::Coated => None,
    })?;
    Some(format!(
        "a colour read {word} cannot follow a coat; type it behind the step that it was read after, before the coat"
    ))
}

#[cfg(test)]
mod tests {
    use std::{sync::Arc, time::Duration};

    use piece::{Construction, Glue};

    use super::*;
    use crate::sample::oak_chest;

    const LONG: Duration = Duration::from_secs(120);

    /// The oak chest, with front four veneered on hide glue.
    fn veneered() -> Workbench {
        let mut piece = oak_chest();
        let four = piece.parts.iter_mut().find(|part| part.name == "front four").unwrap();
        Arc::make_mut(four).construction = Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide };
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(piece);
        assert!(bench.settle(LONG));
        bench
    }

    /// Water lifts veneer on hide glue (common practice, no source): what was tried on a board is not planned for the part, and says why
    /// before it is asked for.
    #[test]
    fn a_trial_that_the_trade_bars_on_the_part_is_not_planned() {
        let mut bench = veneered();
        let piece = bench.piece().unwrap().clone();
        let bleached = piece.trials.iter().find(|trial| trial.steps().any(|step| matches!(step, Step::Bleach { .. })));
        let trial = bleached.unwrap().id;
        bench.apply(SamplesAction::Choose(trial).into());
        let why = bench.trial_told().unwrap().barred.unwrap();
        assert!(why.starts_with("Not to be done to front four: ") && why.contains("veneer"), "{why}");
        bench.apply(SamplesAction::Use(trial).into());
        let status = bench.status().clone();
        assert!(status.failed && status.happened.starts_with("Not planned for front four: "), "{}", status.happened);
        assert_eq!(bench.piece().unwrap().plan, piece.plan);
    }

    /// A plan ends under the clear coats, whether the trial that it was taken from did or not.
    #[test]
    fn a_plan_from_a_trial_ends_under_the_clear_coats() {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        bench.apply(SamplesAction::Log("board 1 amber dye 4 g/L".into()).into());
        let trial = bench.piece().unwrap().trials.last().unwrap().id;
        bench.apply(SamplesAction::Use(trial).into());
        let plan = bench.piece().unwrap().plan.clone().unwrap();
        let steps = &plan.schedules[0].1;
        assert!(matches!(steps[..], [Step::Dye { .. }, Step::Seal, Step::Topcoat { .. }]), "{steps:?}");
    }

    /// What was done to the part itself against the trade is told as it is logged; it was done, so it is kept.
    #[test]
    fn what_was_done_to_the_part_against_the_trade_is_told_at_once() {
        let mut bench = veneered();
        let trials = bench.piece().unwrap().trials.len();
        bench.apply(SamplesAction::Log("front four chlorine".into()).into());
        let said = bench.status().happened.clone();
        assert!(said.contains("Against the trade: ") && said.contains("veneer"), "{said}");
        assert_eq!(bench.piece().unwrap().trials.len(), trials + 1);
        bench.apply(SamplesAction::Log("carcass amber dye 4 g/L".into()).into());
        assert!(!bench.status().happened.contains("Against the trade"), "{}", bench.status().happened);
    }

    #[test]
    fn a_dry_colour_behind_a_coat_is_refused_and_the_line_stays() {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        let trials = bench.piece().unwrap().trials.len();
        let line = "board 1 amber dye 4 g/L topcoat dry 45/9/20";
        assert!(!bench.would_log(line));
        bench.apply(SamplesAction::Log(line.into()).into());
        assert!(bench.status().happened.contains("before the coat"), "{}", bench.status().happened);
        assert_eq!(bench.piece().unwrap().trials.len(), trials);
        assert!(bench.would_log("board 1 amber dye 4 g/L dry 45/9/20 topcoat coated 40/9/20"));
    }
}
