//! Samples: boards with their columns, the plot of L* against C*, the chosen trial.

use std::sync::Arc;

use colour::{Lab, lch_from_lab};
use piece::{Board, PartId, Piece, Reading, ReadingId, Step, Surface, Trial, TrialId};

use super::{Amount, Swatch, between};
use crate::{Workbench, display, words};

/// A board with its columns.
#[derive(Clone, Debug)]
pub struct BoardView {
    /// `Board 1`.
    pub name: String,
    /// Which wood it stands for, and how truly.
    pub note: String,
    /// Its columns, in the order they were tried.
    pub columns: Vec<Column>,
}

/// One column: what was done, how it looks dry and coated, how far from the match sample.
#[derive(Clone, Debug)]
pub struct Column {
    /// The trial; none for the untreated wood.
    pub trial: Option<TrialId>,
    /// Two lines.
    pub head: [String; 2],
    /// Dry.
    pub dry: Option<Swatch>,
    /// Topcoated, or spirit-wet where it was not coated.
    pub coated: Option<Swatch>,
    /// ΔE2000 to the match sample.
    pub de00: Option<Amount>,
    /// Why no law explains it together with the others.
    pub odd: Option<String>,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// The rows that columns are cut into.
#[derive(Clone, Debug, Default)]
pub struct Boards {
    /// The boards.
    pub boards: Vec<BoardView>,
    /// The match sample as it is butted beneath.
    pub matched: Option<Swatch>,
    /// `topcoated` or `spirit-wet`.
    pub judged: &'static str,
    /// What to do first.
    pub empty: Option<String>,
}

/// A point of the plot.
#[derive(Clone, Debug)]
pub struct Point {
    /// C*.
    pub c: f64,
    /// L*.
    pub l: f64,
    /// Half axes of the interval along C* and L*.
    pub half: [f64; 2],
    /// Its colour, sRGB.
    pub rgb: [u8; 3],
    /// What it is.
    pub name: String,
    /// Whether it belongs to the chosen trial.
    pub chosen: bool,
}

/// L* against C*, topcoated.
#[derive(Clone, Debug, Default)]
pub struct Plot {
    /// The points.
    pub points: Vec<Point>,
    /// Arrows from one point to another, and whether the chosen trial's.
    pub arrows: Vec<(usize, usize, bool)>,
    /// The match sample, C* and L*.
    pub matched: Option<[f64; 2]>,
    /// The edge of the tolerance about it, C* and L*, round.
    pub tolerance: Vec<[f64; 2]>,
    /// The state all of it is in.
    pub judged: &'static str,
}

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
}

impl Workbench {
    /// The boards with their columns.
    pub fn boards(&self) -> Boards {
        let Some(piece) = self.piece() else { return Boards::default() };
        let judged = self.judged();
        let matched = self.match_colour(judged).map(|(lab, _, of)| self.swatch(of, lab));
        let boards: Vec<BoardView> = piece.boards.iter().map(|board| self.board(piece, board, judged)).collect();
        let empty = match (piece.parts.is_empty(), boards.is_empty()) {
            (true, _) => Some(
                "Name the parts first. Then make a board that stands for one of them, and log what you try.".into(),
            ),
            (_, true) => {
                Some("No boards yet. Add one that stands for the chosen part; an offcut or hidden spot will do.".into())
            }
            _ => None,
        };
        Boards { boards, matched, judged, empty }
    }

    /// The state trials are judged in: topcoated where the match sample is known so, else spirit-wet.
    fn judged(&self) -> &'static str {
        if self.match_colour("topcoated").is_some() || self.match_colour("spirit-wet").is_none() {
            "topcoated"
        } else {
            "spirit-wet"
        }
    }

    fn board(&self, piece: &Piece, board: &Board, judged: &str) -> BoardView {
        let of = Surface::Board(board.id);
        let trials: Vec<&Arc<Trial>> = piece.trials.iter().filter(|trial| trial.on == of).collect();
        let mut columns = Vec::new();
        let before = trials.iter().flat_map(|trial| &trial.before).copied().collect::<Vec<_>>();
        // Wood left natural under the clear coat is the untreated column's own coated swatch.
        let (natural, trials): (Vec<_>, Vec<_>) = trials.into_iter().partition(|trial| is_natural(trial));
        let natural = natural.iter().find_map(|trial| self.last_reading(trial, judged));
        columns.extend(self.untreated_column(piece, board, &before, natural.as_ref(), judged));
        let mut last: Vec<Step> = Vec::new();
        for trial in trials {
            let steps = colour_steps(trial);
            columns.push(self.column(piece, trial, &last, judged));
            last = steps;
        }
        let note = if board.note.is_empty() {
            format!("stands for {}", super::part_name(piece, board.stands_for))
        } else {
            board.note.clone()
        };
        BoardView { name: words::capital(&board.name), note, columns }
    }

    fn untreated_column(
        &self,
        piece: &Piece,
        board: &Board,
        before: &[ReadingId],
        natural: Option<&Arc<Reading>>,
        judged: &str,
    ) -> Option<Column> {
        let reading = |id: &ReadingId| piece.reading(*id).cloned();
        let own = piece
            .readings
            .iter()
            .filter(|r| r.of == Surface::Board(board.id) && !super::after_step(piece, r.id))
            .cloned();
        let all: Vec<Arc<Reading>> = before.iter().filter_map(reading).chain(own).collect();
        let dry = all.iter().find(|r| words::state_kind(&r.state) == "bare dry");
        let coated = all.iter().find(|r| words::state_kind(&r.state) == judged);
        // The part it stands for, untreated, looks the same.
        let of_part = self.readings(Surface::Part(board.stands_for), judged);
        let coated = coated.or(natural).or(of_part.first());
        dry?;
        Some(Column {
            trial: None,
            head: ["untreated".into(), "wood as stripped".into()],
            dry: dry.map(|r| self.swatch(r.of, r.lab)),
            coated: coated.map(|r| self.swatch(Surface::Board(board.id), r.lab)),
            de00: coated.and_then(|r| self.to_match(r)),
            odd: None,
            chosen: false,
        })
    }

    fn column(&self, piece: &Piece, trial: &Trial, last: &[Step], judged: &str) -> Column {
        let steps = colour_steps(trial);
        let goes_on = !last.is_empty() && steps.len() > last.len() && steps.starts_with(last);
        let (name, how) = match (steps.last(), goes_on || steps.len() > 1) {
            (Some(step), true) => {
                let (name, how) = words::step_parts(piece, step);
                (format!("then {name}"), how)
            }
            (Some(step), false) => words::step_parts(piece, step),
            (None, _) => ("left natural".into(), String::new()),
        };
        let how = match how.strip_prefix('×') {
            Some("2") => "twice".into(),
            Some(n) => format!("{n} times"),
            None if how.is_empty() && steps.len() == 1 => "once".into(),
            None => how.clone(),
        };
        let coated = self.last_reading(trial, judged);
        Column {
            trial: Some(trial.id),
            head: [name, how],
            dry: self.dry_reading(trial).map(|r| self.swatch(trial.on, r.lab)),
            coated: coated.as_ref().map(|r| self.swatch(trial.on, r.lab)),
            de00: coated.and_then(|r| self.to_match(&r)),
            odd: self.odd(trial.id),
            chosen: self.samples.trial == Some(trial.id),
        }
    }

    /// A trial's last reading in a kind of state.
    fn last_reading(&self, trial: &Trial, kind: &str) -> Option<Arc<Reading>> {
        let piece = self.piece()?;
        let after = trial.stages.iter().flat_map(|stage| &stage.readings);
        after.rev().filter_map(|id| piece.reading(*id)).find(|r| words::state_kind(&r.state) == kind).cloned()
    }

    fn dry_reading(&self, trial: &Trial) -> Option<Arc<Reading>> {
        self.last_reading(trial, "colour dry").or_else(|| self.last_reading(trial, "bare dry"))
    }

    /// ΔE2000 of a reading to the match sample in its own state.
    fn to_match(&self, reading: &Reading) -> Option<Amount> {
        self.match_interval(reading).map(Amount::de00)
    }

    fn match_interval(&self, reading: &Reading) -> Option<predict::Interval> {
        let (lab, _, of) = self.match_colour(words::state_kind(&reading.state))?;
        // The match sample's own errors, from its reading in this state.
        let against = self.readings(of, words::state_kind(&reading.state)).first().map(|r| (**r).clone());
        let against = Reading { lab, ..against.unwrap_or_else(|| reading.clone()) };
        Some(between::de00(&against, reading))
    }

    /// L* against C* of what was tried for the chosen part's wood, in the state it is judged in.
    pub fn plot(&self) -> Plot {
        let Some(piece) = self.piece() else { return Plot::default() };
        let judged = self.judged();
        let mut plot = Plot { judged, ..Plot::default() };
        if let Some((lab, ..)) = self.match_colour(judged) {
            let (l, c, _) = lch_from_lab(lab);
            plot.matched = Some([c, l]);
            plot.tolerance = tolerance_edge(lab, piece.tolerances.match_sample_de00);
        }
        for board in &piece.boards {
            self.plot_board(piece, board, judged, &mut plot);
        }
        plot
    }

    fn plot_board(&self, piece: &Piece, board: &Board, judged: &str, plot: &mut Plot) {
        let of_part = self.readings(Surface::Part(board.stands_for), judged);
        let trials: Vec<&Arc<Trial>> = piece.trials.iter().filter(|t| t.on == Surface::Board(board.id)).collect();
        if trials.is_empty() {
            return;
        }
        let natural =
            trials.iter().filter(|trial| is_natural(trial)).find_map(|trial| self.last_reading(trial, judged));
        // One point for the untreated wood of a part, whichever boards stand for it.
        let known = |plot: &Plot, l: f64, c: f64| {
            plot.points.iter().position(|p| p.name == "untreated" && (p.l - l).abs() < 0.05 && (p.c - c).abs() < 0.05)
        };
        let of_part_natural = || {
            let boards =
                piece.boards.iter().filter(|other| other.stands_for == board.stands_for).map(|b| Surface::Board(b.id));
            let on: Vec<Surface> = boards.collect();
            piece
                .trials
                .iter()
                .filter(|t| on.contains(&t.on) && is_natural(t))
                .find_map(|t| self.last_reading(t, judged))
        };
        let start = natural.or_else(|| of_part.first().cloned()).or_else(of_part_natural).map(|reading| {
            let new = point(&reading, "untreated".into(), false);
            known(plot, new.l, new.c).unwrap_or_else(|| {
                plot.points.push(new);
                plot.points.len() - 1
            })
        });
        let mut placed: Vec<(Vec<Step>, usize)> = Vec::new();
        for trial in trials.into_iter().filter(|trial| !is_natural(trial)) {
            let Some(reading) = self.last_reading(trial, judged) else { continue };
            let steps = colour_steps(trial);
            let chosen = self.samples.trial == Some(trial.id);
            // From the trial whose steps it goes on from, else from the untreated wood.
            let from = placed
                .iter()
                .filter(|(other, _)| steps.len() > other.len() && steps.starts_with(other))
                .max_by_key(|(s, _)| s.len());
            let from = from.map(|(_, place)| *place).or(start);
            let name = steps.last().map_or_else(|| "natural".into(), |step| words::step(piece, step));
            plot.points.push(point(&reading, name, chosen));
            let place = plot.points.len() - 1;
            if let Some(from) = from {
                plot.arrows.push((from, place, chosen));
            }
            placed.push((steps, place));
        }
    }

    /// The chosen trial, or the last one.
    pub fn trial_told(&self) -> Option<TrialTold> {
        let piece = self.piece()?;
        let trial = self.samples.trial.and_then(|id| piece.trial(id)).or(piece.trials.last())?;
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
            verdict: interval
                .map_or_else(|| "Not read under the clear coat yet.".into(), |i| between::visibility(i).into()),
            steps: steps.iter().map(|step| words::step_parts(piece, step)).collect(),
            notes: self.trial_notes(piece, trial),
            cautions: predict::caution::for_steps(&steps, piece).into_iter().map(|c| (c.lead, c.text)).collect(),
            part: stands_for.map(|id| (id, super::part_name(piece, id))),
        })
    }

    /// Why a trial does not fit what the others say, as the ranking that it counts in tells.
    fn odd(&self, trial: TrialId) -> Option<String> {
        let rankings = self.results.rankings.values().filter_map(|tagged| tagged.value.as_ref().ok());
        let rows = rankings.flat_map(|ranking| &ranking.rows);
        let says = format!("trial {trial} is ");
        let note = rows.flat_map(|row| &row.evidence.notes).find(|note| note.starts_with(&says))?;
        Some(format!("{}.", words::capital(&words::trials_by_number(note)).trim_end_matches(['.', '?'])))
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

/// The steps of a trial that are neither sealer nor clear coats: what it is told apart by.
fn colour_steps(trial: &Trial) -> Vec<Step> {
    trial.steps().filter(|step| !matches!(step, Step::Topcoat { .. } | Step::Seal)).cloned().collect()
}

/// Whether nothing was done but the clear coats.
fn is_natural(trial: &Trial) -> bool {
    colour_steps(trial).iter().all(|step| matches!(step, Step::LeaveNatural))
}

fn point(reading: &Reading, name: String, chosen: bool) -> Point {
    let (l, c, _) = lch_from_lab(reading.lab);
    let cov = reading.covariance;
    // Along the hue of the colour, in the a*b* plane.
    let [u, v] = if c > 0.0 { [reading.lab.a / c, reading.lab.b / c] } else { [1.0, 0.0] };
    let along = u * u * cov[1][1] + 2.0 * u * v * cov[1][2] + v * v * cov[2][2];
    let half = [along, cov[0][0]].map(|variance| 1.645 * variance.max(0.0).sqrt());
    Point { c, l, half, rgb: display::shown(reading.lab).rgb, name, chosen }
}

/// Where ΔE2000 to a colour is just the tolerance, at the colour's own hue.
fn tolerance_edge(lab: Lab, de00: f64) -> Vec<[f64; 2]> {
    let (l, c, _) = lch_from_lab(lab);
    let [u, v] = if c > 0.0 { [lab.a / c, lab.b / c] } else { [1.0, 0.0] };
    let at = |angle: f64, radius: f64| {
        let (dc, dl) = (angle.cos() * radius, angle.sin() * radius);
        ([c + dc, l + dl], Lab::new(l + dl, (c + dc) * u, (c + dc) * v))
    };
    let edge = |angle: f64| {
        let (mut low, mut high) = (0.0, 12.0 * de00.max(0.1));
        for _ in 0..30 {
            let middle = (low + high) / 2.0;
            if colour::de2000(lab, at(angle, middle).1) < de00 { low = middle } else { high = middle }
        }
        at(angle, low).0
    };
    (0..48).map(|i| edge(f64::from(i) / 48.0 * std::f64::consts::TAU)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CIEDE2000 weighs chroma by S_C = 1 + 0.045 C* (ISO/CIE 11664-6): the region is longer in C* than in L*.
    #[test]
    fn the_tolerance_lies_on_its_own_edge_and_is_long_in_chroma() {
        let lab = Lab::new(54.0, 10.5, 31.0);
        let edge = tolerance_edge(lab, 2.5);
        let (_, c, _) = lch_from_lab(lab);
        let reach = |axis: usize, centre: f64| edge.iter().map(|p| (p[axis] - centre).abs()).fold(0.0, f64::max);
        assert!(reach(0, c) > 1.8 * reach(1, 54.0), "{} {}", reach(0, c), reach(1, 54.0));
        let up = Lab::new(54.0 + reach(1, 54.0), 10.5, 31.0);
        assert!((colour::de2000(lab, up) - 2.5).abs() < 0.02);
    }
}
