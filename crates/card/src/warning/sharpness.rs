//! How sharp the card's edges are.

use crate::Photo;
use crate::grid::Grid;

/// Steps from one patch centre to the next.
const STEPS: usize = 64;
/// Contrast, in encoded light, that an edge must have to be judged.
const CONTRAST: f64 = 0.12;

/// Width of the edges between neighbouring patches, in patch pitches: the median over those with enough contrast of
/// the contrast over the steepest slope. `None` where no edge has enough.
pub(super) fn edge_width_pitches(photo: &Photo, grid: &Grid) -> Option<f64> {
    let mut widths: Vec<f64> = Vec::new();
    for patch in 0..grid.rows * grid.columns {
        let (row, column) = (patch / grid.columns, patch % grid.columns);
        if column + 1 < grid.columns {
            widths.extend(edge_width(photo, grid, patch, patch + 1));
        }
        if row + 1 < grid.rows {
            widths.extend(edge_width(photo, grid, patch, patch + grid.columns));
        }
    }
    widths.sort_by(f64::total_cmp);
    widths.get(widths.len() / 2).copied()
}

fn edge_width(photo: &Photo, grid: &Grid, from: usize, to: usize) -> Option<f64> {
    let (a, b) = (grid.patch_centre(from), grid.patch_centre(to));
    let mut profile = Vec::with_capacity(STEPS + 1);
    for step in 0..=STEPS {
        let t = step as f64 / STEPS as f64;
        let [x, y] = grid.photo_from_card([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
        if !(x >= 0.0 && y >= 0.0 && x < f64::from(photo.width_px) && y < f64::from(photo.height_px)) {
            return None;
        }
        profile.push(luminance(photo, x, y));
    }
    let low = profile.iter().copied().fold(f64::INFINITY, f64::min);
    let high = profile.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // Over two steps, so that a pixel's noise is no edge.
    let steepest = profile.windows(3).map(|w| (w[2] - w[0]).abs() / 2.0).fold(0.0, f64::max);
    (high - low > CONTRAST && steepest > 0.0).then(|| (high - low) / (steepest * STEPS as f64))
}

/// Encoded luminance between pixel centres.
fn luminance(photo: &Photo, x: f64, y: f64) -> f64 {
    let (x, y) = ((x - 0.5).max(0.0), (y - 0.5).max(0.0));
    let (left, top) = (x as u32, y as u32);
    let (u, v) = (x.fract(), y.fract());
    let at = |dx: u32, dy: u32| {
        let [red, green, blue] = photo.linear(left + dx, top + dy);
        f64::from(0.2126 * red + 0.7152 * green + 0.0722 * blue)
    };
    let light = (at(0, 0) * (1.0 - u) + at(1, 0) * u) * (1.0 - v) + (at(0, 1) * (1.0 - u) + at(1, 1) * u) * v;
    colour::rgb::srgb_from_linear(light)
}
