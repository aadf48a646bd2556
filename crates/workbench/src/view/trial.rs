//! Samples: the chosen trial.

use piece::{PartId, Piece, Step, Surface, Trial, TrialId};
use predict::{Interval, Verdict};

use super::Amount;
use crate::{Workbench, words};

/// The chosen trial as the panel tells of it.
#[derive(Clone, Debug)]
pub struct TrialTold {
    /// The trial.
    pub trial: TrialId,
    /// Its steps in a heading.
    pub head: String,
    /// ΔE2000 to the match sample.
    pub de00: Option<Amount>,
    /// Its verdict.
    pub verdict: String,
    /// Steps: name and how.
    pub steps: Vec<(String, String)>,
    /// Where the readings come from, and how true the board is.
    pub notes: Vec<String>,
    /// Cautions: first clause, and the rest.
    pub cautions: Vec<(String, String)>,
    /// The part it can be used on.
    pub part: Option<(PartId, String)>,
    /// Why it may not be used on that part.
    pub barred: Option<String>,
}

impl Workbench {
    /// The chosen trial, or the last one.
    pub fn trial_told(&self) -> Option<TrialTold> {
        let piece = self.piece()?;
        let trial = piece.trial(self.shown_trial()?)?;
        let steps: Vec<Step> = trial.steps().cloned().collect();
        let coated = self.last_reading(trial, self.judged());
        let interval = coated.as_ref().and_then(|r| self.match_interval(r));
        let stands_for = match trial.on {
            Surface::Board(id) => piece.board(id).map(|board| board.stands_for),
            Surface::Part(id) => Some(id),
        };
        let head = colour_steps(trial).iter().map(|step| words::step(piece, step)).collect::<Vec<_>>().join(", then ");
        Some(TrialTold {
            trial: trial.id,
            head: words::capital(if head.is_empty() { "left natural" } else { &head }),
            de00: interval.map(Amount::de00),
            verdict: verdict(interval, coated.is_some()).into(),
            steps: steps.iter().map(|step| words::step_parts(piece, step)).collect(),
            notes: self.trial_notes(piece, trial),
            cautions: predict::caution::for_steps(&steps, piece).into_iter().map(|c| (c.lead, c.text)).collect(),
            part: stands_for.map(|id| (id, super::part_name(piece, id))),
            barred: stands_for.and_then(|id| piece.part(id)).and_then(|part| {
                let why = predict::trade::objection(piece, part, &steps)?;
                Some(words::sentence(&format!("not to be done to {}: {why}", part.name)))
            }),
        })
    }

    /// Why a trial does not fit what the others say, as any ranking tells.
    pub(super) fn odd(&self, trial: TrialId) -> Option<String> {
        let rankings = self.results.rankings.values().filter_map(|tagged| tagged.value.as_ref().ok());
        let odd = rankings.flat_map(|ranking| &ranking.odd).find(|odd| odd.trial == trial)?;
        Some(words::sentence(&words::trials_by_number(&odd.words)))
    }

    fn trial_notes(&self, piece: &Piece, trial: &Trial) -> Vec<String> {
        let number = piece::Id::number(trial.id);
        let mut notes: Vec<String> = self.odd(trial.id).into_iter().collect();
        notes.push(format!("Trial {number}, {}.", words::readings(trial.readings().count())));
        if let Surface::Board(id) = trial.on
            && let Some(board) = piece.board(id)
        {
            let f = board.fidelity;
            let says = [(f.same_exposure, "exposure"), (f.same_grit, "grit"), (f.same_stripping, "stripping")];
            let same: Vec<String> = says.iter().filter(|(same, _)| *same).map(|(_, what)| (*what).to_owned()).collect();
            let other: Vec<String> =
                says.iter().filter(|(same, _)| !same).map(|(_, what)| (*what).to_owned()).collect();
            let name = words::capital(&board.name);
            notes.push(match (same.is_empty(), other.is_empty()) {
                (_, true) => format!("{name} has the same {}.", words::list(&same)),
                (true, _) => format!("{name} differs in {}.", words::list(&other)),
                _ => format!("{name} has the same {}, another {}.", words::list(&same), words::list(&other)),
            });
        }
        if !trial.note.is_empty() {
            notes.push(words::capital(&trial.note));
        }
        notes
    }
}

/// What can be said of a trial beside the match sample, or why nothing can.
fn verdict(to_match: Option<Interval>, is_read: bool) -> &'static str {
    match (to_match, is_read) {
        (Some(interval), _) => Verdict::of(interval).seen(),
        (None, true) => "Read as it will be seen. There is no one match sample to set it beside.",
        (None, false) => "Not read under the clear coat yet.",
    }
}

/// The steps of a trial that are neither sealer nor clear coats: what it is told apart by.
pub(super) fn colour_steps(trial: &Trial) -> Vec<Step> {
    trial.steps().filter(|step| !matches!(step, Step::Topcoat { .. } | Step::Seal)).cloned().collect()
}

/// Whether nothing was done but the clear coats.
pub(super) fn is_natural(trial: &Trial) -> bool {
    colour_steps(trial).iter().all(|step| matches!(step, Step::LeaveNatural))
}

#[cfg(test)]
mod tests {
    use super::verdict;

    /// What was read is not said to be unread only because all parts are to be alike, and no sample stands for them.
    #[test]
    fn a_trial_without_a_match_sample_is_not_called_unread() {
        assert!(verdict(None, true).starts_with("Read"));
        assert!(verdict(None, false).starts_with("Not read"));
    }
}
