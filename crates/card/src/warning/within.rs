//! What changes within single patches. Paint is even: what changes there is the light or the camera, and it shows without
//! any fit.

use colour::calibration::LightSlope;

use super::Warning;
use crate::Photo;
use crate::grid::Grid;
use crate::read::CardReading;

/// Share of a patch's side that is looked at.
const CENTRAL_SHARE: f64 = 0.5;
/// Places looked at along each side of that area.
const PLACES: usize = 16;
/// Linear light of a patch's channels between which steps can be told.
const TELLING: std::ops::Range<f64> = 0.02..0.95;
/// Fewest patches to judge by.
const FEWEST: usize = 6;
/// Change of the ratio of red to blue light across the card that is worth a word: two lamps that differ. Every lamp leans
/// a little; a card between a window and a warm lamp shows several times this.
const MIXED_LIGHT: f64 = 0.12;
/// Change of light within a patch, beyond that of the card, that only a shadow's edge makes.
const SHADOW_EDGE: f64 = 0.25;
/// Patches it must cross.
const SHADOWED_PATCHES: usize = 2;
/// Share of the contrast to its neighbours that shows within a patch, as a picture program that brightens shadows makes it.
const LOCAL_TONE: f64 = 0.02;
/// How many standard errors a change must be.
const SURE: f64 = 3.0;

/// Steps of log light within the patches.
struct Within<'a> {
    grid: &'a Grid,
    /// Per patch, from left to right and from top to bottom, per channel and in luminance; `None` where it cannot be told.
    steps: Vec<Option<[Step; 2]>>,
    /// Luminance of the patches.
    light: Vec<f64>,
    /// Distance over which the steps are taken, pitches.
    reach: f64,
}

/// Log of light in one half of a patch over that in the other: red, green, blue, luminance.
type Step = [f64; 4];

/// A mean with its standard error.
struct Estimate {
    value: f64,
    error: f64,
}

/// Mixed light, a shadow's edge, tone that changes from place to place.
pub(super) fn of_patches(photo: &Photo, grid: &Grid, card: &CardReading, light: &LightSlope) -> Vec<Warning> {
    let within = Within::new(photo, grid, card);
    [within.mixed_light(light), within.shadow(), within.local_tone()].into_iter().flatten().collect()
}

impl<'a> Within<'a> {
    fn new(photo: &Photo, grid: &'a Grid, card: &CardReading) -> Self {
        let light = card.patches.iter().map(|patch| luminance(patch.device_linear_rgb)).collect();
        let steps = card.patches.iter().enumerate().map(|(k, patch)| {
            let telling = patch.device_linear_rgb.iter().all(|channel| TELLING.contains(channel));
            telling.then(|| steps(photo, grid, k))
        });
        Self { grid, light, steps: steps.collect(), reach: CENTRAL_SHARE * (1.0 - grid.gap_fraction) / 2.0 }
    }

    /// What the patches say in the middle of a step along an axis, carried across the whole card.
    fn across_card(&self, axis: usize, of: impl Fn(&Step) -> f64) -> Option<Estimate> {
        let length = [self.grid.columns, self.grid.rows][axis] as f64 / self.reach;
        let values: Vec<f64> = self.steps.iter().flatten().map(|steps| of(&steps[axis]) * length).collect();
        middle(values)
    }

    /// By what changes within the patches, or by how their colours fit: either may tell alone.
    fn mixed_light(&self, fitted: &LightSlope) -> Option<Warning> {
        let within = || {
            let [across, down] = [0, 1].map(|axis| self.across_card(axis, |step| step[0] - step[2]));
            let (across, down) = (across?, down?);
            let (change, error) = (across.value.hypot(down.value), across.error.hypot(down.error));
            (change > SURE * error).then_some(change)
        };
        let change = within().unwrap_or(0.0).max(fitted.colour_change);
        (change > MIXED_LIGHT).then(|| {
            let percent = (100.0 * change).round();
            Warning::new(
                "mixed-light",
                format!("The light changes its colour by {percent} % across the card: two lights mix there; use one kind of lamp and shade the window."),
            )
        })
    }

    fn shadow(&self) -> Option<Warning> {
        let [across, down] = [0, 1].map(|axis| self.across_card(axis, |step| step[3]).map(|slope| slope.value));
        let length = [self.grid.columns as f64, self.grid.rows as f64];
        let slope = [across? / length[0] * self.reach, down? / length[1] * self.reach];
        let steps: Vec<[f64; 2]> = self
            .steps
            .iter()
            .flatten()
            .map(|steps| [0, 1].map(|axis| steps[axis][3] - slope[axis]))
            .filter(|[across, down]| across.hypot(*down) > SHADOW_EDGE)
            .collect();
        // One edge darkens all patches on the same side, which reflections do not.
        let way = [0, 1].map(|axis| steps.iter().map(|step| step[axis]).sum::<f64>());
        let crossed = steps.iter().filter(|step| step[0] * way[0] + step[1] * way[1] > 0.0).count();
        (crossed >= SHADOWED_PATCHES).then(|| {
            Warning::new(
                "shade",
                format!("The edge of a shadow crosses {crossed} patches of the card: move what throws it, and photograph again."),
            )
        })
    }

    /// Regression of the steps within patches on the contrast of the neighbours on both sides.
    fn local_tone(&self) -> Option<Warning> {
        let Estimate { value, error } = self.echo()?;
        (value.abs() > LOCAL_TONE && value.abs() > SURE * error).then(|| {
            Warning::new(
                "local-tone",
                "Tone changes from place to place, as a camera or picture program does that brightens shadows: turn that off, \
                 or put a card beside each part.",
            )
        })
    }

    fn echo(&self) -> Option<Estimate> {
        let (rows, columns) = (self.grid.rows, self.grid.columns);
        let mut pairs = Vec::new();
        for (axis, apart) in [(0, 1), (1, columns)] {
            let slope = self.across_card(axis, |step| step[3])?.value / [columns, rows][axis] as f64 * self.reach;
            for (k, steps) in self.steps.iter().enumerate() {
                let place = [k % columns, k / columns][axis];
                if place == 0 || place + 1 == [columns, rows][axis] {
                    continue;
                }
                let (before, after) = (self.light[k - apart], self.light[k + apart]);
                if let (Some(steps), true) = (steps, before > 0.0 && after > 0.0) {
                    pairs.push(((after / before).ln(), steps[axis][3] - slope));
                }
            }
        }
        if pairs.len() < FEWEST {
            return None;
        }
        let square: f64 = pairs.iter().map(|(x, _)| x * x).sum();
        let value = pairs.iter().map(|(x, y)| x * y).sum::<f64>() / square;
        let rest: f64 = pairs.iter().map(|(x, y)| (y - value * x).powi(2)).sum();
        Some(Estimate { value, error: (rest / (pairs.len() - 1) as f64 / square).sqrt() })
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

/// The median and its standard error by the median absolute deviation.
///
/// # Source
/// 1.4826 and 1.2533: normal errors, e.g. Huber, Ronchetti 2009, Robust Statistics, 1.2 and 5.1.
fn middle(mut values: Vec<f64>) -> Option<Estimate> {
    if values.len() < FEWEST {
        return None;
    }
    let count = values.len() as f64;
    let value = median(&mut values);
    let mut off: Vec<f64> = values.iter().map(|one| (one - value).abs()).collect();
    Some(Estimate { value, error: 1.2533 * 1.4826 * median(&mut off) / count.sqrt() })
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}
