//! The small picture in which cards are looked for.

/// Long side of the preview that [`locate`](super::locate) works best with, in pixels.
pub const LONG_SIDE_PX: usize = 1400;

/// A small upright picture in the photo's own encoding (not linear), row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// Width in preview pixels.
    pub width: usize,
    /// Height in preview pixels.
    pub height: usize,
    /// Preview pixels per photo pixel; 1 or less.
    pub scale: f64,
    /// Red, green and blue, encoded, 0..=1; `width * height` of them.
    pub rgb: Vec<[f32; 3]>,
}
