//! Samples: the plot of L* against C*.

use std::sync::Arc;

use colour::{Lab, lch_from_lab};
use piece::{Board, PartId, Piece, Reading, Step, Surface, Trial};

use super::trial::{colour_steps, is_natural};
use crate::{Workbench, display, words};

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

impl Workbench {
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
        let trials: Vec<&Arc<Trial>> = piece.trials.iter().filter(|t| t.on == Surface::Board(board.id)).collect();
        if trials.is_empty() {
            return;
        }
        // One point for the untreated wood of a part, whichever boards stand for it.
        let start = self.untreated_wood(piece, board.stands_for, judged).map(|reading| {
            let new = point(&reading, UNTREATED.into(), false);
            let known = plot.points.iter().position(|p| p.name == UNTREATED && (p.l, p.c) == (new.l, new.c));
            known.unwrap_or_else(|| {
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

    /// What the wood of a part looks like left natural: as read of a board left so, else of the part itself.
    fn untreated_wood(&self, piece: &Piece, part: PartId, judged: &str) -> Option<Arc<Reading>> {
        let stands_for = |on: Surface| match on {
            Surface::Board(id) => piece.board(id).is_some_and(|board| board.stands_for == part),
            Surface::Part(_) => false,
        };
        let natural = piece.trials.iter().filter(|trial| stands_for(trial.on) && is_natural(trial));
        let on_board = natural.filter_map(|trial| self.last_reading(trial, judged)).next();
        on_board.or_else(|| self.readings(Surface::Part(part), judged).first().cloned())
    }
}

/// The name of untreated wood in the plot.
const UNTREATED: &str = "untreated";

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
