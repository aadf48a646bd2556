//! Trials read as the piece will be seen: where the laws miss them, they miss alike what is done like them.

use colour::Lab;
use nalgebra::DMatrix;
use piece::{Part, PartId, Piece, Reading, Step, TrialId};
use wide::f32x8;

use crate::{
    chain::{Chains, Place},
    cloud::{Axis, Cloud, GROUPS, mean_product},
    coats::of_the_topcoat,
    draws::moved,
    lessons::{Key, Lessons, moments_of, part_of, start_of, unlike_by},
    look::{Look, Moment, pooled_draws},
    target::as_seen,
};

/// Trials, and the untouched surfaces of some, read in the look that is judged; in the order of the trials.
#[derive(Clone, Debug)]
pub(crate) struct Anchors(Vec<Anchor>);

/// One reading in the look that is judged, beside what the laws say of it.
#[derive(Clone, Debug)]
struct Anchor {
    trial: TrialId,
    part: Option<PartId>,
    wood: String,
    keys: Vec<(Key, f64)>,
    /// What the laws say, less its mean.
    predicted: Cloud,
    /// What was read less what the laws say.
    missed: Cloud,
    /// The same less its mean.
    missed_about: Cloud,
    /// Whether the laws were already learned from this very reading.
    known: bool,
}

/// Most anchors that correct one prediction: the nearest so many.
const MOST: usize = 6;
/// How far a miss reaches: the standard deviation of the kernel, in logarithms of strength.
const REACH: f64 = 1.0;
/// How much of a miss is believed of another part of the same wood, and of a schedule that goes on where the trial ended.
const SAME_WOOD: f64 = 0.9;
const GOES_ON: f64 = 0.5;
/// An anchor that has less in common than this is left out.
const LEAST: f64 = 0.05;
/// A reading that the laws have learned from counts half there and half here.
const KNOWN: f64 = 2.0;
/// Variance that any miss has, per CIELAB axis.
const FLOOR: f64 = 0.02;

impl Anchors {
    /// All anchors of a piece.
    pub(crate) fn of(piece: &Piece, lessons: &Lessons, look: Look) -> Self {
        let mut anchors: Vec<Anchor> = Vec::new();
        let odd: Vec<TrialId> = lessons.odd().into_iter().map(|odd| odd.trial).collect();
        // What a trial has that the others miss is its own: nothing done like it is said to share it.
        for trial in piece.trials.iter().filter(|trial| !odd.contains(&trial.id)) {
            let part = part_of(piece, trial.on).and_then(|id| piece.part(id)).map(AsRef::as_ref);
            let wood = part.map_or("", |part| part.wood.as_str());
            let start = start_of(piece, trial);
            // A colour read dry: one carried back from the coat would be held against itself.
            if look == Look::Dry || start.in_look(Look::Dry).is_empty() {
                continue;
            }
            let place =
                Place { name: trial.id.to_string(), part, wood, unlike: unlike_by(piece, trial.on, trial.steps()) };
            let Some((dry, _)) = as_seen(piece, lessons, &start, Look::Dry, (&place.name, wood)) else { continue };
            let chains = Chains::new(lessons, place, &dry);
            for (index, moment) in moments_of(piece, trial) {
                let moment = if index.is_none() { start.clone() } else { moment };
                let Some(read) = read_in(piece, &moment, look) else { continue };
                let end = index.map_or(0, |index| index + 1);
                let steps: Vec<Step> = trial.stages[..end].iter().map(|stage| stage.step.clone()).collect();
                if steps.iter().filter_map(Key::of).any(|(key, _)| !lessons.effects.contains_key(&key)) {
                    continue;
                }
                let predicted = Cloud::of(&chains.seen(&steps, look));
                let missed = Cloud::of(&read).less(&predicted);
                anchors.push(Anchor {
                    trial: trial.id,
                    part: part.map(|part| part.id),
                    wood: folded(wood),
                    known: moment.in_look(acts_in(&steps)).is_empty(),
                    keys: steps.iter().filter_map(Key::of).collect(),
                    missed_about: missed.centred(),
                    missed,
                    predicted: predicted.centred(),
                });
            }
        }
        Self(anchors)
    }

    /// Draws of a prediction, given what the trials like it gave: each is moved by what it shares with their misses, which is
    /// more the nearer they are in strength, in steps and in wood.
    ///
    /// # Source
    /// The ensemble form of Kalman's update with perturbed observations, covariances tapered by a kernel: Burgers, van
    /// Leeuwen, Evensen (1998), Mon. Weather Rev. 126:1719–1724; Houtekamer, Mitchell (2001), Mon. Weather Rev. 129:123–137.
    pub(crate) fn corrected(&self, part: &Part, steps: &[Step], draws: Vec<Lab>) -> Vec<Lab> {
        let keys: Vec<(Key, f64)> = steps.iter().filter_map(Key::of).collect();
        let wood = folded(&part.wood);
        let here = (keys.as_slice(), Some(part.id), wood.as_str());
        let near = |anchor| (anchor, nearness(here, Anchor::place(anchor)));
        let mut near: Vec<(&Anchor, f64)> = self.0.iter().map(near).filter(|(_, near)| *near > LEAST).collect();
        near.sort_by(|(a, a_near), (b, b_near)| b_near.total_cmp(a_near).then(a.trial.cmp(&b.trial)));
        near.truncate(MOST);
        match moved_by(&near, &Cloud::of(&draws).centred()) {
            Some(by) => draws.iter().enumerate().map(|(draw, lab)| moved(*lab, by.at(draw))).collect(),
            None => draws,
        }
    }
}

/// What each draw is moved by; `here` are the draws less their mean. None where nothing is near.
fn moved_by(near: &[(&Anchor, f64)], here: &Cloud) -> Option<Cloud> {
    if near.is_empty() {
        return None;
    }
    let axes =
        |of: fn(&Anchor) -> &Cloud| -> Vec<&Axis> { near.iter().flat_map(|(anchor, _)| of(anchor).0.iter()).collect() };
    let (there, own) = (axes(|anchor| &anchor.predicted), axes(|anchor| &anchor.missed_about));
    let mut shared = DMatrix::from_fn(there.len(), 3, |row, axis| mean_product(there[row], &here.0[axis]));
    let mut all = DMatrix::zeros(own.len(), own.len());
    for column in 0..own.len() {
        let (at, nearness_here) = near[column / 3];
        shared.row_mut(column).scale_mut(nearness_here);
        for row in 0..=column {
            let (other, _) = near[row / 3];
            let mut covariance = mean_product(own[row], own[column]);
            if row / 3 != column / 3 {
                covariance *= nearness(other.place(), at.place());
            } else if at.known {
                covariance *= KNOWN;
            }
            all[(row, column)] = covariance;
            all[(column, row)] = covariance;
        }
        all[(column, column)] += FLOOR;
    }
    // Tapered by a kernel that is no exact covariance, so solved by a way that does not mind.
    let gain = all.lu().solve(&shared)?;
    let missed = axes(|anchor| &anchor.missed);
    Some(Cloud::from_axes(|axis| {
        let mut moved = [f32x8::ZERO; GROUPS];
        for (row, missed) in missed.iter().enumerate() {
            let gain = f32x8::splat(gain[(row, axis)] as f32);
            moved.iter_mut().zip(missed.iter()).for_each(|(moved, missed)| *moved += *missed * gain);
        }
        moved
    }))
}

fn read_in(piece: &Piece, moment: &Moment<'_>, look: Look) -> Option<Vec<Lab>> {
    let readings: Vec<&Reading> =
        moment.in_look(look).into_iter().filter(|reading| of_the_topcoat(piece, reading)).collect();
    pooled_draws(&readings)
}

/// The look in which the last colour step acts; dry for none.
fn acts_in(steps: &[Step]) -> Look {
    steps.iter().rev().find_map(Key::of).map_or(Look::Dry, |(key, _)| key.look())
}

/// A wood's name as it is compared.
fn folded(wood: &str) -> String {
    wood.trim().to_lowercase()
}

/// Steps with their strengths, the part and the wood, folded.
type Like<'a> = (&'a [(Key, f64)], Option<PartId>, &'a str);

/// How much of what the laws miss in one place they miss in another too, 0 to 1.
fn nearness((a, part_a, wood_a): Like<'_>, (b, part_b, wood_b): Like<'_>) -> f64 {
    let surface = match (part_a.is_some() && part_a == part_b, wood_a == wood_b) {
        (true, _) => 1.0,
        (false, true) => SAME_WOOD,
        (false, false) => return 0.0,
    };
    if a.iter().zip(b).any(|((a, _), (b, _))| a != b) {
        return 0.0;
    }
    let steps = if a.len() == b.len() { 1.0 } else { GOES_ON };
    let apart: f64 = a.iter().zip(b).map(|((_, a), (_, b))| (a / b).ln().abs()).sum();
    surface * steps * (-0.5 * (apart / REACH).powi(2)).exp()
}

impl Anchor {
    fn place(&self) -> Like<'_> {
        (&self.keys, self.part, &self.wood)
    }
}
