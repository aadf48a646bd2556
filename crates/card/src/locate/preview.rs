//! The small picture in which cards are looked for.

use rayon::prelude::*;

/// Longest side of the preview that [`locate`](super::locate) works best with, in pixels: a photo is reduced by the
/// smallest whole number that brings it below, as averages over whole blocks cost one look at each pixel.
pub const LONG_SIDE_PX: u32 = 1400;

/// Pictures shorter than this are enlarged before the search.
const SMALL_PX: usize = 700;

/// A small upright picture in the photo's own encoding (not linear), row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// Width in preview pixels.
    pub width: usize,
    /// Height in preview pixels.
    pub height: usize,
    /// Preview pixels per photo pixel.
    pub scale: f64,
    /// Red, green and blue, encoded, 0..=1; `width * height` of them.
    pub rgb: Vec<[f32; 3]>,
}

impl Preview {
    /// A preview from linear light, which is encoded as sRGB and cut to 0..=1. `scale`: preview pixels per photo pixel.
    pub fn of_linear(width: usize, height: usize, scale: f64, mut linear: Vec<[f32; 3]>) -> Preview {
        let table = encoding();
        let encode = |light: f32| {
            let at = light.clamp(0.0, 1.0).sqrt() * TABLE_STEPS as f32;
            let low = at as usize;
            let part = at - low as f32;
            table[low] + part * (table[low + 1] - table[low])
        };
        linear.par_chunks_mut(1 << 14).for_each(|pixels| {
            for light in pixels.as_flattened_mut() {
                *light = encode(*light);
            }
        });
        Preview { width, height, scale, rgb: linear }
    }

    /// Half the size, each pixel the mean of four.
    pub(crate) fn half(&self) -> Preview {
        let (width, height) = (self.width / 2, self.height / 2);
        let mut rgb = Vec::with_capacity(width * height);
        for y in 0..height {
            let above = &self.rgb[2 * y * self.width..];
            let below = &self.rgb[(2 * y + 1) * self.width..];
            for x in 0..width {
                let mut mean = [0.0; 3];
                for (c, m) in mean.iter_mut().enumerate() {
                    *m = 0.25 * (above[2 * x][c] + above[2 * x + 1][c] + below[2 * x][c] + below[2 * x + 1][c]);
                }
                rgb.push(mean);
            }
        }
        Preview { width, height, scale: self.scale * 0.5, rgb }
    }

    /// A small picture at twice the size by linear interpolation, others as they are.
    pub(crate) fn enlarged(&self) -> Option<Preview> {
        if self.width.max(self.height) >= SMALL_PX || self.width < 2 || self.height < 2 {
            return None;
        }
        let (width, height) = (self.width * 2, self.height * 2);
        let mut rgb = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                rgb.push(self.at((x as f64 + 0.5) / 2.0, (y as f64 + 0.5) / 2.0));
            }
        }
        Some(Preview { width, height, scale: self.scale * 2.0, rgb })
    }

    /// The colour at a point in preview pixels (pixel centres at half-integers) by linear interpolation; the nearest
    /// edge pixel outside.
    pub(crate) fn at(&self, x: f64, y: f64) -> [f32; 3] {
        let x = (x - 0.5).clamp(0.0, (self.width - 1) as f64);
        let y = (y - 0.5).clamp(0.0, (self.height - 1) as f64);
        let (x0, y0) = (x as usize, y as usize);
        let (x1, y1) = ((x0 + 1).min(self.width - 1), (y0 + 1).min(self.height - 1));
        let (fx, fy) = ((x - x0 as f64) as f32, (y - y0 as f64) as f32);
        let [a, b] = [self.rgb[y0 * self.width + x0], self.rgb[y0 * self.width + x1]];
        let [c, d] = [self.rgb[y1 * self.width + x0], self.rgb[y1 * self.width + x1]];
        let mut out = [0.0; 3];
        for (k, o) in out.iter_mut().enumerate() {
            *o = (a[k] * (1.0 - fx) + b[k] * fx) * (1.0 - fy) + (c[k] * (1.0 - fx) + d[k] * fx) * fy;
        }
        out
    }

    /// Whether a point in preview pixels lies in the picture.
    pub(crate) fn holds(&self, point: [f64; 2]) -> bool {
        point[0] >= 0.0 && point[1] >= 0.0 && point[0] < self.width as f64 && point[1] < self.height as f64
    }
}

/// Steps of the table of [`encoding`].
const TABLE_STEPS: usize = 1024;

/// sRGB code, 0..=1, by the square root of linear light, where it is nearly straight; one entry past the end.
fn encoding() -> Vec<f32> {
    (0..=TABLE_STEPS + 1)
        .map(|k| {
            let root = (k as f64 / TABLE_STEPS as f64).min(1.0);
            colour::rgb::srgb_from_linear(root * root) as f32
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 61966-2-1: the codes of black, of the knee, of linear 0.214 041 14 (code 0.5) and of white.
    #[test]
    fn linear_light_is_encoded_as_srgb() {
        let linear = vec![[0.0, 0.003_130_8, 0.214_041_14], [1.0, 7.0, -1.0], [f32::NAN, 0.001, 0.5]];
        let preview = Preview::of_linear(3, 1, 1.0, linear);
        let want = [[0.0, 0.040_45, 0.5], [1.0, 1.0, 0.0]];
        for (got, want) in preview.rgb.iter().zip(want) {
            assert!(got.iter().zip(want).all(|(a, b)| (a - b).abs() < 5e-4), "{got:?} is not {want:?}");
        }
        assert!((preview.rgb[2][1] - 0.012_92).abs() < 5e-4 && preview.rgb[2][0].is_nan());
    }
}
