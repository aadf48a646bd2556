//! Routes: choosing one, and making it the plan.

use piece::{Edit, PartId, Piece, Plan, Product, Step, edit::TargetEdit};

use super::{Workbench, mixes::entering};
use crate::{action::RoutesAction, status::Status, words};

impl Workbench {
    pub(super) fn routes_action(&mut self, action: RoutesAction) {
        match action {
            RoutesAction::Choose(place) => {
                self.routes.route = place;
                self.routes.row = None;
                // The panel tells about the part that the route does most to.
                if let Some(part) = self.busiest_part(place) {
                    self.chosen = vec![part];
                }
            }
            RoutesAction::ChooseRow(id) => self.routes.row = Some(id),
            RoutesAction::MakePlan => self.make_plan(),
        }
    }

    /// The part with most hours in a route.
    pub(crate) fn busiest_part(&self, place: usize) -> Option<PartId> {
        let routes = self.results.routes.as_ref()?.value.as_ref().ok()?;
        let schedules = &routes.routes.get(place)?.schedules;
        let busiest = schedules.iter().filter(|s| s.row.hours > 0.0).max_by(|a, b| a.row.hours.total_cmp(&b.row.hours));
        busiest.map(|schedule| schedule.part)
    }

    fn make_plan(&mut self) {
        let Some((plan, mixes)) = self.plan_from_row().or_else(|| self.plan_from_route()) else {
            self.status = Status::failed("There is no route yet: log a trial on a board, then come back.");
            return;
        };
        let name = plan.name.clone();
        let Some(edit) = self.piece().map(|piece| taking_over(piece, plan, &mixes)) else { return };
        if self.edit(&edit) {
            self.status = Status::done(format!("The plan is ‘{name}’."), "see the sheet, press 5");
        }
    }

    fn plan_from_route(&self) -> Option<(Plan, Vec<Product>)> {
        let routes = self.results.routes.as_ref()?.value.as_ref().ok()?;
        let route = routes.routes.get(self.routes.route)?;
        let does_something = |steps: &[Step]| !steps.iter().all(|step| matches!(step, Step::LeaveNatural));
        let schedules =
            route.schedules.iter().map(|s| (s.part, s.row.steps.clone())).filter(|(_, steps)| does_something(steps));
        Some((Plan { name: route.name.clone(), schedules: schedules.collect() }, route.mixes.clone()))
    }

    /// The schedule chosen in the ranking, in the plan as it is so far.
    fn plan_from_row(&self) -> Option<(Plan, Vec<Product>)> {
        let (piece, part, id) = (self.piece()?, self.part()?, self.routes.row.as_ref()?);
        let ranking = self.results.rankings.get(&part)?.value.as_ref().ok()?;
        let row = ranking.rows.iter().find(|row| row.id == *id)?;
        let name = format!("{}: {}", words::capital(&piece.part(part)?.name), row.words);
        let mut schedules = piece.plan.as_ref().map(|plan| plan.schedules.clone()).unwrap_or_default();
        schedules.retain(|(other, _)| *other != part);
        schedules.push((part, row.steps.clone()));
        Some((Plan { name, schedules }, ranking.mixes.clone()))
    }
}

/// The edit that makes this the plan, and enters the mixes that it names: one step to undo.
fn taking_over(piece: &Piece, mut plan: Plan, mixes: &[Product]) -> Edit {
    // What was planned before names no mix that is not in the piece.
    let kept: Vec<(PartId, Vec<Step>)> = piece.plan.as_ref().map(|plan| plan.schedules.clone()).unwrap_or_default();
    let new = |schedule: &(PartId, Vec<Step>)| !kept.contains(schedule);
    let named = plan.schedules.iter().filter(|schedule| new(schedule)).flat_map(|(_, steps)| steps);
    let (mut edits, renamed) = entering(piece, mixes, named);
    for schedule in plan.schedules.iter_mut().filter(|schedule| new(schedule)) {
        schedule.1 = schedule.1.iter().map(|step| renamed.step(step)).collect();
    }
    let to_plan = Edit::Target(TargetEdit::Plan(Some(plan)));
    if edits.is_empty() {
        return to_plan;
    }
    let label = to_plan.label().to_owned();
    edits.push(to_plan);
    Edit::Together { label, edits }
}
