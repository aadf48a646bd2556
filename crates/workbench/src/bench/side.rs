//! Side by side: the pair on show, states carried across, the match sample.

use piece::{Edit, MatchSample, edit::TargetEdit};

use super::Workbench;
use crate::{action::SideAction, status::Status};

impl Workbench {
    pub(super) fn side_action(&mut self, action: SideAction) {
        match action {
            SideAction::Pair(a, b) => {
                self.side.pair = Some((a, b));
                self.chosen = vec![a, b];
            }
            SideAction::CarryAcross => {
                self.side.carry = true;
                self.status = Status::done(
                    "Carried across by what wetting and coating did here. The intervals are wider for it.",
                    "",
                );
            }
            SideAction::MatchSample(part) => {
                let sample = part.map_or(MatchSample::AllAlike, MatchSample::Part);
                if self.edit(&Edit::Target(TargetEdit::Match(sample))) {
                    let name = part.and_then(|id| Some(self.piece()?.part(id)?.name.clone()));
                    let said = name.map_or_else(
                        || "The parts are to be alike wherever they meet.".into(),
                        |name| format!("The match sample: {name}."),
                    );
                    self.status = Status::done(said, "try something on a board, press 3");
                }
            }
        }
    }
}
