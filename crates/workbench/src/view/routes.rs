//! Routes: strips of predicted parts.

use piece::{PartId, Piece, Step, Surface};
use predict::{Barred, Route, WayBack, trade};

use super::{Amount, Swatch, part_name};
use crate::{Workbench, words};

/// What the area shows.
#[derive(Clone, Debug, Default)]
pub struct RoutesView {
    /// Part names as column heads, each with a share of the strip's width and whether it is chosen.
    pub parts: Vec<(PartId, String, f32, bool)>,
    /// The routes.
    pub routes: Vec<RouteView>,
    /// What to do first, or why there is none.
    pub empty: Option<String>,
    /// What is barred or left out, with its reason.
    pub barred: Vec<(String, String)>,
    /// What speaks against the plan as it stands.
    pub against_plan: Vec<String>,
    /// What is assumed of how the parts meet; none where it is entered.
    pub assumed: Option<String>,
    /// Whether it was computed for an older piece, or is being computed.
    pub updating: bool,
}

/// One route.
#[derive(Clone, Debug)]
pub struct RouteView {
    /// Its name.
    pub name: String,
    /// `3 h over 3 days`.
    pub work: String,
    /// What stays done, in words; whether it cannot be undone.
    pub stays: (String, bool),
    /// `9 in 10`.
    pub odds: String,
    /// ΔE2000 of the worst pair.
    pub worst: Option<Amount>,
    /// Which pair that is.
    pub worst_names: String,
    /// Predicted parts, in the order of the heads.
    pub swatches: Vec<Option<Swatch>>,
    /// Whether it is chosen.
    pub chosen: bool,
}

impl Workbench {
    /// What Routes shows.
    pub fn routes_view(&self) -> RoutesView {
        let Some(piece) = self.piece() else { return RoutesView::default() };
        let Some(tagged) = &self.results.routes else {
            return RoutesView { updating: true, ..RoutesView::default() };
        };
        let mut view = RoutesView {
            updating: !tagged.is_current(piece),
            against_plan: against_plan(piece),
            ..RoutesView::default()
        };
        match &tagged.value {
            Ok(routes) => {
                view.parts = self.heads(piece);
                view.routes = routes
                    .routes
                    .iter()
                    .enumerate()
                    .map(|(n, route)| self.route(piece, n, route, &view.parts))
                    .collect();
                let barred = barred_together(piece, &routes.barred);
                let left_out = routes.left_out.iter().map(|n| {
                    let names: Vec<_> = n.parts.iter().map(|id| part_name(piece, *id)).collect();
                    (words::shared_names(&names), n.reason.clone())
                });
                view.barred = barred.into_iter().chain(left_out).collect();
                let assumed = predict::sight::assumed_meeting(piece);
                view.assumed = assumed.map(words::sentence);
                if view.routes.is_empty() {
                    view.empty = Some(
                        "No route yet. Log a trial on a board, with its colour before and after, and come back.".into(),
                    );
                }
            }
            Err(line) => view.empty = Some(words::sentence(line)),
        }
        view
    }

    /// The parts as heads: wide ones by their area, within bounds that keep every name readable.
    fn heads(&self, piece: &Piece) -> Vec<(PartId, String, f32, bool)> {
        let share = |area: Option<f64>| area.unwrap_or(0.3).clamp(0.18, 0.45) as f32;
        let sum: f32 = piece.parts.iter().map(|part| share(part.area_m2)).sum();
        let head = |part: &std::sync::Arc<piece::Part>| {
            let name = words::short_name(piece, &part.name);
            (part.id, name, share(part.area_m2) / sum, Some(part.id) == self.part())
        };
        piece.parts.iter().map(head).collect()
    }

    fn route(&self, piece: &Piece, number: usize, route: &Route, parts: &[(PartId, String, f32, bool)]) -> RouteView {
        let swatch = |id: PartId| {
            let schedule = route.schedules.iter().find(|schedule| schedule.part == id)?;
            Some(self.swatch(Surface::Part(id), schedule.row.predicted.mean))
        };
        let stays = stays(&predict::with_mixes(piece, &route.mixes), route);
        let names = route.worst_pair.as_ref().map_or_else(String::new, |pair| format!("{} – {}", pair.a, pair.b));
        RouteView {
            name: words::capital(&route.name),
            work: words::work(route.hours, route.wait_hours),
            stays,
            odds: words::odds(route.chance_all_within),
            worst: route.worst_pair.as_ref().map(|pair| Amount::de00(pair.de00)),
            worst_names: names,
            swatches: parts.iter().map(|(id, ..)| swatch(*id)).collect(),
            chosen: number == self.routes.route,
        }
    }
}

/// What speaks against the plan of a piece, part by part, each as a sentence.
fn against_plan(piece: &Piece) -> Vec<String> {
    predict::trade::plan_problems(piece).iter().map(|problem| words::sentence(&format!("the {problem}"))).collect()
}

/// What stays done, in words, and whether it cannot be undone.
fn stays(piece: &Piece, route: &Route) -> (String, bool) {
    let rows = || route.schedules.iter().map(|schedule| &schedule.row);
    let wholly = rows().all(|row| row.reversible == WayBack::Whole);
    let is_undoable = |step: &Step| trade::way_back(piece, std::slice::from_ref(step)) != WayBack::None;
    let lost = |of: fn(&Step) -> bool| rows().flat_map(|row| &row.steps).any(|step| of(step) && !is_undoable(step));
    match route.irreversible_steps.len() {
        0 if route.hours < 0.05 => ("nothing is changed".into(), false),
        0 if wholly => ("can be taken back".into(), false),
        0 => ("comes out in part".into(), false),
        _ if lost(|step| matches!(step, Step::Bleach { .. })) => ("bleach cannot be undone".into(), true),
        _ if lost(|step| matches!(step, Step::Stain { .. })) => ("stain stays".into(), true),
        _ if lost(|step| matches!(step, Step::Sand { .. })) => ("sanding cannot be undone".into(), true),
        1 => ("one step cannot be undone".into(), true),
        n => (format!("{n} steps cannot be undone"), true),
    }
}

/// What is barred, once for all the parts that it is barred on for the same reason: `carcass, front one: oxalic acid`, and why.
fn barred_together(piece: &Piece, barred: &[Barred]) -> Vec<(String, String)> {
    let each = barred.iter().map(|one| (part_name(piece, one.part), (&one.what, &one.why)));
    let together = words::shared(each).into_iter();
    together.map(|(names, (what, why))| (format!("{}: {what}", words::shared_names(&names)), why.clone())).collect()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use piece::{Bar, PartId, Plan};

    use super::*;
    use crate::sample::oak_chest;

    /// The chest's bleaches were tried for front four alone: of the other six parts one line says so for each.
    #[test]
    fn what_is_barred_alike_on_several_parts_is_told_once() {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(oak_chest());
        bench.apply(crate::FrameAction::Go(crate::Area::Routes).into());
        assert!(bench.settle(std::time::Duration::from_secs(300)));
        let barred = bench.routes_view().barred;
        let of_oxalic: Vec<&str> =
            barred.iter().map(|(what, _)| what.as_str()).filter(|what| what.ends_with(": oxalic acid")).collect();
        assert_eq!(of_oxalic, ["carcass, fronts one two three five six: oxalic acid"], "{barred:?}");
    }

    /// The part's bars were corrected after the plan was made: the window says so beside the plan and in its list.
    #[test]
    fn a_barred_plan_is_told_where_the_plan_stands_and_among_what_is_wrong() {
        let mut piece = oak_chest();
        let bleach = Step::Bleach { kind: piece::Bleach::TwoPart, times: 1 };
        piece.plan = Some(Plan { name: "lighten".into(), schedules: vec![(PartId(5), vec![bleach])] });
        assert_eq!(against_plan(&piece), Vec::<String>::new());
        Arc::make_mut(piece.parts.iter_mut().find(|part| part.id == PartId(5)).unwrap()).bars.push(Bar::Bleach);
        let told = against_plan(&piece);
        assert!(told.len() == 1 && told[0].starts_with("The plan for front four: two-part bleach"), "{told:?}");
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(piece);
        assert!(bench.settle(std::time::Duration::from_secs(300)));
        let rows = bench.problems_view().rows;
        assert!(rows.iter().any(|(at, why)| at == "Plan for front four" && why.contains("barred")), "{rows:?}");
    }
}
