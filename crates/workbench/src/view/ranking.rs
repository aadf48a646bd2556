//! Routes: the ranking for one part.

use piece::{PartId, Piece, Step, Surface};
use predict::{EvidenceKind, Ranking, Row, WayBack};

use super::{Amount, Swatch, part_name};
use crate::{Workbench, words};

/// The ranking for one part.
#[derive(Clone, Debug, Default)]
pub struct RankingView {
    /// `Front four, ranked`.
    pub head: String,
    /// The colour to reach.
    pub matched: Option<Swatch>,
    /// All schedules, best first; [`RankingView::shown`] are those that stand in the window.
    pub rows: Vec<RowView>,
    /// Why there is none.
    pub empty: Option<String>,
    /// What the rows stand in order of; none where there are none.
    pub order: Option<String>,
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
    /// Whether nothing is done to the colour.
    pub is_natural: bool,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// How many of the best schedules are shown: more are no help in choosing.
const BEST: usize = 24;

impl RankingView {
    /// The schedules to show: the best, and of those that come later leave natural and the chosen one.
    pub fn shown(&self) -> impl Iterator<Item = &RowView> {
        let shown = |(place, row): &(usize, &RowView)| *place < BEST || row.is_natural || row.chosen;
        self.rows.iter().enumerate().filter(shown).map(|(_, row)| row)
    }

    /// How many there are beside those shown, as a sentence; none where all are.
    pub fn more(&self) -> Option<String> {
        match self.rows.len() - self.shown().count() {
            0 => None,
            1 => Some(format!("One more way, after the first {BEST}, is not shown.")),
            n => Some(format!("{n} more ways, after the first {BEST}, are not shown.")),
        }
    }
}

impl Workbench {
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
                let piece = &*predict::with_mixes(piece, &ranking.mixes);
                view.rows = ranking.rows.iter().map(|row| self.row(piece, part, row, chosen.as_ref())).collect();
                view.order = (view.rows.len() > 1).then(|| words::sentence(words::RANKING_ORDER));
                view.notes = notes(ranking);
            }
            Err(line) => view.empty = Some(words::sentence(line)),
        }
        view
    }

    /// The row chosen by hand; else the one the chosen route gives this part; else the best.
    pub(super) fn chosen_row<'r>(&self, ranking: &'r Ranking) -> Option<&'r Row> {
        let by_hand = self.routes.row.as_ref().and_then(|id| ranking.rows.iter().find(|row| row.id == *id));
        let in_route = || {
            let routes = self.results.routes.as_ref()?.value.as_ref().ok()?;
            let schedule = routes.routes.get(self.routes.route)?.schedules.iter().find(|s| s.part == ranking.part)?;
            ranking.rows.iter().find(|row| row.id == schedule.row.id || row.steps == schedule.row.steps)
        };
        by_hand.or_else(in_route).or_else(|| ranking.rows.first())
    }

    fn row(&self, piece: &Piece, part: PartId, row: &Row, chosen: Option<&String>) -> RowView {
        let trials = row.evidence.trials.len();
        RowView {
            id: row.id.clone(),
            words: short_words(piece, row),
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
            is_natural: row.evidence.kind == EvidenceKind::NoEffect,
            chosen: chosen == Some(&row.id),
        }
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
    let told = [("Not tried yet", &ranking.untried), ("Of the trials", &ranking.notes)];
    let told = told.into_iter().filter(|(_, lines)| !lines.is_empty());
    barred.chain(told.map(|(what, lines)| (what.to_owned(), words::trials_by_number(&lines.join("; "))))).collect()
}

#[cfg(test)]
mod tests {
    use colour::Lab;

    use super::*;

    fn row(id: usize) -> RowView {
        RowView {
            id: id.to_string(),
            words: String::new(),
            swatch: Swatch::flat(Lab::new(50.0, 0.0, 0.0)),
            de00: Amount::default(),
            odds: String::new(),
            work: String::new(),
            way_back: "whole",
            evidence: String::new(),
            is_natural: false,
            chosen: false,
        }
    }

    /// The design: 'leave natural' always stands there. What is left away is counted.
    #[test]
    fn leave_natural_and_the_chosen_way_are_shown_however_late_they_come() {
        let rows = |count: usize| (0..count).map(row).collect::<Vec<_>>();
        let all = RankingView { rows: rows(BEST), ..RankingView::default() };
        assert_eq!((all.shown().count(), all.more()), (BEST, None));
        let mut view = RankingView { rows: rows(40), ..RankingView::default() };
        (view.rows[30].chosen, view.rows[39].is_natural) = (true, true);
        let shown: Vec<&str> = view.shown().map(|row| row.id.as_str()).collect();
        assert_eq!((shown.len(), &shown[BEST - 1..]), (BEST + 2, &["23", "30", "39"][..]));
        assert_eq!(view.more().as_deref(), Some("14 more ways, after the first 24, are not shown."));
    }
}
