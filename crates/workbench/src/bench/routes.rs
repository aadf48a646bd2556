//! Routes: choosing one, and making it the plan.

use piece::{Edit, PartId, Plan, Step, edit::TargetEdit};

use super::Workbench;
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
        let Some(plan) = self.plan_from_row().or_else(|| self.plan_from_route()) else {
            self.status = Status::failed("There is no route yet: log a trial on a board, then come back.");
            return;
        };
        let name = plan.name.clone();
        if self.edit(&Edit::Target(TargetEdit::Plan(Some(plan)))) {
            self.status = Status::done(format!("The plan is ‘{name}’."), "see the sheet, press 5");
        }
    }

    fn plan_from_route(&self) -> Option<Plan> {
        let routes = self.results.routes.as_ref()?.value.as_ref().ok()?;
        let route = routes.routes.get(self.routes.route)?;
        let does_something = |steps: &[Step]| !steps.iter().all(|step| matches!(step, Step::LeaveNatural));
        let schedules =
            route.schedules.iter().map(|s| (s.part, s.row.steps.clone())).filter(|(_, steps)| does_something(steps));
        Some(Plan { name: route.name.clone(), schedules: schedules.collect() })
    }

    /// The schedule chosen in the ranking, in the plan as it is so far.
    fn plan_from_row(&self) -> Option<Plan> {
        let (piece, part, id) = (self.piece()?, self.part()?, self.routes.row.as_ref()?);
        let ranking = self.results.rankings.get(&part)?.value.as_ref().ok()?;
        let row = ranking.rows.iter().find(|row| row.id == *id)?;
        let name = format!("{}: {}", words::capital(&piece.part(part)?.name), row.words);
        let mut schedules = piece.plan.as_ref().map(|plan| plan.schedules.clone()).unwrap_or_default();
        schedules.retain(|(other, _)| *other != part);
        schedules.push((part, row.steps.clone()));
        Some(Plan { name, schedules })
    }
}
