//! The small picture in which cards are looked for.

/// Long side of the preview that [`locate`](super::locate) works best with, in pixels.
pub const LONG_SIDE_PX: usize = 1400;

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
    /// Reduces an upright photo of `width` × `height` pixels, given pixel by pixel (x, y), to a preview of
    /// [`LONG_SIDE_PX`] by averaging; a small photo is kept as it is.
    pub fn reduced(width: usize, height: usize, pixel: impl Fn(usize, usize) -> [f32; 3]) -> Preview {
        let long = width.max(height);
        if long <= LONG_SIDE_PX {
            let rgb = (0..width * height).map(|k| pixel(k % width, k / width)).collect();
            return Preview { width, height, scale: 1.0, rgb };
        }
        let scale = LONG_SIDE_PX as f64 / long as f64;
        let side = |length: usize| ((length as f64 * scale).floor() as usize).max(1);
        let (new_width, new_height) = (side(width), side(height));
        // Each photo pixel counts towards the preview pixels it covers, by the share of it inside.
        let spans_x = spans(width, new_width, scale);
        let spans_y = spans(height, new_height, scale);
        let mut rgb = vec![[0.0f32; 3]; new_width * new_height];
        let mut row_sum = vec![[0.0f32; 3]; new_width];
        for (y, &(first_row, row_share)) in spans_y.iter().enumerate() {
            row_sum.iter_mut().for_each(|sum| *sum = [0.0; 3]);
            for (x, &(first, share)) in spans_x.iter().enumerate() {
                let value = pixel(x, y);
                for (column, weight) in [(first, share), (first + 1, 1.0 - share)] {
                    if column < new_width && weight > 0.0 {
                        let sum = &mut row_sum[column];
                        for c in 0..3 {
                            sum[c] += weight * value[c];
                        }
                    }
                }
            }
            for (row, weight) in [(first_row, row_share), (first_row + 1, 1.0 - row_share)] {
                if row < new_height && weight > 0.0 {
                    for (out, sum) in rgb[row * new_width..(row + 1) * new_width].iter_mut().zip(&row_sum) {
                        for c in 0..3 {
                            out[c] += weight * sum[c];
                        }
                    }
                }
            }
        }
        let area = (scale * scale) as f32;
        rgb.iter_mut().for_each(|value| value.iter_mut().for_each(|v| *v *= area));
        Preview { width: new_width, height: new_height, scale, rgb }
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

/// For each pixel of the photo along one side: the first preview pixel it falls on and the share of it that does.
fn spans(length: usize, new_length: usize, scale: f64) -> Vec<(usize, f32)> {
    (0..length)
        .map(|k| {
            let (start, end) = (k as f64 * scale, (k + 1) as f64 * scale);
            let first = start as usize;
            let share = ((first + 1) as f64 - start).min(end - start) / (end - start);
            (first.min(new_length), share as f32)
        })
        .collect()
}
