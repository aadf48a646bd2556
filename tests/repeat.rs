//! One bench photographed many times: how well readings repeat, and how they stand to the truth.

use colour::Lab;
use rayon::prelude::*;
use scene::{Bench, Changes, LightKind};

use crate::figures::mean;
use crate::rendered::{Pair, Panel, found, pairs, panels, photographed};

/// Readings of one bench under one light.
pub struct Series {
    /// The seed of the bench.
    pub seed: u64,
    /// Its light.
    pub light: LightKind,
    /// Views in which the card was not found.
    pub missed: Vec<u64>,
    /// Per view that was read, the colours of the panels in order.
    pub read: Vec<Vec<Lab>>,
    /// The panels of all views, held against their truth.
    pub panels: Vec<Panel>,
    /// The differences within each view, held against theirs.
    pub pairs: Vec<Pair>,
    /// Mean over the views of the true colours.
    pub truth: Vec<Lab>,
}

/// Reads this many views of a bench.
///
/// # Errors
/// Words where a scene could not be rendered or read at all.
pub fn series(seed: u64, light: LightKind, views: u64, changes: Changes) -> Result<Series, String> {
    let bench = Bench::new(seed, light).map_err(|error| format!("seed {seed}: {error}"))?;
    let read: Result<Vec<_>, String> =
        (0..views).into_par_iter().map(|view| Ok((view, photographed(&bench.view(view, changes))?))).collect();
    let mut series = Series {
        seed,
        light,
        missed: Vec::new(),
        read: Vec::new(),
        panels: Vec::new(),
        pairs: Vec::new(),
        truth: Vec::new(),
    };
    let mut truths = Vec::new();
    for (view, (reading, truth)) in read? {
        if !found(&reading, &truth).0 || reading.regions.len() != truth.panels.len() {
            series.missed.push(view);
            continue;
        }
        series.read.push(reading.regions.iter().map(|region| region.lab).collect());
        series.panels.extend(panels(&reading, &truth));
        series.pairs.extend(pairs(&reading, &truth));
        truths.push(truth.panels.iter().map(|panel| Lab::new(panel.lab[0], panel.lab[1], panel.lab[2])).collect());
    }
    series.truth = middles(&truths);
    Ok(series)
}

impl Series {
    /// ΔE2000 of each region in each view to its mean over the views.
    pub fn regions_off(&self) -> Vec<f64> {
        let middles = middles(&self.read);
        let off = |view: &Vec<Lab>| {
            view.iter().zip(&middles).map(|(&lab, &mean)| colour::de2000(lab, mean)).collect::<Vec<_>>()
        };
        self.read.iter().flat_map(off).collect()
    }

    /// How far each difference of two regions is off its mean over the views: ΔE2000 at the first one's mean.
    pub fn differences_off(&self) -> Vec<f64> {
        let middles = middles(&self.read);
        let mut off = Vec::new();
        for view in &self.read {
            for (a, one) in middles.iter().enumerate() {
                for (b, other) in middles.iter().enumerate().skip(a + 1) {
                    let moved = |of: fn(Lab) -> f64| of(*one) + (of(view[a]) - of(view[b])) - (of(*one) - of(*other));
                    let moved = Lab::new(moved(|lab| lab.l), moved(|lab| lab.a), moved(|lab| lab.b));
                    off.push(colour::de2000(*one, moved));
                }
            }
        }
        off
    }

    /// Mean colour of each region over the views.
    pub fn means(&self) -> Vec<Lab> {
        middles(&self.read)
    }
}

/// The mean colour of each place over the lists.
pub fn middles(lists: &[Vec<Lab>]) -> Vec<Lab> {
    let places = lists.first().map_or(0, Vec::len);
    let middle = |k: usize, of: fn(&Lab) -> f64| mean(lists.iter().filter_map(|list| list.get(k)).map(of));
    (0..places).map(|k| Lab::new(middle(k, |lab| lab.l), middle(k, |lab| lab.a), middle(k, |lab| lab.b))).collect()
}
