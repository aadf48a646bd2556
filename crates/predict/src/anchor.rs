//! Trials read as the piece will be seen: where the laws miss them, they miss alike what is done like them.

use colour::Lab;
use nalgebra::{DMatrix, DVector, Vector3};
use piece::{Part, PartId, Piece, Reading, Step, TrialId};

use crate::{
    coats::of_the_topcoat,
    draws::{moved, vector},
    lessons::{Key, Lessons, moments_of, part_of, start_of},
    look::{Look, Moment, pooled_draws},
    outcome::{self, by_laws},
    target::as_seen,
};

/// A trial, or the untouched surface of one, read in the look that is judged.
#[derive(Clone, Debug)]
pub(crate) struct Anchor {
    trial: TrialId,
    part: Option<PartId>,
    wood: String,
    keys: Vec<(Key, f64)>,
    predicted: Vec<Vector3<f64>>,
    /// What was read less what the laws say, draw by draw.
    missed: Vec<Vector3<f64>>,
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

/// All anchors of a piece, in the order of its trials.
pub(crate) fn anchors(piece: &Piece, lessons: &Lessons, look: Look) -> Vec<Anchor> {
    let mut anchors: Vec<Anchor> = Vec::new();
    for trial in &piece.trials {
        let part = part_of(piece, trial.on).and_then(|id| piece.part(id));
        let wood = part.map_or("", |part| part.wood.as_str());
        let start = start_of(piece, trial);
        // A colour read dry: one carried back from the coat would be held against itself.
        if look == Look::Dry || start.in_look(Look::Dry).is_empty() {
            continue;
        }
        let name = format!("{}", trial.id);
        let Some((dry, _)) = as_seen(piece, lessons, &start, Look::Dry, (&name, wood)) else { continue };
        for (index, moment) in moments_of(piece, trial) {
            let moment = if index.is_none() { start.clone() } else { moment };
            let Some(read) = read_in(piece, &moment, look) else { continue };
            let end = index.map_or(0, |index| index + 1);
            let steps: Vec<Step> = trial.stages[..end].iter().map(|stage| stage.step.clone()).collect();
            if steps.iter().filter_map(Key::of).any(|(key, _)| !lessons.effects.contains_key(&key)) {
                continue;
            }
            let place = outcome::Place { name: &name, part: part.map(AsRef::as_ref), wood };
            let (predicted, _) = by_laws(lessons, place, &dry, &steps, look);
            anchors.push(Anchor {
                trial: trial.id,
                part: part.map(|part| part.id),
                wood: wood.to_owned(),
                known: moment.in_look(acts_in(&steps)).is_empty(),
                keys: steps.iter().filter_map(Key::of).collect(),
                missed: predicted.iter().zip(&read).map(|(said, read)| vector(*read) - vector(*said)).collect(),
                predicted: predicted.into_iter().map(vector).collect(),
            });
        }
    }
    anchors
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

/// Draws of a prediction, given what the trials like it gave: each is moved by what it shares with their misses, which is
/// more the nearer they are in strength, in steps and in wood.
///
/// # Source
/// The ensemble form of Kalman's update with perturbed observations, covariances tapered by a kernel: Burgers, van Leeuwen,
/// Evensen (1998), Mon. Weather Rev. 126:1719–1724; Houtekamer, Mitchell (2001), Mon. Weather Rev. 129:123–137.
pub(crate) fn corrected(anchors: &[Anchor], part: &Part, steps: &[Step], draws: Vec<Lab>) -> Vec<Lab> {
    let keys: Vec<(Key, f64)> = steps.iter().filter_map(Key::of).collect();
    let mut near: Vec<(&Anchor, f64)> = anchors
        .iter()
        .map(|anchor| (anchor, nearness((&keys, Some(part.id), &part.wood), anchor.place())))
        .filter(|(_, nearness)| *nearness > LEAST)
        .collect();
    near.sort_by(|(a, a_near), (b, b_near)| b_near.total_cmp(a_near).then(a.trial.cmp(&b.trial)));
    near.truncate(MOST);
    let rows = 3 * near.len();
    if rows == 0 {
        return draws;
    }
    let count = draws.len().min(near[0].0.missed.len());
    let here = centred(DMatrix::from_fn(3, count, |row, draw| vector(draws[draw])[row]));
    let there = centred(DMatrix::from_fn(rows, count, |row, draw| near[row / 3].0.predicted[draw][row % 3]));
    let missed = DMatrix::from_fn(rows, count, |row, draw| near[row / 3].0.missed[draw][row % 3]);
    let own = centred(missed.clone());
    let mut shared = &here * there.transpose() / count as f64;
    let mut all = &own * own.transpose() / count as f64;
    for column in 0..rows {
        let (at, nearness_here) = near[column / 3];
        shared.column_mut(column).scale_mut(nearness_here);
        for row in 0..rows {
            let (other, _) = near[row / 3];
            if row / 3 != column / 3 {
                all[(row, column)] *= nearness(other.place(), at.place());
            } else if at.known {
                all[(row, column)] *= KNOWN;
            }
        }
        all[(column, column)] += FLOOR;
    }
    // Tapered by a kernel that is no exact covariance, so solved by a way that does not mind.
    let Some(gain) = all.lu().solve(&shared.transpose()) else { return draws };
    let moved_by = gain.transpose() * missed;
    draws
        .into_iter()
        .enumerate()
        .map(|(draw, lab)| {
            let by: DVector<f64> = moved_by.column(draw.min(count - 1)).into();
            moved(lab, Vector3::new(by[0], by[1], by[2]))
        })
        .collect()
}

/// Rows less their means.
fn centred(mut rows: DMatrix<f64>) -> DMatrix<f64> {
    for mut row in rows.row_iter_mut() {
        let mean = row.mean();
        row.add_scalar_mut(-mean);
    }
    rows
}

/// Steps with their strengths, the part and the wood.
type Place<'a> = (&'a [(Key, f64)], Option<PartId>, &'a str);

/// How much of what the laws miss in one place they miss in another too, 0 to 1.
fn nearness((a, part_a, wood_a): Place<'_>, (b, part_b, wood_b): Place<'_>) -> f64 {
    let wood = |wood: &str| wood.trim().to_lowercase();
    let surface = match (part_a.is_some() && part_a == part_b, wood(wood_a) == wood(wood_b)) {
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
    fn place(&self) -> Place<'_> {
        (&self.keys, self.part, &self.wood)
    }
}
