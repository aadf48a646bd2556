//! Samples: the plot of L* against C*, or of b* against a*.

use std::sync::Arc;

use colour::{Lab, lch_from_lab};
use piece::{Board, PartId, Piece, Reading, Step, Surface, Trial};

use super::trial::{colour_steps, is_natural};
use crate::{Workbench, display, words};

/// What is set against what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Axes {
    /// L* upwards, C* to the right.
    #[default]
    Lightness,
    /// b* upwards, a* to the right.
    Hue,
}

impl Axes {
    /// Right and up: where a colour stands.
    fn place(self, lab: Lab) -> [f64; 2] {
        match self {
            Self::Lightness => [lch_from_lab(lab).1, lab.l],
            Self::Hue => [lab.a, lab.b],
        }
    }
}

/// A point of the plot.
#[derive(Clone, Debug)]
pub struct Point {
    /// Right and up: C* and L*, or a* and b*.
    pub at: [f64; 2],
    /// Half axes of the interval along both.
    pub half: [f64; 2],
    /// Its colour, sRGB.
    pub rgb: [u8; 3],
    /// What it is.
    pub name: String,
    /// Whether it belongs to the chosen trial.
    pub chosen: bool,
}

/// Where trials went, in the state that is judged.
#[derive(Clone, Debug, Default)]
pub struct Plot {
    /// What is set against what.
    pub axes: Axes,
    /// The points.
    pub points: Vec<Point>,
    /// Arrows from one point to another, and whether the chosen trial's.
    pub arrows: Vec<(usize, usize, bool)>,
    /// The match sample, right and up.
    pub matched: Option<[f64; 2]>,
    /// The edge of the tolerance about it, right and up, round.
    pub tolerance: Vec<[f64; 2]>,
    /// The state all of it is in.
    pub judged: &'static str,
}

impl Workbench {
    /// The colours of what was tried, in the state they are judged in.
    pub fn plot(&self, axes: Axes) -> Plot {
        let Some(piece) = self.piece() else { return Plot::default() };
        let judged = self.judged();
        let mut plot = Plot { axes, judged, ..Plot::default() };
        if let Some((lab, ..)) = self.match_colour(judged) {
            plot.matched = Some(axes.place(lab));
            plot.tolerance = tolerance_edge(axes, lab, piece.tolerances.match_sample_de00);
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
            let new = point(plot.axes, &reading, UNTREATED.into(), false);
            let known = plot.points.iter().position(|p| p.name == UNTREATED && p.at == new.at);
            known.unwrap_or_else(|| {
                plot.points.push(new);
                plot.points.len() - 1
            })
        });
        let mut placed: Vec<(Vec<Step>, usize)> = Vec::new();
        for trial in trials.into_iter().filter(|trial| !is_natural(trial)) {
            let Some(reading) = self.last_reading(trial, judged) else { continue };
            let steps = colour_steps(trial);
            let chosen = self.shown_trial() == Some(trial.id);
            // From the trial whose steps it goes on from, else from the untreated wood.
            let from = placed
                .iter()
                .filter(|(other, _)| steps.len() > other.len() && steps.starts_with(other))
                .max_by_key(|(s, _)| s.len());
            let from = from.map(|(_, place)| *place).or(start);
            let name = steps.last().map_or_else(|| "natural".into(), |step| words::step(piece, step));
            plot.points.push(point(plot.axes, &reading, name, chosen));
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

fn point(axes: Axes, reading: &Reading, name: String, chosen: bool) -> Point {
    let (_, c, _) = lch_from_lab(reading.lab);
    let cov = reading.covariance;
    let variances = match axes {
        // Along the hue of the colour, in the a*b* plane.
        Axes::Lightness => {
            let [u, v] = if c > 0.0 { [reading.lab.a / c, reading.lab.b / c] } else { [1.0, 0.0] };
            [u * u * cov[1][1] + 2.0 * u * v * cov[1][2] + v * v * cov[2][2], cov[0][0]]
        }
        Axes::Hue => [cov[1][1], cov[2][2]],
    };
    let half = variances.map(|variance| 1.645 * variance.max(0.0).sqrt());
    Point { at: axes.place(reading.lab), half, rgb: display::shown(reading.lab).rgb, name, chosen }
}

/// Where ΔE2000 to a colour is just the tolerance: at the colour's own hue, or at its own lightness.
fn tolerance_edge(axes: Axes, lab: Lab, de00: f64) -> Vec<[f64; 2]> {
    let (l, c, _) = lch_from_lab(lab);
    let [u, v] = if c > 0.0 { [lab.a / c, lab.b / c] } else { [1.0, 0.0] };
    let [right, up] = axes.place(lab);
    let at = |angle: f64, radius: f64| {
        let (x, y) = (right + angle.cos() * radius, up + angle.sin() * radius);
        let there = match axes {
            Axes::Lightness => Lab::new(y, x * u, x * v),
            Axes::Hue => Lab::new(l, x, y),
        };
        ([x, y], there)
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
        let edge = tolerance_edge(Axes::Lightness, lab, 2.5);
        let (_, c, _) = lch_from_lab(lab);
        let reach = |axis: usize, centre: f64| edge.iter().map(|p| (p[axis] - centre).abs()).fold(0.0, f64::max);
        assert!(reach(0, c) > 1.8 * reach(1, 54.0), "{} {}", reach(0, c), reach(1, 54.0));
        let up = Lab::new(54.0 + reach(1, 54.0), 10.5, 31.0);
        assert!((colour::de2000(lab, up) - 2.5).abs() < 0.02);
    }

    /// The same weights: S_H = 1 + 0.015 C* T is less than S_C, so at one lightness the region is longest from grey outwards.
    #[test]
    fn at_one_lightness_the_tolerance_is_longest_along_the_chroma() {
        let lab = Lab::new(54.0, 10.5, 31.0);
        let edge = tolerance_edge(Axes::Hue, lab, 2.5);
        let (_, c, _) = lch_from_lab(lab);
        let [u, v] = [lab.a / c, lab.b / c];
        let along = |p: &[f64; 2]| (p[0] - lab.a) * u + (p[1] - lab.b) * v;
        let across = |p: &[f64; 2]| (p[1] - lab.b) * u - (p[0] - lab.a) * v;
        let reach = |of: &dyn Fn(&[f64; 2]) -> f64| edge.iter().map(|p| of(p).abs()).fold(0.0, f64::max);
        assert!(reach(&along) > 1.3 * reach(&across), "{} {}", reach(&along), reach(&across));
        for [a, b] in edge {
            assert!((colour::de2000(lab, Lab::new(54.0, a, b)) - 2.5).abs() < 0.01);
        }
    }
}
