//! Turning pixels upright, from the way in which the camera held them.

use rayon::prelude::*;

/// Channels of a pixel.
const CHANNELS: usize = 3;
/// Pixels are turned by squares of so many each way: what is read and what is written of one stays in the nearest cache.
const SQUARE: usize = 32;

/// How stored pixels turn into the upright photo.
#[derive(Clone, Copy, Debug)]
struct Turn {
    /// Stored rows run across the upright photo from top to bottom: stored x is upright y.
    transposed: bool,
    /// Stored x runs against its upright direction.
    flip_x: bool,
    /// Stored y runs against its upright direction.
    flip_y: bool,
}

/// The pixels of an upright photo, row by row, with its width and height, of pixels stored `width` × `height` and an EXIF
/// orientation of 1 to 8 (anything else counts as 1).
///
/// The value names the sides of the scene at which the stored row 0 and column 0 lie: 1 top and left, 2 top and right, 3
/// bottom and right, 4 bottom and left, 5 left and top, 6 right and top, 7 right and bottom, 8 left and bottom.
///
/// # Source
/// CIPA DC-008-2012 (EXIF 2.3 and later), 4.6.4 A, tag 0x0112 Orientation.
pub(super) fn upright<T: Copy + Default + Send + Sync>(
    stored: Vec<T>,
    (width, height): (u32, u32),
    exif: u8,
) -> (Vec<T>, (u32, u32)) {
    let turn = Turn {
        transposed: matches!(exif, 5..=8),
        flip_x: matches!(exif, 2 | 3 | 7 | 8),
        flip_y: matches!(exif, 3 | 4 | 6 | 7),
    };
    let size = if turn.transposed { (height, width) } else { (width, height) };
    let (width, height) = (width as usize, height as usize);
    let pixels = match turn {
        Turn { transposed: true, .. } => transposed(&stored, width, height, turn),
        Turn { flip_x: false, flip_y: false, .. } => stored,
        _ => flipped(&stored, width, height, turn),
    };
    (pixels, size)
}

fn transposed<T: Copy + Default + Send + Sync>(stored: &[T], width: usize, height: usize, turn: Turn) -> Vec<T> {
    let mut upright = vec![T::default(); stored.len()];
    upright.par_chunks_mut(CHANNELS * SQUARE * height).enumerate().for_each(|(band, rows)| {
        for left in (0..height).step_by(SQUARE) {
            let right = height.min(left + SQUARE);
            for (k, out) in rows.chunks_exact_mut(CHANNELS * height).enumerate() {
                let down = band * SQUARE + k;
                let column = if turn.flip_x { width - 1 - down } else { down };
                let pixels = out[CHANNELS * left..CHANNELS * right].chunks_exact_mut(CHANNELS);
                for (out, across) in pixels.zip(left..) {
                    let row = if turn.flip_y { height - 1 - across } else { across };
                    out.copy_from_slice(&stored[CHANNELS * (row * width + column)..][..CHANNELS]);
                }
            }
        }
    });
    upright
}

fn flipped<T: Copy + Default + Send + Sync>(stored: &[T], width: usize, height: usize, turn: Turn) -> Vec<T> {
    let mut upright = vec![T::default(); stored.len()];
    upright.par_chunks_exact_mut(CHANNELS * width).enumerate().for_each(|(y, out)| {
        let row = if turn.flip_y { height - 1 - y } else { y };
        let row = &stored[CHANNELS * row * width..][..CHANNELS * width];
        if turn.flip_x {
            let pixels = row.chunks_exact(CHANNELS).rev();
            out.chunks_exact_mut(CHANNELS).zip(pixels).for_each(|(out, pixel)| out.copy_from_slice(pixel));
        } else {
            out.copy_from_slice(row);
        }
    });
    upright
}
