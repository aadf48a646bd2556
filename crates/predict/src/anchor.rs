//! Trials read as the piece will be seen: where the laws miss one, they miss alike what is done like it.

use colour::Lab;
use nalgebra::{Matrix3, Vector3};
use piece::{Part, PartId, Piece, Reading, Step, TrialId};

use crate::{
    coats::of_the_topcoat,
    draws::{moved, vector},
    lessons::{Key, Lessons, moments_of, part_of, start_of},
    look::{Look, Moment, pooled_draws},
    outcome::{Place, by_laws},
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
}

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
            let place = Place { name: &name, part: part.map(AsRef::as_ref), wood };
            let (predicted, _) = by_laws(lessons, place, &dry, &steps, look);
            anchors.push(Anchor {
                trial: trial.id,
                part: part.map(|part| part.id),
                wood: wood.to_owned(),
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

/// The anchor on this part's wood with the same steps at the nearest strengths; the part's own before another's, the
/// earlier trial before the later.
pub(crate) fn nearest<'a>(anchors: &'a [Anchor], part: &Part, steps: &[Step]) -> Option<&'a Anchor> {
    let keys: Vec<(Key, f64)> = steps.iter().filter_map(Key::of).collect();
    let same = |anchor: &&Anchor| {
        anchor.keys.len() == keys.len() && anchor.keys.iter().zip(&keys).all(|((a, _), (b, _))| a == b)
    };
    let wood = |wood: &str| wood.trim().to_lowercase();
    let near = |anchor: &&Anchor| anchor.part == Some(part.id) || wood(&anchor.wood) == wood(&part.wood);
    let distance =
        |anchor: &Anchor| -> f64 { anchor.keys.iter().zip(&keys).map(|((_, a), (_, b))| (a / b).ln().abs()).sum() };
    anchors.iter().filter(near).filter(same).min_by(|a, b| {
        let order = distance(a).total_cmp(&distance(b));
        order.then((a.part != Some(part.id)).cmp(&(b.part != Some(part.id)))).then(a.trial.cmp(&b.trial))
    })
}

impl Anchor {
    /// Draws of a prediction, given what this trial gave: each is moved by the part of the trial's miss that both share.
    ///
    /// # Source
    /// The ensemble form of Kalman's update with perturbed observations: Burgers, van Leeuwen, Evensen (1998), Mon.
    /// Weather Rev. 126:1719–1724.
    pub(crate) fn correct(&self, draws: Vec<Lab>) -> Vec<Lab> {
        let count = draws.len().max(1) as f64;
        let mean = |values: &mut dyn Iterator<Item = Vector3<f64>>| values.sum::<Vector3<f64>>() / count;
        let here = mean(&mut draws.iter().map(|lab| vector(*lab)));
        let there = mean(&mut self.predicted.iter().copied());
        let miss = mean(&mut self.missed.iter().copied());
        let (mut shared, mut own) = (Matrix3::zeros(), Matrix3::zeros());
        for ((draw, predicted), missed) in draws.iter().zip(&self.predicted).zip(&self.missed) {
            shared += (vector(*draw) - here) * (predicted - there).transpose();
            own += (missed - miss) * (missed - miss).transpose();
        }
        let Some(inverse) = (own / count + Matrix3::identity() * 0.02).try_inverse() else { return draws };
        let gain = shared / count * inverse;
        draws.into_iter().zip(&self.missed).map(|(draw, missed)| moved(draw, gain * missed)).collect()
    }
}
