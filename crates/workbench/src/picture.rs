//! A photo in a form that the window can show in tiles: half-size levels averaged in linear light.
//!
//! For looking at only. Colours are never measured from these bytes.

use crate::display::{byte_from_linear, linear_table};

/// Longest edge of a tile, pixels.
pub const TILE_PX: u32 = 1024;
/// No smaller level is made once the longest edge is this or less, pixels.
const SMALLEST_LEVEL_PX: u32 = 512;

/// A photo as sRGB bytes at full size and in half-size levels.
#[derive(Debug)]
pub struct Picture {
    levels: Vec<Level>,
}

/// One level of a picture.
#[derive(Debug)]
pub struct Level {
    /// Width, pixels.
    pub width_px: u32,
    /// Height, pixels.
    pub height_px: u32,
    /// Rows of sRGB bytes.
    pub rgb: Vec<u8>,
}

/// Part of a level, to be shown as one texture.
#[derive(Debug, PartialEq, Eq)]
pub struct Tile {
    /// Width, pixels.
    pub width_px: u32,
    /// Height, pixels.
    pub height_px: u32,
    /// Rows of sRGB bytes.
    pub rgb: Vec<u8>,
}

impl Picture {
    /// A picture from rows of sRGB bytes; None unless there are three to the pixel.
    pub fn new(width_px: u32, height_px: u32, rgb: Vec<u8>) -> Option<Self> {
        if width_px == 0 || height_px == 0 || rgb.len() != width_px as usize * height_px as usize * 3 {
            return None;
        }
        let mut levels = vec![Level { width_px, height_px, rgb }];
        let encode = Encode::new();
        while let Some(half) = levels.last().and_then(|level| level.half(&encode)) {
            levels.push(half);
        }
        Some(Self { levels })
    }

    /// Width at full size, pixels.
    pub fn width_px(&self) -> u32 {
        self.levels.first().map_or(0, |level| level.width_px)
    }

    /// Height at full size, pixels.
    pub fn height_px(&self) -> u32 {
        self.levels.first().map_or(0, |level| level.height_px)
    }

    /// The levels, the full size first.
    pub fn levels(&self) -> &[Level] {
        &self.levels
    }

    /// The level to show at so many screen pixels per photo pixel: the smallest with a pixel for each on screen.
    pub fn level_for(&self, scale: f32) -> usize {
        let halvings = (1.0 / scale.max(1e-6)).log2().floor().max(0.0) as usize;
        halvings.min(self.levels.len().saturating_sub(1))
    }

    /// How many tiles a level has across and down.
    pub fn tiles(&self, level: usize) -> (u32, u32) {
        self.levels.get(level).map_or((0, 0), |l| (l.width_px.div_ceil(TILE_PX), l.height_px.div_ceil(TILE_PX)))
    }

    /// One tile of a level.
    pub fn tile(&self, level: usize, across: u32, down: u32) -> Option<Tile> {
        let level = self.levels.get(level)?;
        let (left, top) = (across * TILE_PX, down * TILE_PX);
        let width_px = level.width_px.checked_sub(left).filter(|w| *w > 0)?.min(TILE_PX);
        let height_px = level.height_px.checked_sub(top).filter(|h| *h > 0)?.min(TILE_PX);
        let row = |y: u32| {
            let start = ((top + y) as usize * level.width_px as usize + left as usize) * 3;
            &level.rgb[start..start + width_px as usize * 3]
        };
        let rgb = (0..height_px).flat_map(row).copied().collect();
        Some(Tile { width_px, height_px, rgb })
    }

    /// The pixels about a place, nearest neighbour, for a magnifier: `side` × `side`, grey outside the photo.
    pub fn around(&self, centre_px: [f64; 2], side: u32) -> Tile {
        let (width, height) = (i64::from(self.width_px()), i64::from(self.height_px()));
        let corner = centre_px.map(|c| c.floor() as i64 - i64::from(side) / 2);
        let mut rgb = Vec::with_capacity(side as usize * side as usize * 3);
        for y in 0..i64::from(side) {
            for x in 0..i64::from(side) {
                let (x, y) = (corner[0] + x, corner[1] + y);
                let inside = (0..width).contains(&x) && (0..height).contains(&y);
                match self.levels.first().filter(|_| inside) {
                    Some(level) => {
                        let at = (y * width + x) as usize * 3;
                        rgb.extend_from_slice(&level.rgb[at..at + 3]);
                    }
                    None => rgb.extend_from_slice(&[0x60; 3]),
                }
            }
        }
        Tile { width_px: side, height_px: side, rgb }
    }
}

/// Linear light to bytes by table: the encoding is smooth, 4096 steps are finer than a byte everywhere that matters.
struct Encode {
    linear: [f32; 256],
    bytes: Vec<u8>,
}

impl Encode {
    fn new() -> Self {
        Self { linear: linear_table(), bytes: (0..4096).map(|i| byte_from_linear(f64::from(i) / 4095.0)).collect() }
    }

    fn mean(&self, four: [u8; 4]) -> u8 {
        let sum: f32 = four.iter().map(|&byte| self.linear[byte as usize]).sum();
        self.bytes[((sum / 4.0 * 4095.0 + 0.5) as usize).min(4095)]
    }
}

impl Level {
    fn half(&self, encode: &Encode) -> Option<Self> {
        if self.width_px.max(self.height_px) <= SMALLEST_LEVEL_PX || self.width_px < 2 || self.height_px < 2 {
            return None;
        }
        let (width, height) = (self.width_px as usize / 2, self.height_px as usize / 2);
        let stride = self.width_px as usize * 3;
        let mut rgb = vec![0; width * height * 3];
        for (y, row) in rgb.chunks_exact_mut(width * 3).enumerate() {
            let above = &self.rgb[2 * y * stride..][..stride];
            let below = &self.rgb[(2 * y + 1) * stride..][..stride];
            for (x, pixel) in row.chunks_exact_mut(3).enumerate() {
                for (c, out) in pixel.iter_mut().enumerate() {
                    let at = 6 * x + c;
                    *out = encode.mean([above[at], above[at + 3], below[at], below[at + 3]]);
                }
            }
        }
        Some(Self { width_px: width as u32, height_px: height as u32, rgb })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_are_averaged_in_linear_light() {
        // Black and white in equal parts have half the light of white: sRGB byte 188 by IEC 61966-2-1, not 128.
        let rgb = (0..1024 * 1024).flat_map(|i| [if (i + i / 1024) % 2 == 0 { 0u8 } else { 255 }; 3]).collect();
        let picture = Picture::new(1024, 1024, rgb).unwrap();
        assert_eq!(picture.levels()[1].rgb[0], 188);
        assert_eq!(picture.levels().len(), 2);
    }

    #[test]
    fn tiles_cover_the_picture_once() {
        let picture = Picture::new(2500, 1100, vec![7; 2500 * 1100 * 3]).unwrap();
        let (across, down) = picture.tiles(0);
        let pixels: u32 = (0..across)
            .flat_map(|x| (0..down).map(move |y| (x, y)))
            .filter_map(|(x, y)| picture.tile(0, x, y))
            .map(|tile| tile.width_px * tile.height_px)
            .sum();
        assert_eq!(pixels, 2500 * 1100);
        assert!(picture.tile(0, across, 0).is_none());
    }

    #[test]
    fn the_level_has_a_pixel_for_each_on_screen() {
        let picture = Picture::new(4096, 2048, vec![7; 4096 * 2048 * 3]).unwrap();
        assert_eq!((picture.level_for(1.0), picture.level_for(0.3), picture.level_for(0.01)), (0, 1, 3));
    }

    #[test]
    fn bytes_that_do_not_fit_make_no_picture() {
        assert!(Picture::new(2, 2, vec![0; 11]).is_none());
        assert!(Picture::new(0, 2, Vec::new()).is_none());
    }
}
