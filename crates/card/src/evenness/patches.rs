//! How the colour of a region differs from place to place, in size and direction.

use nalgebra::{Matrix3, Vector3};

/// One standard deviation along the axis on which the places spread most, towards light; `even_board` is the covariance that
/// grain alone would give them.
pub(super) fn spread(lab: &[[f32; 3]], inside: &[bool], even_board: &Matrix3<f64>) -> [f64; 3] {
    let cells =
        || lab.iter().zip(inside).filter(|(_, inside)| **inside).map(|(lab, _)| Vector3::from(lab.map(f64::from)));
    let count = cells().count().max(1) as f64;
    let mean = cells().sum::<Vector3<f64>>() / count;
    let about = cells().map(|cell| (cell - mean) * (cell - mean).transpose()).sum::<Matrix3<f64>>() / count;
    let eigen = (about - even_board).symmetric_eigen();
    let widest = eigen.eigenvalues.imax();
    let axis = eigen.eigenvectors.column(widest) * eigen.eigenvalues[widest].max(0.0).sqrt();
    let lighter = if axis.x < 0.0 { -axis } else { axis };
    lighter.into()
}
