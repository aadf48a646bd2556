//! Trials read as the piece will be seen: where the laws miss them, they miss alike what is done like them.

use colour::Lab;
use nalgebra::DMatrix;
use piece::{Part, PartId, Piece, Reading, Step, TrialId};

use crate::{
    chain::{Chains, Place},
    coats::of_the_topcoat,
    lessons::{Key, Lessons, moments_of, part_of, start_of},
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
    /// What the laws say, less its mean; one row for each draw.
    predicted: DMatrix<f32>,
    /// What was read less what the laws say; one row for each draw.
    missed: DMatrix<f32>,
    /// The same less its mean.
    missed_about: DMatrix<f32>,
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
        for trial in &piece.trials {
            let part = part_of(piece, trial.on).and_then(|id| piece.part(id)).map(AsRef::as_ref);
            let wood = part.map_or("", |part| part.wood.as_str());
            let start = start_of(piece, trial);
            // A colour read dry: one carried back from the coat would be held against itself.
            if look == Look::Dry || start.in_look(Look::Dry).is_empty() {
                continue;
            }
            let place = Place { name: trial.id.to_string(), part, wood };
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
                let predicted = rows(&chains.seen(&steps, look));
                let missed = rows(&read) - &predicted;
                anchors.push(Anchor {
                    trial: trial.id,
                    part: part.map(|part| part.id),
                    wood: folded(wood),
                    known: moment.in_look(acts_in(&steps)).is_empty(),
                    keys: steps.iter().filter_map(Key::of).collect(),
                    missed_about: centred(missed.clone()),
                    missed,
                    predicted: centred(predicted),
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
        let predicted = rows(&draws);
        let Some(moved_by) = moved_by(&near, centred(predicted.clone())) else { return draws };
        let moved = predicted + moved_by;
        moved.row_iter().map(|row| Lab::new(f64::from(row[0]), f64::from(row[1]), f64::from(row[2]))).collect()
    }
}

/// What each draw is moved by, one row for each; `here` are the draws less their mean. None where nothing is near.
fn moved_by(near: &[(&Anchor, f64)], here: DMatrix<f32>) -> Option<DMatrix<f32>> {
    if near.is_empty() || here.nrows() != near[0].0.missed.nrows() {
        return None;
    }
    let (there, own) = (stacked(near, |anchor| &anchor.predicted), stacked(near, |anchor| &anchor.missed_about));
    let count = here.nrows() as f64;
    let mut shared = (here.transpose() * there).cast::<f64>() / count;
    let mut all = (own.transpose() * own).cast::<f64>() / count;
    for column in 0..all.ncols() {
        let (at, nearness_here) = near[column / 3];
        shared.column_mut(column).scale_mut(nearness_here);
        for row in 0..all.nrows() {
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
    let gain = all.lu().solve(&shared.transpose())?;
    Some(stacked(near, |anchor| &anchor.missed) * gain.cast::<f32>())
}

/// Columns of several anchors side by side.
fn stacked<'a>(near: &[(&'a Anchor, f64)], of: impl Fn(&'a Anchor) -> &'a DMatrix<f32>) -> DMatrix<f32> {
    let columns: Vec<f32> = near.iter().flat_map(|(anchor, _)| of(anchor).as_slice()).copied().collect();
    DMatrix::from_vec(columns.len() / (3 * near.len()), 3 * near.len(), columns)
}

/// Colours, one row for each.
fn rows(colours: &[Lab]) -> DMatrix<f32> {
    let mut rows = DMatrix::zeros(colours.len(), 3);
    for (index, lab) in colours.iter().enumerate() {
        (rows[(index, 0)], rows[(index, 1)], rows[(index, 2)]) = (lab.l as f32, lab.a as f32, lab.b as f32);
    }
    rows
}

/// Columns less their means.
fn centred(mut rows: DMatrix<f32>) -> DMatrix<f32> {
    for mut column in rows.column_iter_mut() {
        let mean = column.mean();
        column.add_scalar_mut(-mean);
    }
    rows
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
