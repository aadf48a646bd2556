//! Routes: strips of predicted parts, the ranking for one part, the schedule in the panel.

use piece::{PartId, Piece, Step, Surface};
use predict::{EvidenceKind, Ranking, Route, Row, WayBack};
use sheet::amount::duration;

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

/// The ranking for one part.
#[derive(Clone, Debug, Default)]
pub struct RankingView {
    /// `Front four, ranked`.
    pub head: String,
    /// The colour to reach.
    pub matched: Option<Swatch>,
    /// The schedules, best first.
    pub rows: Vec<RowView>,
    /// Why there is none.
    pub empty: Option<String>,
    /// What is barred, and what was not tried.
    pub notes: Vec<(String, String)>,
    /// Whether it was computed for an older piece, or is being computed.
    pub updating: bool,
}

/// One ranked schedule.
#[derive(Clone, Debug)]
pub struct RowView {
    /// Its id.
    pub id: String,
    /// Its steps in words.
    pub words: String,
    /// Predicted.
    pub swatch: Swatch,
    /// ΔE2000.
    pub de00: Amount,
    /// `9 in 10`.
    pub odds: String,
    /// `3 h, 3 d`.
    pub work: String,
    /// `none`, `in part`, `whole`.
    pub way_back: &'static str,
    /// `3 trials`.
    pub evidence: String,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// The panel beside it.
#[derive(Clone, Debug)]
pub struct ScheduleView {
    /// The part.
    pub head: String,
    /// `seven steps, three days`.
    pub note: String,
    /// Steps: name, and how much or how long to wait.
    pub steps: Vec<(String, String)>,
    /// Cautions: first clause, and the rest.
    pub cautions: Vec<(String, String)>,
    /// ΔE2000 to the match, and the odds.
    pub gives: String,
    /// What stands behind it.
    pub evidence: String,
    /// What to know about the evidence.
    pub notes: Vec<String>,
    /// Whether it is the plan already.
    pub is_plan: bool,
}

impl Workbench {
    /// What Routes shows.
    pub fn routes_view(&self) -> RoutesView {
        let Some(piece) = self.piece() else { return RoutesView::default() };
        let Some(tagged) = &self.results.routes else {
            return RoutesView { updating: true, ..RoutesView::default() };
        };
        let mut view = RoutesView { updating: !tagged.is_current(piece), ..RoutesView::default() };
        match &tagged.value {
            Ok(routes) => {
                view.parts = self.heads(piece);
                view.routes =
                    routes.routes.iter().enumerate().map(|(n, route)| self.route(n, route, &view.parts)).collect();
                let barred =
                    routes.barred.iter().map(|b| (format!("{}: {}", part_name(piece, b.part), b.what), b.why.clone()));
                let left_out = routes.left_out.iter().map(|n| {
                    let names: Vec<_> = n.parts.iter().map(|id| part_name(piece, *id)).collect();
                    (words::shared_names(&names), n.reason.clone())
                });
                view.barred = barred.chain(left_out).collect();
                if view.routes.is_empty() {
                    view.empty = Some(
                        "No route yet. Log a trial on a board, with its colour before and after, and come back.".into(),
                    );
                }
            }
            Err(line) => view.empty = Some(words::capital(line)),
        }
        view
    }

    /// The parts as heads: wide ones by their area, within bounds that keep every name readable.
    fn heads(&self, piece: &Piece) -> Vec<(PartId, String, f32, bool)> {
        let names: Vec<String> = piece.parts.iter().map(|part| part.name.clone()).collect();
        let share = |area: Option<f64>| area.unwrap_or(0.3).clamp(0.18, 0.45) as f32;
        let sum: f32 = piece.parts.iter().map(|part| share(part.area_m2)).sum();
        let short = |name: &String| {
            let twin = |other: &&String| {
                other.split_once(' ').map(|(first, _)| first) == name.split_once(' ').map(|(first, _)| first)
            };
            match name.split_once(' ') {
                Some((_, rest)) if names.iter().filter(twin).count() > 1 => rest.to_owned(),
                _ => name.clone(),
            }
        };
        let head = |(part, name): (&std::sync::Arc<piece::Part>, &String)| {
            (part.id, short(name), share(part.area_m2) / sum, Some(part.id) == self.part())
        };
        piece.parts.iter().zip(&names).map(head).collect()
    }

    fn route(&self, number: usize, route: &Route, parts: &[(PartId, String, f32, bool)]) -> RouteView {
        let swatch = |id: PartId| {
            let schedule = route.schedules.iter().find(|schedule| schedule.part == id)?;
            Some(self.swatch(Surface::Part(id), schedule.row.predicted.mean))
        };
        let stays = stays(route);
        let short = |name: &str| self.piece().map_or_else(|| name.to_owned(), |piece| words::short_name(piece, name));
        let names = route
            .worst_pair
            .as_ref()
            .map_or_else(String::new, |pair| format!("{} – {}", short(&pair.a), short(&pair.b)));
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

    /// The ranking for the part the panel tells about.
    pub fn ranking_view(&self) -> RankingView {
        let (Some(piece), Some(part)) = (self.piece(), self.part()) else { return RankingView::default() };
        let head = format!("{}, ranked", words::capital(&part_name(piece, part)));
        let Some(tagged) = self.results.rankings.get(&part) else {
            return RankingView { head, updating: true, ..RankingView::default() };
        };
        let mut view = RankingView { head, updating: !tagged.is_current(piece), ..RankingView::default() };
        match &tagged.value {
            Ok(ranking) => {
                let on = match piece.match_sample {
                    piece::MatchSample::Part(id) => Surface::Part(id),
                    _ => Surface::Part(part),
                };
                view.matched = Some(self.swatch(on, ranking.target.mean));
                let chosen = self.chosen_row(ranking).map(|row| row.id.clone());
                view.rows = ranking.rows.iter().map(|row| self.row(part, row, chosen.as_ref())).collect();
                view.notes = notes(ranking);
            }
            Err(line) => view.empty = Some(words::capital(line)),
        }
        view
    }

    /// The row chosen by hand; else the one the chosen route gives this part; else the best.
    fn chosen_row<'r>(&self, ranking: &'r Ranking) -> Option<&'r Row> {
        let by_hand = self.routes.row.as_ref().and_then(|id| ranking.rows.iter().find(|row| row.id == *id));
        let in_route = || {
            let routes = self.results.routes.as_ref()?.value.as_ref().ok()?;
            let schedule = routes.routes.get(self.routes.route)?.schedules.iter().find(|s| s.part == ranking.part)?;
            ranking.rows.iter().find(|row| row.id == schedule.row.id || row.steps == schedule.row.steps)
        };
        by_hand.or_else(in_route).or_else(|| ranking.rows.first())
    }

    fn row(&self, part: PartId, row: &Row, chosen: Option<&String>) -> RowView {
        let trials = row.evidence.trials.len();
        RowView {
            id: row.id.clone(),
            words: self.piece().map_or_else(|| row.words.clone(), |piece| short_words(piece, row)),
            swatch: self.swatch(Surface::Part(part), row.predicted.mean),
            de00: Amount::de00(row.de00),
            odds: words::odds(row.chance_within),
            work: words::work_short(row.hours, row.wait_hours),
            way_back: match row.reversible {
                _ if row.hours < 0.05 => "–",
                WayBack::Whole => "whole",
                WayBack::InPart => "in part",
                WayBack::None => "none",
            },
            evidence: match (row.evidence.kind, trials) {
                (EvidenceKind::NoEffect, _) => String::new(),
                (EvidenceKind::EarlierPieces, 0) => "shop book".into(),
                (EvidenceKind::PublishedOnly, 0) => "published".into(),
                (EvidenceKind::PublishedOnly, n) => format!("{n}, published"),
                (_, 1) => "1 trial".into(),
                (_, n) => format!("{n} trials"),
            },
            chosen: chosen == Some(&row.id),
        }
    }

    /// The schedule the panel tells about: the chosen row's, for the chosen part.
    pub fn schedule_view(&self) -> Option<ScheduleView> {
        let (piece, part) = (self.piece()?, self.part()?);
        let ranking = self.results.rankings.get(&part)?.value.as_ref().ok()?;
        let row = self.chosen_row(ranking)?;
        let name = words::capital(&part_name(piece, part));
        let count = row.steps.iter().filter(|step| !matches!(step, Step::LeaveNatural)).count();
        let days = words::days(row.hours, row.wait_hours);
        let note = match (count, days) {
            (0, _) => "left natural".into(),
            (1, 0 | 1) => "one step, in a day".into(),
            (n, 0 | 1) => format!("{n} steps, in a day"),
            (n, d) => format!("{n} steps, {d} days"),
        };
        let (area, units) = (piece.part(part)?.area_m2, self.units());
        let step = |step: &Step| {
            let (name, how) = words::step_parts(piece, step);
            let wait = predict::trade::drying_hours(piece, step);
            let ml = area.and_then(|area| predict::trade::millilitres(piece, step, area));
            let amount = ml.map(|ml| units.liquid(units.rounded_up(ml)));
            let how = [Some(how), amount, (wait > 0.0).then(|| format!("dry {}", duration(wait)))];
            (name, how.into_iter().flatten().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", "))
        };
        let in_plan = piece.plan.as_ref().and_then(|plan| plan.schedules.iter().find(|(id, _)| *id == part));
        Some(ScheduleView {
            head: name,
            note,
            steps: row
                .steps
                .iter()
                .filter(|step| count == 0 || !matches!(step, Step::LeaveNatural))
                .map(step)
                .collect(),
            cautions: row.cautions.iter().map(|c| (c.lead.clone(), c.text.clone())).collect(),
            gives: format!(
                "{} ΔE2000 ({}) to the match, {}",
                words::number(row.de00.mean),
                words::range(row.de00),
                match words::odds(row.chance_within) {
                    odds if odds.contains("in 10") =>
                        format!("{odds} to be within {}", words::number(ranking.tolerance_de00)),
                    odds if odds == "none" => "no odds to speak of".into(),
                    odds => odds,
                }
            ),
            evidence: row.because.as_ref().map_or_else(
                || "Nothing is done to the colour.".into(),
                |because| format!("{}.", words::capital(because)),
            ),
            notes: notes_of(row),
            is_plan: in_plan.is_some_and(|(_, steps)| *steps == row.steps),
        })
    }
}

/// What to know of a schedule: of its evidence, of an uneven part, and of its colour in a year.
fn notes_of(row: &Row) -> Vec<String> {
    let evidence = row.evidence.notes.iter().map(|note| words::trials_by_number(note));
    let patchiness = row.patchiness.iter().map(|patchiness| patchiness.words());
    let ageing = row.ageing.iter().map(|note| format!("In a year: {} ({})", note.text, note.source));
    patchiness.chain(evidence).chain(ageing).collect()
}

/// What stays done, in words, and whether it cannot be undone.
fn stays(route: &Route) -> (String, bool) {
    let any = |of: fn(&Step) -> bool| route.schedules.iter().any(|schedule| schedule.row.steps.iter().any(of));
    match route.irreversible_steps.len() {
        0 if route.hours < 0.05 => ("nothing is changed".into(), false),
        0 => ("can be taken back".into(), false),
        _ if any(|step| matches!(step, Step::Bleach { .. })) => ("bleach cannot be undone".into(), true),
        _ if any(|step| matches!(step, Step::Stain { .. })) => ("stain stays".into(), true),
        _ if any(|step| matches!(step, Step::Dye { .. })) => ("dye stays".into(), true),
        1 => ("one step cannot be undone".into(), true),
        n => (format!("{n} steps cannot be undone"), true),
    }
}

/// The steps that colour, in few words; what every schedule has, sealer and clear coats, is left out.
fn short_words(piece: &Piece, row: &Row) -> String {
    let colours = |step: &&Step| !matches!(step, Step::Topcoat { .. } | Step::Seal);
    let steps: Vec<Step> = row.steps.iter().filter(colours).cloned().collect();
    if steps.is_empty() { row.words.clone() } else { words::steps(piece, &steps) }
}

fn notes(ranking: &Ranking) -> Vec<(String, String)> {
    let barred = ranking.barred.iter().map(|b| (words::capital(&b.what), b.why.clone()));
    let untried = (!ranking.untried.is_empty())
        .then(|| ("Not tried yet".to_owned(), words::trials_by_number(&ranking.untried.join("; "))));
    barred.chain(untried).collect()
}
