//! What changes within single patches. Paint is even: what changes there is the light or the camera, and it shows without
//! any fit.

use colour::calibration::Gradients;

use crate::Photo;
use crate::grid::Grid;
use crate::sample::PatchSample;

/// Share of a patch's side that is looked at, and places along each side of that area: wide and many, so that noise moves the
/// light's slope no more than it does colours.
const CENTRAL_SHARE: f64 = 0.66;
const PLACES: usize = 48;
/// Linear light of a patch's channels between which steps can be told.
const TELLING: std::ops::Range<f64> = 0.02..0.95;
/// Fewest patches to judge by.
pub(crate) const FEWEST: usize = 6;

/// Steps of log light within the patches.
pub(crate) struct Within {
    /// Per patch, from left to right and from top to bottom; `None` where it cannot be told.
    pub(crate) steps: Vec<Option<[Step; 2]>>,
    /// Luminance of the patches.
    pub(crate) light: Vec<f64>,
    /// Rows and columns of the card.
    pub(crate) rows: usize,
    pub(crate) columns: usize,
    /// Gap between two patches, pitches.
    gap: f64,
    /// Distance over which the steps are taken, pitches.
    pub(crate) reach: f64,
}

/// Log of light in one half of a patch over that in the other: red, green, blue, luminance.
pub(crate) type Step = [f64; 4];

/// A mean with its standard error.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Estimate {
    pub(crate) value: f64,
    pub(crate) error: f64,
}

impl Within {
    pub(crate) fn new(photo: &Photo, grid: &Grid, samples: &[PatchSample]) -> Self {
        let steps = samples.iter().enumerate().map(|(k, sample)| {
            let telling = sample.device_linear_rgb.iter().all(|channel| TELLING.contains(channel));
            telling.then(|| steps(photo, grid, k))
        });
        Self {
            steps: steps.collect(),
            light: samples.iter().map(|sample| luminance(sample.device_linear_rgb)).collect(),
            rows: grid.rows,
            columns: grid.columns,
            gap: grid.gap_fraction,
            reach: CENTRAL_SHARE * (1.0 - grid.gap_fraction) / 2.0,
        }
    }

    /// What the patches say on the whole of a step along an axis, carried across the whole card.
    pub(crate) fn across_card(&self, axis: usize, of: impl Fn(&Step) -> f64) -> Option<Estimate> {
        let length = [self.columns, self.rows][axis] as f64 / self.reach;
        let values: Vec<f64> = self.steps.iter().flatten().map(|steps| of(&steps[axis]) * length).collect();
        middle(values)
    }

    /// The light's slopes, where enough patches tell.
    pub(crate) fn gradients(&self) -> Option<Gradients> {
        let along = |axis: usize| {
            // The card's edges are two units of place apart, and a gap less than its pitches.
            let pitches = [self.columns, self.rows][axis] as f64;
            let per_place = (1.0 - self.gap / pitches) / 2.0;
            let of = |of: fn(&Step) -> f64| self.across_card(axis, of);
            let all = [of(|step| step[3])?, of(|step| step[0] - step[1])?, of(|step| step[2] - step[1])?];
            Some((all.map(|one| one.value * per_place), all.map(|one| one.error * per_place)))
        };
        let ((rows, of_rows), (columns, of_columns)) = (along(0)?, along(1)?);
        Some(Gradients { slope: [rows, columns], error: [of_rows, of_columns] })
    }
}

/// The steps within a patch, across and down the card.
fn steps(photo: &Photo, grid: &Grid, patch: usize) -> [Step; 2] {
    let [x, y] = grid.patch_centre(patch);
    let side = CENTRAL_SHARE * (1.0 - grid.gap_fraction);
    let mut halves = [[[0.0; 3]; 2]; 2];
    for i in 0..PLACES {
        for j in 0..PLACES {
            let at = |k: usize| side * ((k as f64 + 0.5) / PLACES as f64 - 0.5);
            let [px, py] = grid.photo_from_card([x + at(i), y + at(j)]);
            let light = photo.linear(px.max(0.0) as u32, py.max(0.0) as u32);
            for (axis, late) in [(0, 2 * i >= PLACES), (1, 2 * j >= PLACES)] {
                for (sum, light) in halves[axis][usize::from(late)].iter_mut().zip(light) {
                    *sum += f64::from(light);
                }
            }
        }
    }
    halves.map(|[early, late]| {
        let log = |late: f64, early: f64| (late.max(1e-6) / early.max(1e-6)).ln();
        [log(late[0], early[0]), log(late[1], early[1]), log(late[2], early[2]), log(luminance(late), luminance(early))]
    })
}

/// Luminance of linear sRGB (IEC 61966-2-1:1999).
fn luminance([red, green, blue]: [f64; 3]) -> f64 {
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// The mean of what is not far off the median, and its standard error by the median absolute deviation: nearly as sure as a mean where
/// errors are normal, and blind to patches that something else changes.
///
/// # Source
/// 1.4826: normal errors, e.g. Huber, Ronchetti 2009, Robust Statistics, 5.1; rejection at 2.5: Hampel 1985, The breakdown points of the
/// mean combined with some rejection rules.
fn middle(mut values: Vec<f64>) -> Option<Estimate> {
    const FAR_OFF: f64 = 2.5;
    if values.len() < FEWEST {
        return None;
    }
    let middle = median(&mut values);
    let mut off: Vec<f64> = values.iter().map(|one| (one - middle).abs()).collect();
    let spread = 1.4826 * median(&mut off);
    values.retain(|one| (one - middle).abs() <= FAR_OFF * spread);
    let count = values.len() as f64;
    Some(Estimate { value: values.iter().sum::<f64>() / count, error: spread / count.sqrt() })
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}
