//! An uneven part: how much of its patchiness a schedule hides or brings out.

use colour::{Lab, de2000};
use nalgebra::{Matrix3, Vector3};
use piece::{Part, Piece, Reading, Step, Surface};

use crate::{
    chain::{Chains, Place},
    draws::{geometric_median, moved, vector},
    lessons::{Lessons, untouched},
    look::{Look, pooled_lab},
    pool::Pool,
};

/// Draws that a light and a dark spot are pushed through; what is asked is only how far apart they come out.
const DRAWS: usize = 32;
/// Readings of a part at as many places tell how uneven it is; with fewer the evenness of a region does, or its grain.
const PLACES: usize = 3;
/// Light and dark spots closer than this, ΔE2000, are even.
const EVEN_DE00: f64 = 1.0;
/// A change of the difference below this share is none.
const SAME: f64 = 0.1;

/// How far apart the light and dark spots of an uneven part are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patchiness {
    /// Left natural, in the look that is judged, ΔE2000.
    pub natural_de00: f64,
    /// After the schedule.
    pub after_de00: f64,
    /// What it is known from.
    pub known_from: KnownFrom,
}

/// What the patchiness of a part is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KnownFrom {
    /// Readings at several places.
    Places,
    /// The evenness of a region of a photo.
    Evenness,
    /// The grain alone.
    Grain,
}

impl Patchiness {
    /// 'hides about half of its patchiness', 'brings out its patchiness: …'.
    pub fn words(&self) -> String {
        let Self { natural_de00, after_de00, .. } = *self;
        let sizes =
            format!("light and dark spots ΔE2000 {natural_de00:.1} apart left natural, {after_de00:.1} after it");
        let change = after_de00 / natural_de00.max(1e-6) - 1.0;
        let what = if change < -SAME {
            format!("hides {:.0} % of its patchiness", -100.0 * change)
        } else if change > SAME {
            format!("brings out its patchiness by {:.0} %", 100.0 * change)
        } else {
            "leaves its patchiness as it is".to_owned()
        };
        let from = match self.known_from {
            KnownFrom::Places => "",
            KnownFrom::Evenness => "; known from one photo",
            KnownFrom::Grain => "; known from the grain alone",
        };
        format!("{what}: {sizes}{from}")
    }
}

/// How uneven a part is, dry: its middle colour and one standard deviation from it, towards light.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Uneven {
    middle: Lab,
    spread: Vector3<f64>,
    known_from: KnownFrom,
}

impl Uneven {
    /// From readings at several places or the evenness of a region, whichever is the more uneven, else from the grain; None for a part of
    /// which nothing of this is known.
    pub(crate) fn of(piece: &Piece, part: &Part) -> Option<Self> {
        let moment = untouched(piece, Surface::Part(part.id));
        let readings = moment.in_look(Look::Dry);
        let middle = (!readings.is_empty()).then(|| pooled_lab(&readings))?;
        let own = |reading: &Reading| Matrix3::from_fn(|row, column| reading.covariance[row][column]);
        let places = (readings.len() >= PLACES).then(|| {
            let each: Vec<_> = readings.iter().map(|reading| (vector(reading.lab), own(reading))).collect();
            (longest(&Pool::of(&each).between), KnownFrom::Places)
        });
        let evenness = readings.iter().find_map(|reading| reading.patch_sd).map(|sd| (sd, KnownFrom::Evenness));
        let grain = || readings.iter().find_map(|reading| reading.grain_sd).map(|sd| (sd, KnownFrom::Grain));
        // Places that are alike may each be patchy in themselves.
        let evenness = evenness.map(|(sd, known_from)| (Vector3::from(sd), known_from));
        let longer = places.into_iter().chain(evenness).max_by(|(a, _), (b, _)| a.norm().total_cmp(&b.norm()));
        let (spread, known_from) = longer.or_else(|| grain().map(|(sd, from)| (Vector3::from(sd), from)))?;
        Some(Self { middle, spread, known_from })
    }

    /// What a schedule makes of it; None where the part is even.
    pub(crate) fn after(&self, lessons: &Lessons, part: &Part, steps: &[Step], look: Look) -> Option<Patchiness> {
        let spot = |steps: &[Step], by: Vector3<f64>| {
            let dry = vec![moved(self.middle, by); DRAWS];
            geometric_median(&Chains::new(lessons, Place::of(part), &dry).seen(steps, look))
        };
        let apart = |steps: &[Step]| de2000(spot(steps, self.spread), spot(steps, -self.spread));
        let natural_de00 = apart(&[]);
        (natural_de00 >= EVEN_DE00).then(|| Patchiness {
            natural_de00,
            after_de00: apart(steps),
            known_from: self.known_from,
        })
    }
}

/// One standard deviation along the axis of the widest spread, towards light.
fn longest(covariance: &Matrix3<f64>) -> Vector3<f64> {
    let eigen = covariance.symmetric_eigen();
    let at = eigen.eigenvalues.imax();
    let axis: Vector3<f64> = eigen.eigenvectors.column(at).into_owned() * eigen.eigenvalues[at].max(0.0).sqrt();
    if axis.x < 0.0 { -axis } else { axis }
}
