//! What there is to say about what changes within single patches.

use colour::calibration::LightSlope;

use super::Warning;
use crate::within::{Estimate, FEWEST, Within};

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

/// Mixed light, a shadow's edge with the patches that it crosses, tone that changes from place to place.
pub(super) fn of_patches(within: &Within, light: &LightSlope) -> (Vec<usize>, Vec<Warning>) {
    let crossed = crossed(within);
    let shadow = (!crossed.is_empty()).then(|| {
        let text = format!(
            "The edge of a shadow crosses {} patches of the card: move what throws it, and photograph again.",
            crossed.len()
        );
        Warning::new("shade", text)
    });
    let warnings = [mixed_light(within, light), shadow, local_tone(within)].into_iter().flatten().collect();
    (crossed, warnings)
}

/// By what changes within the patches, or by how their colours fit: either may tell alone.
fn mixed_light(within: &Within, fitted: &LightSlope) -> Option<Warning> {
    let shown = || {
        let [across, down] = [0, 1].map(|axis| within.across_card(axis, |step| step[0] - step[2]));
        let (across, down) = (across?, down?);
        let (change, error) = (across.value.hypot(down.value), across.error.hypot(down.error));
        (change > SURE * error).then_some(change)
    };
    let change = shown().unwrap_or(0.0).max(fitted.colour_change);
    (change > MIXED_LIGHT).then(|| {
        let percent = (100.0 * change).round();
        Warning::new(
            "mixed-light",
            format!("The light changes its colour by {percent} % across the card: two lights mix there; use one kind of lamp and shade the window."),
        )
    })
}

/// The patches that the edge of a shadow crosses; none where it is fewer than a shadow's edge would.
fn crossed(within: &Within) -> Vec<usize> {
    let slope = |axis: usize, length: usize| {
        within.across_card(axis, |step| step[3]).map(|slope| slope.value / length as f64 * within.reach)
    };
    let (Some(across), Some(down)) = (slope(0, within.columns), slope(1, within.rows)) else { return Vec::new() };
    let steps: Vec<(usize, [f64; 2])> = (within.steps.iter().enumerate())
        .filter_map(|(k, steps)| steps.map(|[x, y]| (k, [x[3] - across, y[3] - down])))
        .filter(|(_, [across, down])| across.hypot(*down) > SHADOW_EDGE)
        .collect();
    // One edge darkens all patches on the same side, which reflections do not.
    let way = [0, 1].map(|axis| steps.iter().map(|(_, step)| step[axis]).sum::<f64>());
    let crossed = steps.iter().filter(|(_, step)| step[0] * way[0] + step[1] * way[1] > 0.0);
    let crossed: Vec<usize> = crossed.map(|(k, _)| *k).collect();
    if crossed.len() >= SHADOWED_PATCHES { crossed } else { Vec::new() }
}

/// Regression of the steps within patches on the contrast of the neighbours on both sides.
fn local_tone(within: &Within) -> Option<Warning> {
    let Estimate { value, error } = echo(within)?;
    (value.abs() > LOCAL_TONE && value.abs() > SURE * error).then(|| {
        Warning::new(
            "local-tone",
            "The tone changes from place to place, as where a camera or picture program brightens shadows: turn that off, \
             or put a card beside each part.",
        )
    })
}

fn echo(within: &Within) -> Option<Estimate> {
    let (rows, columns) = (within.rows, within.columns);
    let mut pairs = Vec::new();
    for (axis, apart) in [(0, 1), (1, columns)] {
        let slope = within.across_card(axis, |step| step[3])?.value / [columns, rows][axis] as f64 * within.reach;
        for (k, steps) in within.steps.iter().enumerate() {
            let place = [k % columns, k / columns][axis];
            if place == 0 || place + 1 == [columns, rows][axis] {
                continue;
            }
            let (before, after) = (within.light[k - apart], within.light[k + apart]);
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
