//! How a surface looks: what of its state matters for its colour.

use std::{collections::BTreeMap, sync::Arc};

use colour::Lab;
use nalgebra::{Matrix3, Vector3};
use piece::{Piece, Reading, ReadingId, State};

use crate::draws::{COUNT, Source, moved, root, vector};
use crate::pool::Pool;

/// The looks between which a colour can be carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Look {
    /// Bare, or coloured, and dry.
    Dry,
    /// Wetted to preview the clear coat.
    SpiritWet,
    /// Under a sealer.
    Sealed,
    /// Under the clear coats.
    Topcoated,
}

impl Look {
    /// All of them, from the bare wood up.
    pub const ALL: [Self; 4] = [Self::Dry, Self::SpiritWet, Self::Sealed, Self::Topcoated];

    /// The look of a state; None for a state that is none of them (colour still wet, washcoated).
    pub fn of(state: &State) -> Option<Self> {
        match state {
            State::BareDry | State::ColourDry => Some(Self::Dry),
            State::SpiritWet { .. } => Some(Self::SpiritWet),
            State::Sealed => Some(Self::Sealed),
            State::Topcoated { .. } => Some(Self::Topcoated),
            State::ColourWet | State::Washcoated => None,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::SpiritWet => "spirit-wet",
            Self::Sealed => "sealed",
            Self::Topcoated => "topcoated",
        }
    }
}

/// Joint draws of the true colour behind a reading: its own error and those it shares with others, by name.
pub(crate) fn reading_draws(reading: &Reading) -> Vec<Lab> {
    drawn(reading, "")
}

/// How many times as many draws two readings are compared by.
const TIMES: usize = 16;

/// As [`reading_draws`], several times as many, where two readings are all that is compared: the ends of an interval are then sure to a
/// hundredth of its width.
pub(crate) fn many_reading_draws(reading: &Reading) -> Vec<Lab> {
    (0..TIMES).flat_map(|time| drawn(reading, &format!(", time {time}"))).collect()
}

/// Joint draws of a reading from the sources of its errors, each with the same words behind its name.
fn drawn(reading: &Reading, again: &str) -> Vec<Lab> {
    let own = root(&Matrix3::from_fn(|row, column| reading.covariance[row][column]));
    let own_normals = Source::named(&format!("reading {}{again}", reading.id)).normals3(0);
    let shared: Vec<_> = reading
        .shared
        .iter()
        .map(|one| {
            let loading = Matrix3::from_fn(|row, column| one.loading[row][column]);
            (loading, Source::named(&format!("{}{again}", one.factor)).normals3(0))
        })
        .collect();
    (0..COUNT)
        .map(|draw| {
            let at = |normals: &[Arc<[f64; COUNT]>; 3]| Vector3::from_fn(|axis, _| normals[axis][draw]);
            let mut by = own * at(&own_normals);
            for (loading, normals) in &shared {
                by += loading * at(normals);
            }
            moved(reading.lab, by)
        })
        .collect()
}

/// Joint draws of one colour read several times: the weighted mean of the readings draw by draw, so that what they share
/// stays shared, and what places of the surface differ by.
pub(crate) fn pooled_draws(readings: &[&Reading]) -> Option<Vec<Lab>> {
    let each: Vec<Vec<Lab>> = readings.iter().map(|reading| reading_draws(reading)).collect();
    let pool = pool(readings);
    let between = root(&pool.covariance_from_between());
    let ids: Vec<String> = readings.iter().map(|reading| reading.id.to_string()).collect();
    let places = Source::named(&format!("places {}", ids.join(" "))).normals3(0);
    (!each.is_empty()).then(|| {
        (0..COUNT)
            .map(|draw| {
                let sum: Vector3<f64> = each.iter().zip(&pool.weights).map(|(draws, a)| a * vector(draws[draw])).sum();
                moved(Lab::new(0.0, 0.0, 0.0), sum + between * Vector3::from_fn(|axis, _| places[axis][draw]))
            })
            .collect()
    })
}

/// Covariance of the difference of two colours, each read several times: what both share cancels.
pub(crate) fn covariance_of_difference(before: &[&Reading], after: &[&Reading]) -> Matrix3<f64> {
    let (pool_before, pool_after) = (pool(before), pool(after));
    let mut sum = pool_before.covariance_from_between() + pool_after.covariance_from_between();
    // What each named error, the own one of each reading among them, is multiplied by in the difference.
    let mut own: BTreeMap<ReadingId, (Matrix3<f64>, Matrix3<f64>)> = BTreeMap::new();
    let mut shared: BTreeMap<&str, Matrix3<f64>> = BTreeMap::new();
    for (sign, readings, pool) in [(-1.0, before, &pool_before), (1.0, after, &pool_after)] {
        for (reading, weight) in readings.iter().zip(&pool.weights) {
            let covariance = Matrix3::from_fn(|row, column| reading.covariance[row][column]);
            own.entry(reading.id).or_insert((Matrix3::zeros(), covariance)).0 += weight * sign;
            for one in &reading.shared {
                let loading = Matrix3::from_fn(|row, column| one.loading[row][column]);
                *shared.entry(one.factor.as_str()).or_insert_with(Matrix3::zeros) += weight * loading * sign;
            }
        }
    }
    sum += own.values().map(|(by, covariance)| by * covariance * by.transpose()).sum::<Matrix3<f64>>();
    sum + shared.values().map(|by| by * by.transpose()).sum::<Matrix3<f64>>()
}

/// The weighted mean of readings, which the draws scatter about.
pub(crate) fn pooled_lab(readings: &[&Reading]) -> Lab {
    let pool = pool(readings);
    let sum: Vector3<f64> = readings.iter().zip(&pool.weights).map(|(reading, a)| a * vector(reading.lab)).sum();
    moved(Lab::new(0.0, 0.0, 0.0), sum)
}

fn pool(readings: &[&Reading]) -> Pool {
    let own = |reading: &Reading| Matrix3::from_fn(|row, column| reading.covariance[row][column]);
    Pool::of(&readings.iter().map(|reading| (vector(reading.lab), own(reading))).collect::<Vec<_>>())
}

/// Readings of one surface at one moment, in several looks.
#[derive(Clone, Debug, Default)]
pub(crate) struct Moment<'a> {
    pub(crate) readings: Vec<&'a Reading>,
}

impl<'a> Moment<'a> {
    pub(crate) fn new(piece: &'a Piece, ids: impl IntoIterator<Item = piece::ReadingId>) -> Self {
        Self { readings: ids.into_iter().filter_map(|id| piece.reading(id)).map(AsRef::as_ref).collect() }
    }

    /// The readings in this look.
    pub(crate) fn in_look(&self, look: Look) -> Vec<&'a Reading> {
        self.readings.iter().copied().filter(|reading| Look::of(&reading.state) == Some(look)).collect()
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.readings.iter().all(|reading| Look::of(&reading.state).is_none())
    }
}

/// Covariance of draws about their mean.
pub(crate) fn covariance(draws: impl Iterator<Item = Vector3<f64>> + Clone) -> Matrix3<f64> {
    let count = draws.clone().count().max(1) as f64;
    let mean = draws.clone().sum::<Vector3<f64>>() / count;
    draws.map(|draw| (draw - mean) * (draw - mean).transpose()).sum::<Matrix3<f64>>() / count
}
