//! Crops of wood: pixels of a region resampled in linear light, and the same grain about any mean colour.

use std::sync::{
    Arc,
    atomic::{AtomicU64, Ordering},
};

use colour::Lab;

use crate::{
    display::{byte_from_linear, linear_srgb_from_lab, linear_table},
    picture::Picture,
};

/// The longest edge of a crop, pixels.
const LONGEST_PX: f64 = 512.0;

/// Grain as linear sRGB about its mean.
#[derive(Debug)]
pub struct Grain {
    width_px: u32,
    height_px: u32,
    linear: Vec<[f32; 3]>,
    mean: [f64; 3],
}

/// A picture of wood as the screen shows it.
#[derive(Debug)]
pub struct Crop {
    /// Width, pixels.
    pub width_px: u32,
    /// Height, pixels.
    pub height_px: u32,
    /// Rows of sRGB bytes.
    pub rgb: Vec<u8>,
    /// Differs between any two crops of a run of the program.
    pub key: u64,
}

impl Grain {
    /// The grain within a region (three points or more; four are taken as the corners of a rectangle seen aslant).
    pub fn from_picture(picture: &Picture, points_px: &[[f64; 2]]) -> Option<Self> {
        let quad = quad(points_px)?;
        let length = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
        let across = length(quad[0], quad[1]).max(length(quad[3], quad[2]));
        let down = length(quad[0], quad[3]).max(length(quad[1], quad[2]));
        if !(across >= 4.0 && down >= 4.0) {
            return None;
        }
        let shrink = (LONGEST_PX / across.max(down)).min(1.0);
        let (width_px, height_px) = ((across * shrink).round() as u32, (down * shrink).round() as u32);
        let sampler = Sampler::new(picture, shrink);
        let mut linear = Vec::with_capacity((width_px * height_px) as usize);
        for y in 0..height_px {
            for x in 0..width_px {
                let (u, v) = ((f64::from(x) + 0.5) / f64::from(width_px), (f64::from(y) + 0.5) / f64::from(height_px));
                linear.push(sampler.at(bilinear(&quad, u, v)));
            }
        }
        let count = linear.len().max(1) as f64;
        let mean = std::array::from_fn(|c| linear.iter().map(|p| f64::from(p[c])).sum::<f64>() / count);
        Some(Self { width_px, height_px, linear, mean })
    }

    /// This grain with its mean moved to a colour, by a gain per channel in linear light.
    pub fn about(&self, lab: Lab) -> Crop {
        let target = linear_srgb_from_lab(lab);
        let gain: [f64; 3] = std::array::from_fn(|c| target[c].max(0.0) / self.mean[c].max(1e-4));
        let encode: Vec<u8> = (0..4096).map(|i| byte_from_linear(f64::from(i) / 4095.0)).collect();
        let byte = |linear: f64| encode[((linear * 4095.0 + 0.5).clamp(0.0, 4095.0)) as usize];
        let rgb = self.linear.iter().flat_map(|p| [0, 1, 2].map(|c| byte(f64::from(p[c]) * gain[c]))).collect();
        Crop { width_px: self.width_px, height_px: self.height_px, rgb, key: new_key() }
    }
}

/// A crop of a whole picture, no larger than a thumbnail needs.
pub fn thumbnail(picture: &Picture, longest_px: u32) -> Arc<Crop> {
    let scale = longest_px as f32 / picture.width_px().max(picture.height_px()).max(1) as f32;
    let level = &picture.levels()[picture.level_for(scale)];
    Arc::new(Crop { width_px: level.width_px, height_px: level.height_px, rgb: level.rgb.clone(), key: new_key() })
}

fn new_key() -> u64 {
    static NEXT: AtomicU64 = AtomicU64::new(1);
    NEXT.fetch_add(1, Ordering::Relaxed)
}

/// The four points of a region, or the middle of its bounding box where it has another number.
fn quad(points: &[[f64; 2]]) -> Option<[[f64; 2]; 4]> {
    if points.len() < 3 || points.iter().flatten().any(|c| !c.is_finite()) {
        return None;
    }
    if let Ok(four) = <[[f64; 2]; 4]>::try_from(points) {
        return Some(upright(four));
    }
    let least = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
    let inset = |axis: usize| (most(axis) - least(axis)) / 5.0;
    let (x0, x1) = (least(0) + inset(0), most(0) - inset(0));
    let (y0, y1) = (least(1) + inset(1), most(1) - inset(1));
    Some([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
}

/// The same four corners, started at the one nearest the top left and taken clockwise, so that crops stand upright.
fn upright(mut four: [[f64; 2]; 4]) -> [[f64; 2]; 4] {
    let area: f64 = (0..4).map(|i| four[i][0] * four[(i + 1) % 4][1] - four[(i + 1) % 4][0] * four[i][1]).sum();
    if area < 0.0 {
        four.reverse();
    }
    let sum = |p: [f64; 2]| p[0] + p[1];
    let first = (0..4).min_by(|&a, &b| sum(four[a]).total_cmp(&sum(four[b]))).unwrap_or(0);
    four.rotate_left(first);
    four
}

fn bilinear(quad: &[[f64; 2]; 4], u: f64, v: f64) -> [f64; 2] {
    std::array::from_fn(|i| {
        let top = quad[0][i] + (quad[1][i] - quad[0][i]) * u;
        let bottom = quad[3][i] + (quad[2][i] - quad[3][i]) * u;
        top + (bottom - top) * v
    })
}

/// Reads a picture's light between pixels, from the level whose pixels are about as large as the crop's.
struct Sampler<'p> {
    level: &'p crate::picture::Level,
    scale: f64,
    linear: [f32; 256],
}

impl<'p> Sampler<'p> {
    fn new(picture: &'p Picture, shrink: f64) -> Self {
        let level = &picture.levels()[picture.level_for(shrink as f32)];
        let scale = f64::from(level.width_px) / f64::from(picture.width_px());
        Self { level, scale, linear: linear_table() }
    }

    fn at(&self, photo_px: [f64; 2]) -> [f32; 3] {
        let [x, y] = photo_px.map(|c| c * self.scale - 0.5);
        let pixel = |x: f64, y: f64| {
            let x = x.clamp(0.0, f64::from(self.level.width_px - 1)) as usize;
            let y = y.clamp(0.0, f64::from(self.level.height_px - 1)) as usize;
            let at = (y * self.level.width_px as usize + x) * 3;
            [0, 1, 2].map(|c| self.linear[self.level.rgb[at + c] as usize])
        };
        let (left, top) = (x.floor(), y.floor());
        let (u, v) = ((x - left) as f32, (y - top) as f32);
        let corners = [pixel(left, top), pixel(left + 1.0, top), pixel(left, top + 1.0), pixel(left + 1.0, top + 1.0)];
        std::array::from_fn(|c| {
            let above = corners[0][c] + (corners[1][c] - corners[0][c]) * u;
            let below = corners[2][c] + (corners[3][c] - corners[2][c]) * u;
            above + (below - above) * v
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::display::{lab_from_linear_srgb, linear_from_byte};

    fn stripes() -> Picture {
        let rgb =
            (0..200 * 100).flat_map(|i| if (i / 3) % 2 == 0 { [180u8, 130, 80] } else { [120, 80, 50] }).collect();
        Picture::new(200, 100, rgb).unwrap()
    }

    /// The mean of a crop in linear light is the colour it is drawn about, to what bytes can hold.
    #[test]
    fn grain_about_a_colour_has_that_mean() {
        let grain =
            Grain::from_picture(&stripes(), &[[10.0, 10.0], [150.0, 12.0], [150.0, 90.0], [10.0, 88.0]]).unwrap();
        for lab in [Lab::new(55.0, 10.0, 29.0), Lab::new(38.5, 11.0, 23.5), Lab::new(68.0, 3.5, 24.0)] {
            let crop = grain.about(lab);
            let count = (crop.rgb.len() / 3) as f64;
            let mean = |c: usize| {
                crop.rgb.iter().skip(c).step_by(3).map(|&b| f64::from(linear_from_byte(b))).sum::<f64>() / count
            };
            let found = lab_from_linear_srgb([mean(0), mean(1), mean(2)]);
            let de00 = colour::de2000(found, lab);
            assert!(de00 < 0.3, "{found:?}, expected {lab:?}: {de00}");
        }
    }

    #[test]
    fn a_region_drawn_from_any_corner_stands_upright() {
        let from = |points: [[f64; 2]; 4]| upright(points);
        let expected = [[1.0, 1.0], [9.0, 1.0], [9.0, 5.0], [1.0, 5.0]];
        assert_eq!(from([[9.0, 5.0], [1.0, 5.0], [1.0, 1.0], [9.0, 1.0]]), expected);
        assert_eq!(from([[1.0, 1.0], [1.0, 5.0], [9.0, 5.0], [9.0, 1.0]]), expected);
    }

    #[test]
    fn what_is_no_region_gives_no_grain() {
        let picture = stripes();
        assert!(Grain::from_picture(&picture, &[[0.0, 0.0], [1.0, 1.0]]).is_none());
        assert!(Grain::from_picture(&picture, &[[f64::NAN, 0.0], [9.0, 0.0], [9.0, 9.0]]).is_none());
        assert!(
            Grain::from_picture(&picture, &[[-50.0, -50.0], [300.0, -50.0], [300.0, 400.0], [-50.0, 400.0]]).is_some()
        );
    }
}
