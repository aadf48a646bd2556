//! What a step does at each strength, as its trials teach it: a curve with its band, and the trials on it.

use std::collections::BTreeMap;

use colour::{Lab, de2000};
use piece::{Piece, TrialId};

use super::{Key, Lessons, Use, part_of, uses_of};
use crate::{
    Interval,
    draws::COUNT,
    estimate::quantile,
    evidence::{Application, Unlike},
    set_aside::sound,
    trade,
};

/// Strengths at which the curve is worked out, nothing and the strongest among them.
const POINTS: usize = 25;
/// How far beyond the strongest trial the curve goes on.
const BEYOND: f64 = 1.5;
/// Trials that began on colours within this of each other stand on one curve: about what two places of one untreated surface
/// differ by (Buchelt, Wagenführ 2011: 2 ΔE*ab), and as much again for what is read.
const ONE_START_DE00: f64 = 4.0;

/// What the strength of a step is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strength {
    /// How often it was done: bleach.
    Times,
    /// Passes of toner.
    Passes,
    /// Grams of powder per litre, times coats.
    GramsPerLitre,
    /// The share of stain or glaze in what was wiped on, times coats: 1 is neat, 1/3 reduced 1:2.
    Share,
}

/// What a step does to the lightness of one wood, by its strength.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// The step without its strength: 'chlorine bleach'.
    pub name: String,
    /// What strength is counted in.
    pub strength: Strength,
    /// Strength, and by how much L* changes: the median of the draws, and the interval that holds one more use nine times
    /// in ten.
    pub points: Vec<(f64, Interval)>,
    /// The trials that began on wood of this colour: which, how strong, and by how much L* changed.
    pub trials: Vec<(TrialId, f64, f64)>,
    /// Weakest and strongest trial, on whatever wood.
    pub tried: [f64; 2],
    /// Trials that began on wood of another colour, and do not stand on this curve.
    pub elsewhere: usize,
}

/// What the last colour step of a trial does at each strength, on wood of the colour that the trial began on. None where no
/// step of it was read before and after.
pub fn curve(piece: &Piece, trial: TrialId) -> Option<Curve> {
    let sound = sound(piece);
    let piece = sound.as_ref();
    let lessons = Lessons::learn(piece);
    let mut uses: BTreeMap<Key, Vec<Use>> = BTreeMap::new();
    for trial in &piece.trials {
        uses_of(piece, &lessons.coats, trial, &mut uses, &mut Vec::new());
    }
    let last = piece.trial(trial)?.stages.iter().rev().find_map(|stage| Some(Key::of(&stage.step)?.0))?;
    let uses = uses.remove(&last)?;
    let effect = &lessons.effects.get(&last)?.effect;
    let own = uses.iter().rfind(|one| one.trial == trial)?;
    let (start, conditions) = (own.observation.before, &own.observation.conditions);
    let wood = part_of(piece, piece.trial(trial)?.on).and_then(|id| piece.part(id)).map(|part| part.wood.clone());

    let strengths = || uses.iter().map(|one| one.observation.strength);
    let tried = [strengths().fold(f64::INFINITY, f64::min), strengths().fold(0.0, f64::max)];
    let before = vec![start; COUNT];
    let point = |n: usize| {
        let strength = BEYOND * tried[1] * n as f64 / (POINTS - 1) as f64;
        let applied = Application {
            strength,
            conditions,
            used: Some("one more"),
            mix: None,
            wood: wood.as_deref(),
            unlike: Unlike::NONE,
        };
        let change = if n == 0 { Interval::default() } else { change(start, &effect.draws(&before, &applied)) };
        (strength, change)
    };
    let (here, elsewhere): (Vec<&Use>, Vec<&Use>) =
        uses.iter().partition(|one| de2000(one.observation.before, start) <= ONE_START_DE00);
    Some(Curve {
        name: trade::step_name(piece, &own.step),
        strength: match last {
            Key::Bleach(_) => Strength::Times,
            Key::Toner(_) => Strength::Passes,
            Key::Dye(_) => Strength::GramsPerLitre,
            Key::Stain(_) | Key::Glaze(_) => Strength::Share,
        },
        points: (0..POINTS).map(point).collect(),
        trials: here
            .iter()
            .map(|one| (one.trial, one.observation.strength, one.observation.after.l - one.observation.before.l))
            .collect(),
        tried,
        elsewhere: elsewhere.len(),
    })
}

/// By how much L* changes, over the draws.
fn change(start: Lab, draws: &[Lab]) -> Interval {
    let mut by: Vec<f64> = draws.iter().map(|draw| draw.l - start.l).collect();
    by.sort_by(f64::total_cmp);
    let at = |share: f64| quantile(&by, share);
    Interval { mean: at(0.5), low: at(0.05), high: at(0.95) }
}
