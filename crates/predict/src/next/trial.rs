//! A trial that could be made, and what would be read of it, draw by draw.

use nalgebra::Vector3;
use piece::{Part, Piece, Reading, Stage, Step, Surface, Trial, TrialId};

use crate::{
    chain::{Chains, Place},
    draws::{Source, vector},
    lessons::{Key, Lessons, part_of, start_of, unlike_by},
    look::Look,
    target::as_seen,
};

/// Standard deviation of a reading, per CIELAB axis, for a piece without readings.
const READING_SD: f64 = 0.4;

/// A trial that could be made.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) on: Surface,
    /// The colour steps with their preparations, up to the clear coats.
    pub(super) steps: Vec<Step>,
}

impl Candidate {
    /// The part whose wood it is made on.
    pub(super) fn part<'a>(&self, piece: &'a Piece) -> Option<&'a Part> {
        part_of(piece, self.on).and_then(|id| piece.part(id)).map(AsRef::as_ref)
    }

    /// What would be read of it in each joint draw: the colour in the look that is judged first, then the colour after each
    /// of its colour steps. Each is off as one use and one reading are. None where its surface was never read.
    pub(super) fn readings(&self, piece: &Piece, lessons: &Lessons, look: Look) -> Option<Vec<Vec<Vector3<f64>>>> {
        let part = self.part(piece);
        let wood = part.map_or("", |part| part.wood.as_str());
        // A use of its own: what differs from one use to the next is not that of any part.
        let place =
            Place { name: "a trial to come".to_owned(), part, wood, unlike: unlike_by(piece, self.on, &self.steps) };
        let stages = self.steps.iter().map(|step| Stage { step: step.clone(), readings: Vec::new() }).collect();
        let trial = Trial::new(TrialId(0), self.on, Vec::new(), stages);
        let start = start_of(piece, &trial);
        let (dry, _) = as_seen(piece, lessons, &start, Look::Dry, (&place.name, wood))?;
        let chains = Chains::new(lessons, place, &dry);
        let colour_steps =
            self.steps.iter().enumerate().filter_map(|(at, step)| Some((at + 1, Key::of(step)?.0.look())));
        let sd = reading_sd(piece);
        let reading = |(at, (count, look)): (usize, (usize, Look))| -> Vec<Vector3<f64>> {
            let colours = chains.seen(&self.steps[..count], look);
            let noise = Source::named(&format!("reading {at} of a trial to come"));
            colours.iter().enumerate().map(|(draw, lab)| vector(*lab) + noise.normal3(draw, 0) * sd).collect()
        };
        Some(std::iter::once((self.steps.len(), look)).chain(colour_steps).enumerate().map(reading).collect())
    }
}

/// The middle size of what the piece's readings are off by, per axis, with what they share.
fn reading_sd(piece: &Piece) -> f64 {
    let variance = |reading: &Reading| {
        let own: f64 = (0..3).map(|axis| reading.covariance[axis][axis]).sum();
        let shared: f64 =
            reading.shared.iter().flat_map(|one| one.loading.as_flattened()).map(|load| load * load).sum();
        (own + shared) / 3.0
    };
    let mut variances: Vec<f64> = piece.readings.iter().map(|reading| variance(reading)).collect();
    variances.sort_by(f64::total_cmp);
    variances.get(variances.len() / 2).map_or(READING_SD, |variance| variance.sqrt())
}
