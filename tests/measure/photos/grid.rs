//! Whether a card was found where it is known to lie.

use card::CardReading;
use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

/// Patches along and down the known grid.
const SIZE: [usize; 2] = [6, 4];

/// How many patch centres lie inside their own patch of the grid with these corners.
pub(crate) fn patches_right(card: &CardReading, corners: &[[f64; 2]; 4], gap: f64) -> usize {
    let size = SIZE.map(|n| n as f64 - gap);
    let Some(map) = homography(corners, &[[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]]) else { return 0 };
    let inside = |k: usize| {
        let Some([x, y]) = card.patches.get(k).map(|patch| patch.centre_px) else { return false };
        let at = map * Vector3::new(x, y, 1.0);
        let (u, v) = (at.x / at.z, at.y / at.z);
        let (row, column) = ((k / SIZE[0]) as f64, (k % SIZE[0]) as f64);
        (column..=column + 1.0 - gap).contains(&u) && (row..=row + 1.0 - gap).contains(&v)
    };
    (0..SIZE[0] * SIZE[1]).filter(|&k| inside(k)).count()
}

/// Whether all of them do.
pub(crate) fn right(card: &CardReading, corners: &[[f64; 2]; 4], gap: f64) -> bool {
    card.patches.len() == SIZE[0] * SIZE[1] && patches_right(card, corners, gap) == card.patches.len()
}

/// Side of a patch with its share of the gap, pixels: the root of the grid's area over the number of patches.
pub(crate) fn pitch_px(card: &CardReading) -> f64 {
    let corner = |k: usize| card.corners_px[k % 4];
    let doubled: f64 = (0..4).map(|k| corner(k)[0] * corner(k + 1)[1] - corner(k + 1)[0] * corner(k)[1]).sum();
    (doubled.abs() / 2.0 / card.patches.len().max(1) as f64).sqrt()
}

fn homography(from: &[[f64; 2]; 4], to: &[[f64; 2]; 4]) -> Option<Matrix3<f64>> {
    let mut a = SMatrix::<f64, 8, 8>::zeros();
    let mut b = SVector::<f64, 8>::zeros();
    for (k, (&[x, y], &[u, v])) in from.iter().zip(to).enumerate() {
        a.row_mut(2 * k).copy_from_slice(&[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y]);
        a.row_mut(2 * k + 1).copy_from_slice(&[0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y]);
        b[2 * k] = u;
        b[2 * k + 1] = v;
    }
    let h = a.lu().solve(&b)?;
    Some(Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0))
}
