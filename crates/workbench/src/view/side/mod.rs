//! Side by side: a pair of parts, the sentence about them, and every pair in a table.

mod pair;

use piece::{PartId, Piece, Surface};
use predict::{Comparison, PairRow};

use super::{Amount, Swatch, part_name};
use crate::{Workbench, words};

/// What the area shows.
#[derive(Clone, Debug, Default)]
pub struct SideBySide {
    /// The pair, where two parts can be shown.
    pub pair: Option<Pair>,
    /// Why there is none, and what to do first.
    pub empty: Option<String>,
    /// Every pair, by group.
    pub groups: Vec<Group>,
    /// Readings in unlike states: what was not compared, and the one action.
    pub unlike: Vec<Unlike>,
    /// Other parts that could not be compared, and why.
    pub not_compared: Vec<String>,
    /// Whether it was computed for an older piece.
    pub updating: bool,
}

/// Two parts side by side.
#[derive(Clone, Debug)]
pub struct Pair {
    /// The left part, which the sentence is about.
    pub left: Half,
    /// The right part.
    pub right: Half,
    /// All that stand edge to edge, from left to right: the two, or as many as are chosen, six at most.
    pub crops: Vec<Half>,
    /// Two lines: direction, then visibility.
    pub sentence: [String; 2],
    /// ΔE2000.
    pub de00: Amount,
    /// `a match is 2.5 or less`.
    pub tolerance: String,
    /// ΔL′, ΔC′, ΔH′.
    pub bars: [Bar; 3],
    /// The readings come from one photo.
    pub one_photo: bool,
    /// How a reading was carried across.
    pub carried: Option<String>,
}

/// One side of a pair.
#[derive(Clone, Debug)]
pub struct Half {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// State and light of its reading.
    pub state: String,
    /// Its wood.
    pub swatch: Swatch,
}

/// A signed difference as a bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bar {
    /// `ΔL*`.
    pub name: &'static str,
    /// The number.
    pub number: String,
    /// `± 0.5`.
    pub plus_minus: String,
    /// Its value and bounds, for drawing.
    pub value: [f64; 3],
    /// The word at the left end and the one at the right end.
    pub ends: [&'static str; 2],
}

/// Pairs that belong together.
#[derive(Clone, Debug)]
pub struct Group {
    /// What they have in common.
    pub head: String,
    /// The pairs.
    pub rows: Vec<Row>,
    /// What can be said of all of them.
    pub words: String,
}

/// One pair in the table.
#[derive(Clone, Debug)]
pub struct Row {
    /// The parts, the one that is described first.
    pub pair: (PartId, PartId),
    /// `front two – front four`.
    pub name: String,
    /// ΔE2000.
    pub de00: Amount,
    /// Whether it is the pair on show.
    pub chosen: bool,
}

/// Readings in unlike states.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unlike {
    /// First clause.
    pub lead: String,
    /// The rest.
    pub text: String,
    /// Whether it can be carried across.
    pub can_carry: bool,
}

impl Workbench {
    /// What Side by side shows.
    pub fn side_by_side(&self) -> SideBySide {
        let Some(piece) = self.piece() else { return SideBySide::default() };
        let Some(tagged) = &self.results.comparison else {
            return SideBySide { updating: true, ..SideBySide::default() };
        };
        let mut view = SideBySide { updating: !tagged.is_current(piece), ..SideBySide::default() };
        let comparison = match &tagged.value {
            Ok(comparison) => comparison,
            Err(line) => return SideBySide { empty: Some(words::sentence(line)), ..view },
        };
        // Pairs with parts that have since been taken away wait for the next result.
        let rows: Vec<&PairRow> =
            comparison.pairs.iter().filter(|r| piece.part(r.a).is_some() && piece.part(r.b).is_some()).collect();
        view.unlike = self.unlike(piece, &rows);
        view.not_compared = comparison.not_compared.iter().map(|n| words::sentence(&n.reason)).collect();
        let shown: Vec<&PairRow> =
            rows.into_iter().filter(|row| row.found.carried.is_none() || self.side.carry).collect();
        let row = self.pair_on_show(&shown);
        view.pair = row.map(|(row, turned)| self.pair(piece, row, turned));
        if view.pair.is_none() {
            view.empty = Some(self.nothing_to_compare(piece, comparison));
        }
        view.groups = groups(piece, &shown, row.map(|(row, _)| (row.a, row.b)));
        view
    }

    fn nothing_to_compare(&self, piece: &Piece, comparison: &Comparison) -> String {
        let chosen_reason =
            comparison.not_compared.iter().find(|n| self.chosen.iter().any(|part| n.parts.contains(part)));
        if piece.parts.len() < 2 {
            "Name at least two parts, then read each from a photo.".into()
        } else if let Some(reason) = chosen_reason.or(comparison.not_compared.first()) {
            words::sentence(&reason.reason)
        } else {
            "Read two parts in the same state from photos, and they stand here edge to edge.".into()
        }
    }

    /// The row of the chosen pair, and whether the part it describes stands left; the worst among more than two chosen parts; else
    /// the worst pair, of a chosen part or of all: of those that meet, where any do.
    fn pair_on_show<'r>(&self, rows: &[&'r PairRow]) -> Option<(&'r PairRow, bool)> {
        let of = |a: PartId, b: PartId| {
            let straight = rows.iter().find(|r| (r.a, r.b) == (a, b)).map(|r| (*r, false));
            straight.or_else(|| rows.iter().find(|r| (r.b, r.a) == (a, b)).map(|r| (*r, true)))
        };
        let worst = |rows: Vec<&&'r PairRow>| {
            rows.into_iter().max_by(|a, b| a.found.de00.mean.total_cmp(&b.found.de00.mean)).copied()
        };
        if self.chosen.len() > 2 {
            let among = rows.iter().filter(|r| self.chosen.contains(&r.a) && self.chosen.contains(&r.b)).collect();
            return worst(among).map(|row| (row, true));
        }
        if let Some((a, b)) = self.side.pair {
            return of(a, b);
        }
        if let Some(part) = self.chosen.last() {
            let with = |r: &&&PairRow| r.a == *part || r.b == *part;
            let meeting = worst(rows.iter().filter(|r| with(r) && r.meeting.is_some()).collect());
            let row = meeting.or_else(|| worst(rows.iter().filter(with).collect()))?;
            return Some((row, row.a != *part));
        }
        let meeting = worst(rows.iter().filter(|r| r.meeting.is_some()).collect());
        meeting.or_else(|| worst(rows.iter().collect())).map(|row| (row, true))
    }

    /// Parts whose states differ from the rest, until the shift is accepted.
    fn unlike(&self, piece: &Piece, rows: &[&PairRow]) -> Vec<Unlike> {
        if self.side.carry {
            return Vec::new();
        }
        let Some(carried) = rows.iter().find(|row| row.found.carried.is_some()) else { return Vec::new() };
        let kind = kind_in(&carried.found.state);
        let odd: Vec<String> = piece
            .parts
            .iter()
            .filter(|part| rows.iter().any(|r| r.found.carried.is_some() && (r.a == part.id || r.b == part.id)))
            .filter(|part| self.colour_of(Surface::Part(part.id), kind).is_none())
            .map(|part| part.name.clone())
            .collect();
        let names = if odd.is_empty() {
            format!("{} and {}", part_name(piece, carried.a), part_name(piece, carried.b))
        } else {
            words::list(&odd)
        };
        vec![Unlike {
            lead: format!("{} not read {kind} like the rest.", words::capital(&was(&names, odd.len()))),
            text: format!("Not compared. {}", words::capital(carried.found.carried.as_deref().unwrap_or_default())),
            can_carry: true,
        }]
    }
}

fn was(names: &str, count: usize) -> String {
    format!("{names} {}", if count == 1 { "was" } else { "were" })
}

/// The kind of state that some words name.
fn kind_in(state: &str) -> &'static str {
    let kinds = ["bare dry", "spirit-wet", "colour wet", "colour dry", "washcoated", "sealed", "topcoated"];
    kinds.into_iter().find(|kind| state.contains(kind)).unwrap_or("bare dry")
}

/// How many of some pairs are over tolerance, by the bounds of their intervals.
fn beyond_tolerance(pairs: &[&PairRow]) -> String {
    let count = |over: fn(&PairRow) -> bool| pairs.iter().filter(|row| over(row)).count();
    let surely = count(|row| row.found.de00.low > row.found.tolerance_de00);
    let maybe = count(|row| row.found.de00.high > row.found.tolerance_de00) - surely;
    match (surely, maybe, pairs.len()) {
        (0, 0, _) => "all within tolerance".to_owned(),
        (0, maybe, all) => format!("{maybe} of {all} may be over tolerance"),
        (surely, 0, all) => format!("{surely} of {all} over tolerance"),
        (surely, maybe, all) => format!("{surely} of {all} over tolerance, {maybe} more may be"),
    }
}

/// The pairs that meet, the worst first, then those that do not.
fn groups(piece: &Piece, rows: &[&PairRow], on_show: Option<(PartId, PartId)>) -> Vec<Group> {
    let row = |r: &&PairRow| Row {
        pair: (r.b, r.a),
        name: format!("{} – {}", part_name(piece, r.a), part_name(piece, r.b)),
        de00: Amount::de00(r.found.de00),
        chosen: on_show == Some((r.a, r.b)),
    };
    let mut groups = Vec::new();
    let assumed = predict::sight::assumed_meeting(piece).is_some();
    let meeting = if assumed { "No joints entered: all meet" } else { "Parts that meet" };
    for (head, meets) in [(meeting, true), ("Parts that do not meet", false)] {
        let mut some: Vec<&PairRow> = rows.iter().filter(|r| r.meeting.is_some() == meets).copied().collect();
        some.sort_by(|a, b| b.found.de00.mean.total_cmp(&a.found.de00.mean));
        if some.is_empty() {
            continue;
        }
        let words = if meets { beyond_tolerance(&some) } else { String::new() };
        groups.push(Group { head: head.into(), rows: some.iter().map(row).collect(), words });
    }
    groups
}

#[cfg(test)]
mod tests {
    use predict::Interval;

    use super::*;
    use crate::sample::oak_chest;

    /// Words follow the bounds of an interval, never its middle: what may be within is not called over.
    #[test]
    fn pairs_are_counted_over_tolerance_by_their_bounds() {
        let rows = predict::compare(&oak_chest()).pairs;
        let counted = |bounds: &[[f64; 2]]| {
            let mut some = rows[..bounds.len()].to_vec();
            for (row, [low, high]) in some.iter_mut().zip(bounds) {
                row.found.tolerance_de00 = 2.5;
                row.found.de00 = Interval { mean: (low + high) / 2.0, low: *low, high: *high };
            }
            beyond_tolerance(&some.iter().collect::<Vec<_>>())
        };
        assert_eq!(counted(&[[0.0, 2.0], [1.0, 2.5]]), "all within tolerance");
        assert_eq!(counted(&[[2.0, 6.0], [1.0, 2.5]]), "1 of 2 may be over tolerance");
        assert_eq!(counted(&[[2.6, 3.0], [1.0, 2.5], [3.0, 9.0]]), "2 of 3 over tolerance");
        assert_eq!(counted(&[[2.6, 3.0], [2.0, 3.5], [3.0, 9.0]]), "2 of 3 over tolerance, 1 more may be");
    }
}
