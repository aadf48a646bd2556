//! The patches of a card in the photo: their light, what is clipped and what glares.

mod shadow;

use rayon::prelude::*;

use crate::Photo;
use crate::grid::Grid;

/// Share of a patch's side that is sampled: its middle, clear of the blurred edge and the corners' errors.
const CENTRAL_SHARE: f64 = 0.5;
/// Most pixels looked at in a patch; larger patches are sampled evenly.
const MOST_PIXELS: f64 = 4_096.0;
/// A channel is clipped when more than this share of the patch is.
pub(crate) const CLIPPED_SHARE: f64 = 0.2;
/// A patch glares when more than this share of it lies in the bright tail.
pub(crate) const GLARE_SHARE: f64 = 0.12;
/// The bright tail begins this far above the median, relative to it and in linear light.
const GLARE_ABOVE: (f64, f64) = (0.25, 0.01);

/// One patch as the photo shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct PatchSample {
    /// Centre in upright photo pixels.
    pub centre_px: [f64; 2],
    /// Robust mean per channel in linear working RGB (the mean of the middle half); not finite where no pixel of the
    /// patch lies in the photo.
    pub device_linear_rgb: [f64; 3],
    /// Share of pixels at the top of the range, per channel.
    pub clipped_share: [f64; 3],
    /// Share of pixels in a bright tail, a reflection of the lamp.
    pub glare_share: f64,
    /// Whether that is no reflection but the part of the patch beside the edge of a shadow.
    pub part_in_shade: bool,
    /// Whether something lies on it, as the finder saw.
    pub covered: bool,
    /// Pixels looked at.
    pub pixels: usize,
}

impl PatchSample {
    /// Channels that cannot be trusted to be as dark as they read.
    pub fn clipped(&self) -> [bool; 3] {
        self.clipped_share.map(|share| share > CLIPPED_SHARE)
    }

    /// Whether a reflection, the edge of a shadow or something else lies on the patch.
    pub fn hidden(&self) -> bool {
        self.covered || self.part_in_shade || self.glare_share > GLARE_SHARE && !self.clipped().contains(&true)
    }

    /// Whether any of it lies in the photo.
    pub fn seen(&self) -> bool {
        self.pixels > 0
    }
}

/// Samples every patch of a grid.
pub fn patches(photo: &Photo, grid: &Grid) -> Vec<PatchSample> {
    (0..grid.rows * grid.columns).into_par_iter().map(|patch| patch_sample(photo, grid, patch)).collect()
}

fn patch_sample(photo: &Photo, grid: &Grid, patch: usize) -> PatchSample {
    let centre_px = grid.photo_from_card(grid.patch_centre(patch));
    let pixels = central_pixels(photo, &grid.patch_quad(patch, CENTRAL_SHARE), centre_px);
    if pixels.is_empty() {
        let nothing = [0.0; 3];
        return PatchSample {
            centre_px,
            device_linear_rgb: [f64::NAN; 3],
            clipped_share: nothing,
            glare_share: 0.0,
            part_in_shade: false,
            covered: false,
            pixels: 0,
        };
    }
    let count = pixels.len() as f64;
    let lights: Vec<[f32; 3]> = pixels.iter().map(|&[x, y]| photo.linear(x, y)).collect();
    let mut device_linear_rgb = [0.0; 3];
    for channel in 0..3 {
        let mut light: Vec<f32> = lights.iter().map(|light| light[channel]).collect();
        light.sort_unstable_by(f32::total_cmp);
        device_linear_rgb[channel] = mean_of_middle_half(&light);
    }
    let mut clipped_share = [0.0; 3];
    for &[x, y] in &pixels {
        for (share, clipped) in clipped_share.iter_mut().zip(photo.clipped(x, y)) {
            *share += f64::from(u8::from(clipped)) / count;
        }
    }
    let (glare_share, part_in_shade) = bright_tail(&pixels, &lights);
    PatchSample {
        centre_px,
        device_linear_rgb,
        clipped_share,
        glare_share,
        part_in_shade,
        covered: false,
        pixels: pixels.len(),
    }
}

/// Pixels of the photo whose centres lie in a convex quad, evenly thinned where there are very many. A quad smaller
/// than a pixel gives the pixel at its centre.
fn central_pixels(photo: &Photo, quad: &[[f64; 2]; 4], centre: [f64; 2]) -> Vec<[u32; 2]> {
    let (width, height) = (f64::from(photo.width_px), f64::from(photo.height_px));
    let low = |axis: usize| quad.iter().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
    let high = |axis: usize| quad.iter().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
    if !(low(0) < width && low(1) < height && high(0) > 0.0 && high(1) > 0.0) {
        return Vec::new();
    }
    let box_area = (high(0) - low(0)) * (high(1) - low(1));
    let step = (box_area / MOST_PIXELS).sqrt().ceil().max(1.0) as usize;
    let range = |axis: usize, length: f64| {
        (low(axis).floor().max(0.0) as u32..high(axis).ceil().min(length) as u32).step_by(step)
    };
    let mut pixels = Vec::new();
    for y in range(1, height) {
        for x in range(0, width) {
            if inside(quad, [f64::from(x) + 0.5, f64::from(y) + 0.5]) && !photo.transparent(x, y) {
                pixels.push([x, y]);
            }
        }
    }
    let within = (0.0..width).contains(&centre[0]) && (0.0..height).contains(&centre[1]);
    if pixels.is_empty() && within && !photo.transparent(centre[0] as u32, centre[1] as u32) {
        pixels.push([centre[0] as u32, centre[1] as u32]);
    }
    pixels
}

fn inside(quad: &[[f64; 2]; 4], point: [f64; 2]) -> bool {
    let side = |k: usize| {
        let ([ax, ay], [bx, by]) = (quad[k], quad[(k + 1) % 4]);
        (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
    };
    let sides = [0, 1, 2, 3].map(side);
    sides.iter().all(|&side| side >= 0.0) || sides.iter().all(|&side| side <= 0.0)
}

fn mean_of_middle_half(sorted: &[f32]) -> f64 {
    let cut = sorted.len() / 4;
    let middle = &sorted[cut..sorted.len() - cut];
    middle.iter().map(|&light| f64::from(light)).sum::<f64>() / middle.len() as f64
}

fn quantile(sorted: &[f32], share: f64) -> f64 {
    let at = share * (sorted.len() - 1) as f64;
    let (low, part) = (at.floor() as usize, at.fract());
    let high = (low + 1).min(sorted.len() - 1);
    f64::from(sorted[low]) * (1.0 - part) + f64::from(sorted[high]) * part
}

/// Share of pixels much brighter than the median, a reflection of the lamp, as paint itself is even; none, and whether they
/// are so, where they are the lit part of a patch that is otherwise in shade.
fn bright_tail(pixels: &[[u32; 2]], lights: &[[f32; 3]]) -> (f64, bool) {
    let luminances: Vec<f32> =
        lights.iter().map(|[red, green, blue]| 0.2126 * red + 0.7152 * green + 0.0722 * blue).collect();
    let mut light = luminances.clone();
    light.sort_unstable_by(f32::total_cmp);
    let median = quantile(&light, 0.5);
    let noise = (median - quantile(&light, 0.1)).max(0.0) / 1.2816;
    let from = median + (GLARE_ABOVE.0 * median + GLARE_ABOVE.1).max(4.0 * noise);
    let share = light.iter().filter(|&&light| f64::from(light) > from).count() as f64 / light.len() as f64;
    let in_shade = share > GLARE_SHARE && shadow::divides(pixels, lights, &luminances, from);
    if in_shade { (0.0, true) } else { (share, false) }
}
