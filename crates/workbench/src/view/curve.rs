//! Samples: what the chosen trial's last colour step does at each strength.

use piece::TrialId;
use predict::{Curve, Strength};

use crate::{Workbench, words};

/// The curve as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveView {
    /// `Chlorine bleach`.
    pub head: String,
    /// `change of L*, 4 trials; 2 on wood of another colour not drawn`: what lightens one wood may darken another.
    pub note: String,
    /// Strength, and the change of L*: middle, least, most.
    pub points: Vec<[f64; 4]>,
    /// The strongest trial: from there on nothing was tried.
    pub strongest: f64,
    /// Trials on it: strength, change of L*, what it is, and whether it is the chosen one.
    pub trials: Vec<(f64, f64, String, bool)>,
    /// Strengths to write below the axis, in words.
    pub ticks: Vec<(f64, String)>,
}

impl Workbench {
    /// The curve of the chosen trial; none where it is still worked out, or there is none.
    pub fn curve_view(&self) -> Option<CurveView> {
        let piece = self.piece()?;
        let (trial, tagged) = self.results.curve.as_ref()?;
        let shown = self.shown_trial().filter(|shown| shown == trial)?;
        let curve = tagged.value.as_ref().ok()?;
        tagged.is_current(piece).then(|| view(curve, shown))
    }

    /// The trial that the panel of Samples tells about.
    pub(crate) fn shown_trial(&self) -> Option<TrialId> {
        let piece = self.piece()?;
        self.samples.trial.and_then(|id| piece.trial(id)).or(piece.trials.last()).map(|trial| trial.id)
    }
}

fn view(curve: &Curve, chosen: TrialId) -> CurveView {
    let [weakest, strongest] = curve.tried;
    let on = if curve.trials.len() == 1 { "1 trial".into() } else { format!("{} trials", curve.trials.len()) };
    let elsewhere = match curve.elsewhere {
        0 => String::new(),
        n => format!("; {n} on wood of another colour not drawn"),
    };
    let name = |strength: f64| named(curve.strength, strength);
    let mut ticks: Vec<(f64, String)> = vec![(0.0, "none".into())];
    let mut strengths: Vec<f64> = curve.trials.iter().map(|(_, at, _)| *at).chain([weakest, strongest]).collect();
    strengths.sort_by(f64::total_cmp);
    strengths.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    ticks.extend(strengths.into_iter().map(|strength| (strength, name(strength))));
    let trials = curve.trials.iter().map(|(trial, strength, change)| {
        let told = format!("trial {}, {}, L* {}", piece::Id::number(*trial), name(*strength), signed(*change));
        (*strength, *change, told, *trial == chosen)
    });
    CurveView {
        head: words::capital(&curve.name),
        note: format!("change of L*, {on}{elsewhere}"),
        points: curve.points.iter().map(|(at, change)| [*at, change.mean, change.low, change.high]).collect(),
        strongest,
        trials: trials.collect(),
        ticks,
    }
}

/// A change with its sign.
fn signed(change: f64) -> String {
    let number = words::number(change);
    if number.starts_with('−') || number == "0.0" { number } else { format!("+{number}") }
}

/// A strength in words: `twice`, `4 g/L`, `1:2`.
fn named(counted: Strength, strength: f64) -> String {
    match counted {
        Strength::Times if (strength - 1.0).abs() < 1e-6 => "once".into(),
        Strength::Times if (strength - 2.0).abs() < 1e-6 => "twice".into(),
        Strength::Times => format!("{} times", words::trim(strength)),
        Strength::Passes if (strength - 1.0).abs() < 1e-6 => "1 pass".into(),
        Strength::Passes => format!("{} passes", words::trim(strength)),
        Strength::GramsPerLitre => format!("{} g/L", words::trim(strength)),
        // What is wiped on more than once neat counts as so many neat coats.
        Strength::Share if strength > 1.0 + 1e-6 => format!("{} neat", words::trim(strength)),
        Strength::Share => words::reduced(1.0 / strength - 1.0),
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use piece::{Bleach, Step};

    use super::*;
    use crate::{
        action::{Area, FrameAction, SamplesAction},
        sample::oak_chest,
    };

    /// Against the readings themselves: the chest's front four was read before and after chlorine once and twice. The curve
    /// begins at nothing, each trial stands at what was read, and the band at its strength holds it.
    #[test]
    fn a_curve_begins_at_nothing_and_its_band_holds_the_trials() {
        let folder = tempfile::tempdir().unwrap();
        let mut bench = Workbench::in_folder(folder.path().to_path_buf());
        bench.put(oak_chest());
        bench.apply(FrameAction::Go(Area::Samples).into());
        let piece = bench.piece().unwrap().clone();
        let only_chlorine = |times: u32| {
            let chlorine = Step::Bleach { kind: Bleach::Chlorine, times };
            piece.trials.iter().find(|trial| trial.stages.len() == 2 && trial.stages[0].step == chlorine).unwrap()
        };
        let read = |trial: &piece::Trial| {
            let dry = |ids: &[piece::ReadingId]| {
                let readings = ids.iter().filter_map(|id| piece.reading(*id));
                readings.filter(|reading| reading.state == piece::State::BareDry).map(|reading| reading.lab.l).next()
            };
            dry(&trial.stages[0].readings).unwrap() - dry(&trial.before).unwrap()
        };
        let [once, twice] = [1, 2].map(only_chlorine);
        bench.apply(SamplesAction::Choose(once.id).into());
        assert!(bench.settle(Duration::from_secs(120)));
        let view = bench.curve_view().unwrap();
        assert_eq!(view.head, "Chlorine bleach");
        assert!(view.note.starts_with("change of L*, "), "{}", view.note);
        assert_eq!(view.points[0], [0.0; 4]);
        for (trial, strength) in [(once, 1.0), (twice, 2.0)] {
            let change = read(trial);
            let drawn = view.trials.iter().any(|(at, by, ..)| *at == strength && (by - change).abs() < 1e-9);
            assert!(drawn, "{strength}: {change} {:?}", view.trials);
            let near = |point: &&[f64; 4]| (point[0] - strength).abs();
            let at = view.points.iter().min_by(|a, b| near(a).total_cmp(&near(b))).unwrap();
            assert!(at[2] < change && change < at[3], "{strength}: {change} {at:?}");
        }
        let ticks: Vec<&str> = view.ticks.iter().map(|(_, text)| text.as_str()).collect();
        assert_eq!(ticks, ["none", "once", "twice"]);
    }

    /// A stain reduced 1:2 is a third of what is wiped on: the arithmetic of parts.
    #[test]
    fn strengths_are_told_as_they_are_mixed() {
        let told = [
            named(Strength::Times, 2.0),
            named(Strength::Times, 3.0),
            named(Strength::GramsPerLitre, 4.0),
            named(Strength::Share, 1.0 / 3.0),
            named(Strength::Share, 1.0),
            named(Strength::Passes, 1.0),
        ];
        assert_eq!(told, ["twice", "3 times", "4 g/L", "1:2", "neat", "1 pass"]);
    }
}
