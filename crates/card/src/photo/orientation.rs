//! Upright coordinates over pixels stored as the camera held them.

/// How stored pixels turn into the upright photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Upright {
    /// Width of the upright photo.
    pub(super) width_px: u32,
    /// Height of the upright photo.
    pub(super) height_px: u32,
    /// Stored rows run across the upright photo from top to bottom: stored x is upright y.
    pub(super) transposed: bool,
    /// Stored x runs against its upright direction.
    pub(super) flip_x: bool,
    /// Stored y runs against its upright direction.
    pub(super) flip_y: bool,
}

impl Upright {
    /// For pixels stored `width` × `height` and an EXIF orientation of 1 to 8 (anything else counts as 1).
    ///
    /// The value names the sides of the scene at which the stored row 0 and column 0 lie: 1 top and left, 2 top and
    /// right, 3 bottom and right, 4 bottom and left, 5 left and top, 6 right and top, 7 right and bottom, 8 left and
    /// bottom.
    ///
    /// # Source
    /// CIPA DC-008-2012 (EXIF 2.3 and later), 4.6.4 A, tag 0x0112 Orientation.
    pub(super) fn new(width: u32, height: u32, exif: u8) -> Self {
        let transposed = matches!(exif, 5..=8);
        let flip_x = matches!(exif, 2 | 3 | 7 | 8);
        let flip_y = matches!(exif, 3 | 4 | 6 | 7);
        let (width_px, height_px) = if transposed { (height, width) } else { (width, height) };
        Self { width_px, height_px, transposed, flip_x, flip_y }
    }

    /// Width and height as stored.
    pub(super) fn stored_size(&self) -> (u32, u32) {
        if self.transposed { (self.height_px, self.width_px) } else { (self.width_px, self.height_px) }
    }

    /// Index of the stored pixel shown at upright column `x` and row `y`; both must lie inside.
    pub(super) fn index(&self, x: u32, y: u32) -> usize {
        debug_assert!(x < self.width_px && y < self.height_px);
        let (width, height) = self.stored_size();
        let (mut column, mut row) = if self.transposed { (y, x) } else { (x, y) };
        if self.flip_x {
            column = width - 1 - column;
        }
        if self.flip_y {
            row = height - 1 - row;
        }
        row as usize * width as usize + column as usize
    }

    /// From the index of a stored pixel to that of its neighbour on the right in the upright photo.
    pub(super) fn step_right(&self) -> isize {
        let (width, _) = self.stored_size();
        let (length, flipped) = if self.transposed { (width as isize, self.flip_y) } else { (1, self.flip_x) };
        if flipped { -length } else { length }
    }
}
